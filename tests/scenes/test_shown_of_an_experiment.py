"""Every number of an experiment stands where its label says: reports with numbers that are all different."""

from __future__ import annotations

import re

import numpy as np
import pytest
from distinct import filled
from shown import charts, figures, number, page, tables, words

from turnstill.render.palette import NOW, OVERSHOOT, PLUMB_LINE, css
from turnstill.scenes.experiment.page import experiment_page
from turnstill.scenes.experiment.report import ExperimentReport, TopReport, TriedReport
from turnstill.scenes.experiment.table import experiment_table
from turnstill.scenes.views.pictures import ViewPicture

VIEWS = {"down-the-line": "down the line", "above": "from above", "face-on": "face-on"}
"""In the order drawn, with what each is called."""
TOP = {
    "head toward target cm": "head_toward_target_cm",
    "head toward ball cm": "head_toward_ball_cm",
    "head up cm": "head_up_cm",
    "pelvis toward target cm": "pelvis_toward_target_cm",
    "lead knee flex °": "lead_knee_flex_deg",
    "trail knee flex °": "trail_knee_flex_deg",
    "belt line tilt °": "belt_line_tilt_deg",
    "inclination in space °": "inclination_deg",
    "strain of the legs": "strain",
}
TERMINAL = {
    "head toward target cm": "head_toward_target_cm",
    "head toward ball cm": "head_toward_ball_cm",
    "head up cm": "head_up_cm",
    "pelvis toward target cm": "pelvis_toward_target_cm",
    "lead knee deg": "lead_knee_flex_deg",
    "trail knee deg": "trail_knee_flex_deg",
    "belt line tilt deg": "belt_line_tilt_deg",
    "incl. deg": "inclination_deg",
    "strain of legs": "strain",
}
CHARTS = {
    "Hip turn, °": {"most hip turn": "available_hip_turn_deg", "this swing's": "hip_turn_deg"},
    "Head since address, at the top, cm": {
        "head toward target": "head_toward_target_cm",
        "head toward ball": "head_toward_ball_cm",
        "head up": "head_up_cm",
    },
    "Pelvis since address, at the top, cm": {
        "pelvis toward target": "pelvis_toward_target_cm",
        "pelvis toward ball": "pelvis_toward_ball_cm",
    },
    "Knees, at the top, °": {"lead knee flex": "lead_knee_flex_deg", "trail knee flex": "trail_knee_flex_deg"},
    "Belt line and trunk, at the top, °": {
        "belt line tilt": "belt_line_tilt_deg",
        "inclination in space": "inclination_deg",
    },
    "Strain of the legs, at the top, no unit": {"strain of the legs": "strain"},
}
"""Labels to where their numbers come from, written out by hand."""
MOST, OWN, STOPPED = "most hip turn", "this swing's", "the most is stopped by"


def made(unit: str = "deg", from_steady: bool = False) -> ExperimentReport:
    tried = filled(TriedReport, words="the thing", means="what it is", name="thing", unit=unit, from_steady=from_steady)
    report = filled(
        ExperimentReport, items=3, experiment=tried, preset="mine", sentences=[f"Sentence {k}." for k in range(7)]
    )
    steps = [one.replaced(setting=f"set {k}", converged=True) for k, one in enumerate(report.steps)]
    return report.replaced(steps=steps, as_given=report.as_given.replaced(setting="its own"))


REPORT = made()
ROWS: dict[str, TopReport] = {"set 0": REPORT.steps[0], "set 1": REPORT.steps[1], "set 2": REPORT.steps[2],
                              "mine: its own": REPORT.as_given}  # fmt: skip


@pytest.fixture(scope="module")
def html() -> str:
    drawn = [ViewPicture(k, view, f"{view} of {k}".encode()) for view in VIEWS for k in (2, 0)]
    return experiment_page(REPORT, drawn)


def test_every_cell_is_the_number_its_row_and_column_say(html: str) -> None:
    room, top = tables(html)
    assert {row for row, _ in top} == {row for row, _ in room} == set(ROWS)
    assert {column for _, column in top} == set(TOP) and {column for _, column in room} == {MOST, OWN, STOPPED}
    for row, step in ROWS.items():
        for column, field in TOP.items():
            assert number(top[row, column]) == pytest.approx(getattr(step, field), abs=0.051), (row, column)
            assert top[row, column].startswith("+") == (column.endswith("cm") and getattr(step, field) > 0)
        assert number(room[row, MOST]) == pytest.approx(step.available_hip_turn_deg, abs=0.51)
        assert number(room[row, OWN]) == pytest.approx(step.hip_turn_deg, abs=0.51)
        for text in (room[row, MOST], room[row, OWN]):
            assert re.fullmatch(r"−?\d+°", text)
        assert room[row, STOPPED] == ", ".join(step.limited_by[:-1]).replace("_", " ") + " and " + step.limited_by[
            -1
        ].replace("_", " ")
    assert re.fullmatch(r"\d+\.\d\d", top["set 0", "strain of the legs"].lstrip("−"))


def test_the_swing_as_given_stands_apart_as_the_last_row(html: str) -> None:
    for table in page(html).iter("table"):
        marked = [words(row.xpath("./th")[0]) for row in table.xpath("./tbody/tr[@class='given']")]
        assert marked == ["mine: its own"]
        assert words(table.xpath("./thead/tr/th")[0]) == "the thing"


def test_lengths_are_in_inches_where_asked_and_nothing_else_is() -> None:
    text = experiment_page(REPORT, inches=True)
    _, top = tables(text)
    for row, step in ROWS.items():
        for column, field in TOP.items():
            inches = column.endswith(" cm")
            shown = number(top[row, f"{column.removesuffix('cm')}in" if inches else column])
            factor, slack = (2.54, 0.0051) if inches else (1.0, 0.051)
            assert shown == pytest.approx(getattr(step, field) / factor, abs=slack)
    drawn = dict(charts(text))
    assert set(drawn) == {f"{re.sub('cm$', 'in', caption)} {names}" for caption, names in legends().items()}
    for caption, lines in drawn.items():
        factor = 2.54 if ", in" in caption else 1.0
        for name, field in CHARTS[next(c for c in CHARTS if caption.startswith(c.removesuffix("cm")))].items():
            values = np.array([getattr(step, field) for step in REPORT.steps]) / factor
            np.testing.assert_allclose(lines[name][:, 1], values, atol=0.006 * np.ptp(values) + 0.3)


def legends() -> dict[str, str]:
    """Caption to what stands below it."""
    stops = [
        f"stopped by {', '.join(s.limited_by[:-1])} and {s.limited_by[-1]}".replace("_", " ") for s in REPORT.steps
    ]
    own = {caption: " ".join(names) for caption, names in CHARTS.items()}
    own["Hip turn, °"] = " ".join(["most hip turn available", *stops, "this swing's, at the top"])
    return own


def test_lines_of_charts_are_what_the_axes_say(html: str) -> None:
    shown = dict(charts(html))
    assert set(shown) == {f"{caption} {names}" for caption, names in legends().items()}
    for caption, names in CHARTS.items():
        lines = shown[f"{caption} {legends()[caption]}"]
        assert set(lines) == set(names)
        for name, field in names.items():
            values = [getattr(step, field) for step in REPORT.steps]
            np.testing.assert_allclose(lines[name][:, 0], [s.value for s in REPORT.steps], atol=0.5)
            np.testing.assert_allclose(lines[name][:, 1], values, atol=0.006 * np.ptp(values) + 0.3)


@pytest.mark.parametrize("inches", [False, True])
def test_what_hardly_changes_looks_so(inches: bool) -> None:
    """Axes span two centimetres, ten degrees, or all of a range, however little there is to see."""
    flat = {field: 5.0 for names in CHARTS.values() for field in names.values()} | {"strain": 0.5}
    steps = [step.replaced(**flat) for step in REPORT.steps]
    spans = {}
    for figure in page(experiment_page(REPORT.replaced(steps=steps), inches=inches)).iter("figure"):
        marks = [number(words(mark)) for mark in figure.xpath(".//*[@class='level']")]
        spans[words(figure.xpath(".//figcaption")[0])[:5]] = (min(marks), max(marks))
    unit = 2.54 if inches else 1.0
    for name in ("Head ", "Pelvi"):
        low, high = spans[name]
        assert low == 0.0 and 5.0 / unit <= high <= 6.0 / unit + 0.2
    assert spans["Strai"] == (0.0, 1.0)
    for name in ("Hip t", "Knees", "Belt "):
        assert spans[name] == (0.0, 10.0)


def test_no_colour_means_two_things(html: str) -> None:
    """A colour is one measure's; ink is for what stands alone, its markers telling what stops the hips."""
    colours: dict[str, set[str]] = {}
    for line in page(html).iter("polyline"):
        colours.setdefault(line.get("stroke"), set()).add(re.sub("^(head|pelvis) ", "", line.get("data-name")))
    assert sorted(map(sorted, colours.values())) == sorted([
        ["most hip turn", "strain of the legs", "this swing's"], ["toward target"], ["toward ball"], ["up"],
        ["lead knee flex"], ["trail knee flex"], ["belt line tilt"], ["inclination in space"],
    ])  # fmt: skip
    figure = next(one for one in page(html).iter("figure") if words(one).startswith("Hip turn"))
    drawn = [element for element in figure.xpath(".//svg[@class='chart']/*") if element.tag != "text"]
    after = [element for element in drawn if element.get("data-name") == "most hip turn"]
    places = drawn[drawn.index(after[0]) + 1 :]
    kinds = [(one.tag, one.get("fill")) for one in places]
    keys = [one for one in figure.xpath(".//li") if words(one).startswith("stopped by")]
    assert kinds == [(m.tag, m.get("fill")) for one in keys for m in one.xpath(".//svg/*")]
    assert len(set(kinds)) == 3
    assert not {css(one) for one in (NOW, PLUMB_LINE, OVERSHOOT)} & set(colours)


def test_a_picture_stands_over_its_own_steps_setting_and_turns(html: str) -> None:
    seen = figures(html)
    assert [one.picture.decode() for one in seen] == [
        "down-the-line of 2", "down-the-line of 0", "above of 2", "above of 0", "face-on of 2", "face-on of 0",
    ]  # fmt: skip
    for one in seen:
        view, k = one.picture.decode().split(" of ")
        step = REPORT.steps[int(k)]
        said = (
            f"most hip turn available {step.available_hip_turn_deg:.0f}°, this swing's {step.hip_turn_deg:.0f}°"
        ).replace("-", "−")
        assert one.caption == f"set {k}: {said}"
        assert one.alt.startswith(f"the thing set {k}, {VIEWS[view]}: ")
        assert one.alt.replace("-", "−").endswith(said)
    sections = [words(head) for head in page(html).iter("h3")]
    assert sections == ["Down the line", "From above", "Face-on"]
    strips = [one for one in page(html).iter("div") if one.get("class") == "strip"]
    assert [(len(one.xpath(".//img")), one.get("style")) for one in strips] == [(2, "--count: 2")] * 3
    legend = [words(one) for one in page(html).iter("p") if one.get("class") == "legend"]
    assert legend[3].startswith("Lean is") and legend[1].startswith("Inclination is")
    assert "turn away from the target" in legend[2] and "has its flare" in legend[2]


def test_at_most_four_sentences_come_before_the_first_chart(html: str) -> None:
    document = page(html)
    (short,) = document.xpath("//section[@class='short']")
    assert [words(line) for line in short.xpath("./p")] == [f"Sentence {k}." for k in range(4)]
    (more,) = document.xpath("//details")
    assert [words(line) for line in more.xpath("./p")] == [f"Sentence {k}." for k in range(4, 7)]
    assert more.get("open") is None
    few = experiment_page(REPORT.replaced(sentences=["Only this."]))
    assert "<details" not in few and "<img" not in few and "What it looks like" not in few


def test_cautions_and_notes_are_on_page_and_terminal(html: str) -> None:
    text = " ".join(experiment_table(REPORT).split())
    for line in ("What is available is not what is advisable.", "Never force a range of motion", *REPORT.warnings):
        assert line in words(page(html)) and line in text
    for line in REPORT.sentences:
        assert line in text


@pytest.mark.parametrize(
    ("unit", "from_steady", "name"),
    [
        ("deg", False, "the thing, °"), ("cm", False, "the thing, cm"), ("kg", False, "the thing, kg"),
        ("deg", True, "the thing, ° from steady"),
    ],
)  # fmt: skip
def test_the_axis_says_what_was_tried_and_in_which_unit(unit: str, from_steady: bool, name: str) -> None:
    text = experiment_page(made(unit, from_steady))
    assert text.count(f">{name}</text>") == 6
    (title,) = [words(one) for one in page(text).iter("h1")]
    (who,) = [words(one) for one in page(text).iter("p") if one.get("class") == "who"]
    assert title == "The thing from set 0 to set 2"
    assert who.startswith(
        f"Tried in mine (what it is). Simulated golfer: {REPORT.body.stature_cm:.0f} cm, ".replace("-", "−")
    )


def columns(block: list[str]) -> list[tuple[str, list[str]]]:
    """Headings and cells of a terminal table whose cells hold no space, the first column left out."""
    at = next(k for k, line in enumerate(block) if line.strip().startswith("at "))
    heads, rows = (
        [*block[at - 3 : at], block[at].replace("at", "  ", 1)],
        [line for line in block[at + 1 :] if set(line) - set(" ─")],
    )
    cells = [re.sub(r"^(set \d|mine)", "", line.strip()).split() for line in rows]
    body = rows[0]
    ends = [m.end() for m in re.finditer(r"\S+", body)][-len(cells[0]) :]
    found = []
    for k, end in enumerate(ends):
        start = ends[k - 1] if k else 0
        head = " ".join(" ".join(line.ljust(end)[start:end] for line in heads).split())
        found.append((head, [row[k] for row in cells]))
    return found


def test_columns_of_the_terminal_stand_under_their_headings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    lines = experiment_table(REPORT).splitlines()
    assert lines[0].startswith("the thing (what it is), tried in mine (")
    below = next(k for k, line in enumerate(lines) if line.startswith("The swing itself"))
    end = next(k for k, line in enumerate(lines) if line.startswith("Sentence 0"))
    shown = columns(lines[below + 1 : end])
    assert [head for head, _ in shown] == list(TERMINAL)
    for (_, cells), field in zip(shown, TERMINAL.values(), strict=True):
        for cell, step in zip(cells, ROWS.values(), strict=True):
            assert float(cell) == pytest.approx(getattr(step, field), abs=0.051), field
    (heads,) = [line for line in lines[:below] if "most turn" in line]
    assert re.findall(r"most turn|this swing|the most is stopped by", heads) == [
        "most turn", "this swing", "the most is stopped by",
    ]  # fmt: skip
    for row, step in ROWS.items():
        (line,) = [line for line in lines[:below] if line.strip().startswith(row)]
        turns = re.findall(r"-?\d+°", line)
        assert turns == [f"{step.available_hip_turn_deg:.0f}°", f"{step.hip_turn_deg:.0f}°"]
        assert " and ".join(", ".join(step.limited_by).rsplit(", ", 1)).replace("_", " ") in line
