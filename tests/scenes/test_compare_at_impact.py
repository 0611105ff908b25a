"""What ``compare --through impact`` says of impact: what is asked there, where each head is, what to take care of."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from compare_pages import comparison_page
from distinct import filled, whole_swing
from distinct_swings import distinct_swing
from lxml import html as lxml_html
from shown import charts, figures, number, page, tables, words
from typer.testing import CliRunner

from turnstill.scenes.cli import app
from turnstill.scenes.compare import work
from turnstill.scenes.compare.at_impact import STRIKE, sentences_at_impact
from turnstill.scenes.compare.stills import ALL_ALIKE
from turnstill.scenes.delivery.progress import Progress
from turnstill.scenes.film import asked as film_asked
from turnstill.scenes.setups.perform import perform, swing_of
from turnstill.scenes.setups.presets import Setup, load
from turnstill.scenes.setups.reports import HeldHead
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.setups.top_alone import TOP_ALONE
from turnstill.scenes.simulate.report import ImpactReport, SwingReport
from turnstill.scenes.views.cameras import cameras, draw
from turnstill.scenes.views.pictures import ViewPicture
from turnstill.scenes.words.at_impact import BACK, CAUTION
from turnstill.scenes.words.pieces import head_words

AT_ADDRESS = HeldHead(toward_target_cm=0.0, up_cm=0.0)


def struck(name: str, start: int, head: tuple[float, float, float], held: HeldHead = AT_ADDRESS, **given: Any) -> Any:
    """A swing that goes on to impact, in moments up to the top and two more, its head there in cm."""
    to_top = whole_swing(name, start)
    towards, target, up = head
    ball = filled(type(to_top.moments[0]), start=start + 2000, progress=2.0).replaced(
        head_toward_ball_cm=towards, head_toward_target_cm=target, head_up_cm=up
    )
    past = filled(type(ball), start=start + 3000, progress=3.0)
    asked = {"extension_deg": 14.5 + start, "hips_toward_ball_cm": 2.0}
    asked |= {key: value for key, value in given.items() if not isinstance(value, str)}
    usual = {"extension_deg": "steady", "hips_toward_ball_cm": 2.0, "hands_ahead_cm": 5.0}
    there = ImpactReport(moment=3, given=usual | given, asked=asked, achieved=asked, head_held=held)
    return to_top.replaced(moments=[*to_top.moments, ball, past], at_impact=there)


FIRST = struck("A", 0, (0.1, -0.1, 0.2))
OTHER = struck("B", 3, (3.7, -1.5, 1.1), extension_deg="steady+4", hips_toward_ball_cm=7.0, hands_ahead_cm=1.5)
HEADS = (
    "At impact the head of A is within 0.3 cm of where it was at address; that of B is 3.7 cm nearer to the ball, "
    "1.5 cm farther from the target and 1.1 cm higher than at address."
)


def test_swings_alike_to_the_top_are_led_by_what_differs_at_impact() -> None:
    assert sentences_at_impact(["nothing differs at the top"], FIRST, OTHER, alike=True) == [
        "Up to the top B was asked for just what A was, and nothing differs; at impact extension is 17.5°, steady+4 "
        "(A has 14.5°, steady), hips toward ball is 7.0 cm (A has 2.0 cm) and hands ahead is 1.5 cm (A has 5.0 cm).",
        HEADS,
        STRIKE,
    ]
    in_inches = sentences_at_impact([], FIRST, OTHER, alike=True, inches=True)
    assert "2.76 in (A has 0.79 in)" in in_inches[0] and "1.46 in nearer to the ball" in in_inches[1]


def test_what_differs_at_the_top_comes_first_and_impact_after_it() -> None:
    told = sentences_at_impact(["the top"], FIRST, OTHER, alike=False)
    assert told[0] == "the top" and told[1].startswith("At impact extension is 17.5°") and told[2] == HEADS
    same = struck("B", 3, (0.1, 0.1, 0.2))
    assert sentences_at_impact(["the top"], FIRST, same, alike=False) == [
        "the top",
        "Both are asked the same at impact. At impact both heads are in the same place (to 0.3 cm), within 0.3 cm of "
        "where it was at address.",
    ]
    assert sentences_at_impact(["the top"], FIRST, same, alike=True) == [
        "B was asked for just what A was, to the top and at impact: nothing differs."
    ]


def test_a_head_is_said_to_be_within_no_more_than_it_is() -> None:
    """0.29 cm off each of three ways is half a centimetre off, though no way of it is worth a word."""
    still, near = struck("A", 0, (-0.1, 0.1, 0.0)), struck("B", 3, (0.29, -0.29, 0.29))
    (told,) = sentences_at_impact([], still, near, alike=False)
    ways = "0.3 cm nearer to the ball, 0.3 cm farther from the target and 0.3 cm higher"
    assert told.endswith(f"that of B is {ways} than at address.")


def test_a_head_that_is_wanted_elsewhere_is_asked_otherwise() -> None:
    behind = struck("B", 3, (0.0, -3.0, 0.0), HeldHead(toward_target_cm=-3.0, up_cm=0.0))
    (lead, *_) = sentences_at_impact([], FIRST, behind, alike=True)
    assert lead.endswith(
        "at impact the head is wanted 3.0 cm farther from the target than at address (in A where it was at address)."
    )


def test_numbers_of_impact_are_of_impact_and_those_of_the_top_of_the_top() -> None:
    swings = [FIRST, OTHER]
    (table,) = tables(comparison_page(swings, [["x"]], []))
    groups = {
        "Head, at impact: toward ball cm": "head_toward_ball_cm",
        "Head, at impact: toward target cm": "head_toward_target_cm",
        "Head, at impact: up cm": "head_up_cm",
    }
    for words_, key in {"hip turn °": "hip_turn_deg", "extension °": "extension_deg",
                        "pelvis toward ball cm": "pelvis_toward_ball_cm",
                        "inclination down the line °": "inclination_down_the_line_deg"}.items():  # fmt: skip
        (row,) = {row for row, _ in table if "pieces achieved, at impact" in row and row.endswith(f": {words_}")}
        groups[row] = key
    for report in swings:
        for row, key in groups.items():
            assert number(table[row, report.preset]) == pytest.approx(getattr(report.moments[3], key), abs=0.051), row
        top = number(table["Pieces achieved, at the top: hip turn °", report.preset])
        assert top == pytest.approx(report.moments[2].hip_turn_deg, abs=0.051)
        worst = max(np.hypot(m.head_toward_target_cm, m.head_up_cm) for m in report.moments[:3])
        row = "Head, at the top: farthest from its place, face-on cm"
        assert number(table[row, report.preset]) == pytest.approx(worst, abs=0.051)
    (alone,) = tables(comparison_page([whole_swing("A", 0), OTHER], [["x"]], []))
    assert not [row for row, _ in alone if "at impact" in row]


def pictured(moments: tuple[str, ...], views: tuple[str, ...], swings: tuple[int, ...] = (0, 1)) -> list[ViewPicture]:
    return [
        ViewPicture(k, view, f"{k} {view} {moment}".encode(), moment=moment)
        for moment in moments
        for k in swings
        for view in views
    ]


EVERY_VIEW = ("face-on", "down-the-line", "above")


@pytest.mark.parametrize("inches", [False, True])
def test_pictures_of_impact_stand_over_the_numbers_of_impact_and_those_of_the_top_over_its(inches: bool) -> None:
    flares = {"lead_flare_deg": 20.0, "trail_flare_deg": 5.0}
    swings = [one.replaced(address={**one.address, **flares}) for one in (FIRST, OTHER)]
    text = comparison_page(swings, [["x"]], pictured(("top", "impact"), EVERY_VIEW), inches=inches, alike=[False])
    root = page(text)
    titles = {"face-on": "Face-on", "down-the-line": "Down the line", "above": "From above"}
    headed = [
        (f"{titles[view]}, at {'the top' if moment == 'top' else 'impact'}", f"{k} {view} {moment}", view, moment, k)
        for moment in ("top", "impact") for view in EVERY_VIEW for k in (0, 1)
    ]  # fmt: skip
    seen = [
        (words(section.xpath("./h2")[0]), one)
        for section in root.xpath("//details[@id='stills']/section")
        for one in figures(lxml_html.tostring(section, encoding="unicode"))
    ]
    assert [(title, one.picture.decode()) for title, one in seen] == [row[:2] for row in headed]
    for (_, one), (_, _, view, moment, k) in zip(seen, headed, strict=True):
        report, when = swings[k], {"top": "at the top", "impact": "at impact"}[moment]
        there = report.moments[{"top": 2, "impact": 3}[moment]]
        told = one.caption.replace("−", "-")
        assert told.startswith(f"{report.preset}: {when} the head is ")
        assert one.alt.startswith(
            f"{report.preset}, {titles[view].lower()}: a golfer at address as an outline and {when}"
        )
        assert told.removeprefix(f"{report.preset}: ") in one.alt.replace("−", "-")
        place = np.array([there.head_toward_ball_cm, there.head_toward_target_cm, there.head_up_cm])
        axes = {"face-on": (1, 2), "down-the-line": (0, 2), "above": (0, 1)}[view]
        assert f"{when} the head is {head_words(place, inches, axes)};" in told
        if view == "above":
            turns = f"hip turn {there.hip_turn_deg:.0f}°, shoulder turn {there.shoulder_turn_deg:.0f}°"
            assert told.endswith(f"; {turns}, lead flare 20°, trail flare 5°.")
        else:
            key, angle = {
                "face-on": ("lean_face_on_deg", "lean face-on"),
                "down-the-line": ("inclination_down_the_line_deg", "inclination down the line"),
            }[view]
            first, last = (f"{getattr(moment_, key):.0f}°" for moment_ in (report.moments[0], there))
            assert told.endswith(f"; the trunk's {angle} is {first} at address and {last} {when}.")
    legends = [words(one) for one in root.xpath("//details[@id='stills']//p[@class='legend']")]
    assert ["Solid figure and circle: impact, with the arms" in one for one in legends] == [False] * 3 + [True] * 3
    assert ["open to the target" in one for one in legends] == [False] * 5 + [True]
    assert words(root.xpath("//details[@id='stills']/summary")[0]) == "Still pictures: address, top and impact"


def test_what_to_take_care_of_is_read_before_the_first_picture_of_impact() -> None:
    """And what is not pictured is said, not left out in silence."""

    def said(moments: tuple[str, ...], alike: list[bool], tops: tuple[int, ...] = (0, 1, 2)) -> list[list[str]]:
        third = struck("C", 6, (1.0, 2.0, 3.0))
        shown = [ViewPicture(k, "face-on", b"x", moment=when) for when in moments for k in
                 (tops if when == "top" else (0, 1, 2))]  # fmt: skip
        root = page(comparison_page([FIRST, OTHER, third], [["x"], ["y"]], shown, alike=alike))
        return [[words(p) for p in one.xpath("./p[not(@class)]")] for one in root.xpath("//*[@id='stills']/section")]

    assert said(("top", "impact"), [False, False]) == [[], [CAUTION]]
    assert said(("impact",), [True, True]) == [[ALL_ALIKE, CAUTION]]
    assert said(("top", "impact"), [True, False], (0, 2)) == [
        ["Up to the top B is the same as A, and not pictured there."], [CAUTION]
    ]  # fmt: skip
    assert said(("top", "impact"), [False, True], (0, 1))[0] == [
        "Up to the top C is the same as A, and not pictured there."
    ]


def test_charts_go_on_to_impact_and_end_there_with_the_tables_numbers() -> None:
    text = comparison_page([FIRST, OTHER], [["x"]], pictured(("impact",), ("face-on",)), alike=[True])
    (table,) = tables(text)
    keys = {"up": "head_up_cm", "toward target": "head_toward_target_cm", "toward ball": "head_toward_ball_cm"}
    shown = dict(charts(text))
    for way, key in keys.items():
        for report in (FIRST, OTHER):
            line = shown[f"Head {way} since address, cm"][report.preset]
            np.testing.assert_allclose(line[:, 0], [0.0, 50.0, 100.0, 200.0], atol=15.0)  # "impact" ends at the edge
            assert np.all(np.diff(line[:, 0]) > 0)
            np.testing.assert_allclose(line[:, 1], [getattr(m, key) for m in report.moments[:4]], atol=3.0)
            assert number(table[f"Head, at impact: {way} cm", report.preset]) == pytest.approx(
                getattr(report.moments[3], key), abs=0.051
            )
    groups = [row.partition(":")[0] for row in dict.fromkeys(row for row, _ in table)]
    assert groups[0] == "Head, at impact", "where swings are alike to the top, impact comes first"
    after = comparison_page([FIRST, OTHER], [["x"]], [], alike=[False])
    assert next(iter(tables(after)[0]))[0].startswith("Head, at the top")
    assert words(page(after).xpath("//section[@class='together']/h2")[0]).endswith("to the top and on to impact")


def test_the_moment_asked_for_is_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn: list[Any] = []

    def picture(body: object, shown: Any, camera: object, stage: object) -> Any:
        drawn.append(shown)
        return SimpleNamespace(save=lambda out, kind: out.write(b"png"))

    monkeypatch.setattr("turnstill.render.pictures.picture.comparison_picture", picture)
    swing = distinct_swing(2)
    swing.progress = np.array([0.0, 0.5, 1.0, 2.0, 3.0])
    one: Any = SimpleNamespace(swing=swing, setup=Setup("its title"))
    camera: Any = None
    for moment, name in ((2, "top"), (3, "impact")):
        assert draw(one, "face-on", camera, None, moment) == b"png"
        shown = drawn.pop()
        assert shown.moment == name and shown.title == "its title"
        assert np.array_equal(shown.top.joints["head"], swing.skeleton.joints["head"][moment])
        assert len(shown.head_path) == moment + 1


def compared(out: Path, monkeypatch: pytest.MonkeyPatch, *names: str, through: str = "impact") -> tuple[str, Any, Any]:
    """The terminal, the page and the numbers of a comparison."""
    monkeypatch.setattr(work, "cameras", lambda swings: cameras(swings, 180, 225))

    def drawn(one: Any, view: str, camera: Any, stage: Any, moment: int) -> bytes:
        return f"{one.setup.name} {view} at progress {one.swing.progress[moment]:g}".encode()

    class Counted(Progress):
        def __exit__(self, *ended: Any) -> None:
            super().__exit__(*ended)
            (task,) = self._bar.tasks
            assert task.completed == task.total, "as many steps as were announced"

    monkeypatch.setattr(work, "draw", drawn)
    monkeypatch.setattr(work, "Progress", Counted)
    arguments = [*names, "--through", through, "--views", "face-on", "--frames", "9", "--out", str(out)]
    done = CliRunner().invoke(app, ["compare", *arguments])
    assert done.exit_code == 0, done.output
    return done.stdout, page((out / "index.html").read_text()), json.loads((out / "comparison.json").read_text())


def test_a_swing_that_goes_on_is_not_said_to_end_at_the_top(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    terminal, root, numbers = compared(tmp_path / "out", monkeypatch, "centred", "stands-up")
    shown = words(root)
    assert TOP_ALONE not in terminal and TOP_ALONE not in shown
    # Beside the golfers, beside the pictures, which are printed instead of them, and with the cautions of every result.
    assert terminal.count(CAUTION) == 1 and shown.count(BACK) == 1
    for place in ("turning", "stills"):
        assert words(root.get_element_by_id(place)).count(CAUTION) == 1
    assert words(root.get_element_by_id("turning")).count(ALL_ALIKE) == 1
    lead, heads, _ = numbers["differences"][0]["sentences"]
    assert lead in terminal and heads in terminal
    assert "hips toward ball is 6.0 cm (centred has 2.0 cm)" in lead
    # The head is where the chain has it at impact.
    swing = swing_of(load("stands-up"), 9, through_impact=True)
    place = np.asarray(swing.measures.head_moved)[swing.at_impact] * 100.0
    assert f"that of stands-up is {head_words(place, inches=False)} than at address" in heads
    (short,) = root.xpath("//section[@class='short']")
    assert words(short).replace("−", "-").startswith(lead)
    # What the top alone would cost says nothing of a swing whose fault is at impact.
    assert not root.xpath("//p[@class='why']") and "turnstill strike says" in words(short)
    assert root.get_element_by_id("turning").get("data-opens") == "impact"
    told = numbers["swings"][1]
    assert told["at_impact"]["given"]["hips_toward_ball_cm"] == 6.0 and told["moments"][-1]["progress"] == 3.0
    assert told["cautions"][0] == BACK
    # Of impact alone: two tops that are one and the same teach nothing.
    names = ["1-centred-face-on-impact.png", "2-stands-up-face-on-impact.png"]
    assert [(one["file"], one["moment"]) for one in numbers["pictures"]] == [(name, "impact") for name in names]
    assert numbers["files"] == [*names, "comparison.json", "index.html"]
    for name, swing_ in zip(names, ("centred", "stands-up"), strict=True):
        assert (tmp_path / "out" / name).read_bytes() == f"{swing_} face-on at progress 2".encode()


def test_swings_that_differ_at_the_top_are_shown_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _, on, numbers = compared(tmp_path / "on", monkeypatch, "centred", "too-much-tilt")
    terminal, to_top, before = compared(tmp_path / "top", monkeypatch, "centred", "too-much-tilt", through="top")
    assert on.get_element_by_id("turning").get("data-opens") == "top"
    # What is said of the top stays what it was.
    top, whole = before["differences"][0]["sentences"], numbers["differences"][0]["sentences"]
    assert whole[: len(top)] == top and len(whole) == len(top) + 1
    captions = [[words(one) for one in root.xpath("//div[@class='views']//figcaption")] for root in (on, to_top)]
    assert captions[0][:2] == captions[1] and ["at impact" in one for one in captions[0]] == [False, False, True, True]
    told = [(one["swing"], one["moment"], one["file"]) for one in numbers["pictures"]]
    assert told == [
        ("centred", "top", "1-centred-face-on.png"), ("too-much-tilt", "top", "2-too-much-tilt-face-on.png"),
        ("centred", "impact", "1-centred-face-on-impact.png"),
        ("too-much-tilt", "impact", "2-too-much-tilt-face-on-impact.png"),
    ]  # fmt: skip
    for swing, moment, file in told:
        progress = {"top": 1, "impact": 2}[moment]
        assert (tmp_path / "on" / file).read_bytes() == f"{swing} face-on at progress {progress}".encode()
    assert [one["moment"] for one in before["pictures"]] == ["top", "top"]
    # The same camera at both moments, so that places can be compared between them too.
    for one in numbers["pictures"]:
        np.testing.assert_allclose(one["K"], before["pictures"][0]["K"], rtol=1e-6)
        assert one["R"] == before["pictures"][0]["R"]
    # Up to the top a chart's line is what it was.
    for here, there in zip(charts(lxml_html.tostring(on, encoding="unicode")),
                           charts(lxml_html.tostring(to_top, encoding="unicode")), strict=True):  # fmt: skip
        assert here[0] == there[0]
        for name, line in there[1].items():
            np.testing.assert_allclose(here[1][name][: len(line), 1], line[:, 1], atol=0.05)
            assert len(here[1][name]) == len(line) + 4
    assert CAUTION not in terminal and BACK not in words(to_top) and before["swings"][0]["at_impact"] is None


def test_a_report_to_the_top_is_that_of_a_swing_that_ends_there() -> None:
    setup = apply(load("stands-up"), [])
    whole = SwingReport.of(perform(setup, 9, through_impact=True))
    alone = SwingReport.of(perform(setup, 9))
    assert [m.progress for m in whole.to_top] == [m.progress for m in alone.moments] and alone.to_top == alone.moments
    assert whole.to_top[-1].head_up_cm == pytest.approx(alone.moments[-1].head_up_cm, abs=1e-5)


@pytest.mark.parametrize("through_impact", [True, False])
def test_films_and_strips_through_impact_say_what_to_take_care_of(
    through_impact: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    setups = [Setup("one"), Setup("two")]
    film_asked.tell_notes(setups, [swing_of(setup, 3, through_impact=through_impact) for setup in setups])
    assert capsys.readouterr().out.count(CAUTION) == int(through_impact)
