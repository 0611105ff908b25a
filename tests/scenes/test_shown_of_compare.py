"""Every number of a comparison stands where its label says: reports with numbers that are all different."""

from __future__ import annotations

import numpy as np
import pytest
from compare_pages import arcs_of, comparison_page
from distinct import whole_swing
from shown import MINUS, charts, figures, number, page, tables, words

from turnstill.scenes.simulate.table import swing_table
from turnstill.scenes.views.pictures import ViewPicture

HEAD, TRUNK = "Head, at the top: ", "Trunk's inclination from the vertical (pelvis to base of neck): "
PIECES, HELD = "Pieces achieved, at the top: ", "What would keep this head still: "
TOP, ADDRESS, STEADY = ("moments", -1), ("moments", 0), ("steady",)
ROWS = {
    f"{HEAD}toward target cm": (*TOP, "head_toward_target_cm"),
    f"{HEAD}toward ball cm": (*TOP, "head_toward_ball_cm"),
    f"{HEAD}up cm": (*TOP, "head_up_cm"),
    f"{TRUNK}down the line, at address °": (*ADDRESS, "inclination_down_the_line_deg"),
    f"{TRUNK}down the line, at the top °": (*TOP, "inclination_down_the_line_deg"),
    f"{TRUNK}in space, at the top °": (*TOP, "inclination_deg"),
    f"{TRUNK}shoulder line to the horizontal °": (*TOP, "shoulder_plane_deg"),
    f"{PIECES}hip turn °": (*TOP, "hip_turn_deg"),
    f"{PIECES}shoulder turn °": (*TOP, "shoulder_turn_deg"),
    f"{PIECES}tilt °": (*TOP, "tilt_deg"),
    f"{PIECES}extension °": (*TOP, "extension_deg"),
    f"{PIECES}lead knee flex °": (*TOP, "lead_knee_flex_deg"),
    f"{PIECES}trail knee flex °": (*TOP, "trail_knee_flex_deg"),
    f"{PIECES}pelvis toward target cm": (*TOP, "pelvis_toward_target_cm"),
    f"{PIECES}weight on trail foot, standing still %": (*TOP, "trail_weight_share"),
    f"{PIECES}balance margin, standing still cm": (*TOP, "balance_margin_cm"),
    f"{HELD}tilt °": (*STEADY, "tilt_deg"),
    f"{HELD}extension °": (*STEADY, "extension_deg"),
    f"{HELD}tilt departs from that by °": (*STEADY, "tilt_departure_deg"),
    f"{HELD}extension departs from that by °": (*STEADY, "extension_departure_deg"),
}
"""Label to where its number comes from, written out by hand."""
FARTHEST = f"{HEAD}farthest from its place, face-on cm"


SWINGS = [whole_swing("one", 0), whole_swing("two", 300), whole_swing("three", 600)]


def at(report: object, path: tuple[str | int, ...]) -> float:
    for step in path:
        report = report[step] if isinstance(step, int) else getattr(report, step)  # type: ignore[index]
    return float(report) * (100.0 if path[-1] == "trail_weight_share" else 1.0)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def html() -> str:
    drawn = [
        ViewPicture(k, view, f"{view} of {k}".encode()) for view in ("down-the-line", "face-on") for k in (2, 0, 1)
    ]
    return comparison_page(SWINGS, [["second differs"], ["third differs"]], drawn)


def test_every_cell_is_the_number_its_row_and_column_say(html: str) -> None:
    (table,) = tables(html)
    assert {row for row, _ in table} == {*ROWS, FARTHEST}
    for report in SWINGS:
        for row, path in ROWS.items():
            rounding = 0.51 if row.endswith("%") else 0.051
            assert number(table[row, report.preset]) == pytest.approx(at(report, path), abs=rounding), row
        worst = max(np.hypot(m.head_toward_target_cm, m.head_up_cm) for m in report.moments)
        assert number(table[FARTHEST, report.preset]) == pytest.approx(worst, abs=0.051)


def test_a_difference_is_that_from_the_first_column(html: str) -> None:
    (table,) = tables(html)
    for row, path in ROWS.items():
        assert "(" not in table[row, "one"]
        for report in SWINGS[1:]:
            apart = at(report, path) - at(SWINGS[0], path)
            rounding = 1.01 if row.endswith("%") else 0.11
            assert number(table[row, report.preset].split("(")[1]) == pytest.approx(apart, abs=rounding), row


def test_cells_that_read_the_same_are_marked_the_same() -> None:
    """-1.86 and -1.94 both read -1.9, of which both are as far from -1.64, which reads -1.6."""
    near = [
        report.replaced(moments=[m.replaced(head_up_cm=value) for m in report.moments])
        for report, value in zip(SWINGS, (-1.64, -1.86, -1.94), strict=True)
    ]
    (table,) = tables(comparison_page(near, [["a"], ["b"]], []))
    texts = {name: table[f"{HEAD}up cm", name] for name in ("one", "two", "three")}
    assert texts["one"] == f"{MINUS}1.6" and texts["two"] == texts["three"] == f"{MINUS}1.9 ({MINUS}0.3)"


def test_inches_are_lengths_over_two_point_five_four() -> None:
    drawn = [ViewPicture(0, "face-on", b"x")]
    (table,) = tables(comparison_page(SWINGS, [["a"], ["b"]], drawn, inches=True))
    for row, path in ROWS.items():
        if row.endswith(" cm"):
            shown = number(table[f"{row.removesuffix('cm')}in", "two"])
            assert shown == pytest.approx(at(SWINGS[1], path) / 2.54, abs=0.0051)


def test_a_picture_stands_over_its_own_swings_name_and_numbers(html: str) -> None:
    seen = figures(html)
    assert [one.picture.decode() for one in seen] == [
        f"{view} of {k}" for view in ("down-the-line", "face-on") for k in (2, 0, 1)
    ]
    for one in seen:
        view, k = one.picture.decode().split(" of ")
        report = SWINGS[int(k)]
        assert one.caption.startswith(f"{report.preset}:") and one.alt.startswith(f"{report.preset}, ")
        key, word = {
            "face-on": ("lean_face_on_deg", "lean face-on"),
            "down-the-line": ("inclination_down_the_line_deg", "inclination down the line"),
        }[view]
        first, _, last = (round(getattr(moment, key)) for moment in report.moments)
        assert f"{word} is {first}° at address and {last}° at the top".replace("-", "−") in one.caption.replace(
            "-", "−"
        )
        axes = {"face-on": "head_toward_target_cm", "down-the-line": "head_toward_ball_cm"}
        assert f"{abs(getattr(report.moments[-1], axes[view])):.1f} cm" in one.caption
        assert f"{abs(report.moments[-1].head_up_cm):.1f} cm" in one.caption
        other = axes["down-the-line" if view == "face-on" else "face-on"]
        assert f"{abs(getattr(report.moments[-1], other)):.1f} cm" not in one.caption


def test_lines_of_charts_are_what_the_axes_say(html: str) -> None:
    shown = dict(charts(html))
    keys = {f"Head {way} since address, cm": f"head_{way.replace(' ', '_')}_cm"
            for way in ("up", "toward target", "toward ball")}  # fmt: skip
    assert set(shown) == set(keys)
    for caption, key in keys.items():
        for report in SWINGS:
            line = shown[caption][report.preset]
            np.testing.assert_allclose(line[:, 0], [0.0, 50.0, 100.0], atol=0.1)
            # The longest axis is some thousand centimetres, and a place is told to a tenth of a pixel.
            np.testing.assert_allclose(line[:, 1], [getattr(m, key) for m in report.moments], atol=3.0)


@pytest.mark.parametrize("inches", [False, True])
def test_why_it_matters_has_each_swings_own_low_point(inches: bool) -> None:
    arcs = arcs_of(3)
    text = comparison_page(SWINGS, [["second differs"], ["third differs"]], [], inches=inches, arcs=arcs)
    (why,) = page(text).xpath("//p[@class='why']")
    said = words(why)
    assert said.startswith("Why it matters. If the move is not given back before impact")
    for report, arc in zip(SWINGS, arcs, strict=True):
        parts = []
        for moved, ways in (
            (arc.toward_target_cm, ("nearer to the target", "farther from the target")),
            (arc.up_cm, ("higher", "lower")),
            (arc.toward_ball_cm, ("nearer to the ball", "farther from the ball")),
        ):
            parts.append((abs(moved), f"{told(moved, inches)} {ways[moved < 0]}"))
        (_, most), (_, other), (_, least) = sorted(parts, reverse=True)
        assert f"in {report.preset} {most}, {other} and {least}" in said
        (rest,) = [part for part in said.split("In ") if part.startswith(f"{report.preset}, the golfer's centred arc")]
        side = "past" if arc.low_point_ahead_cm > 0 else "before"
        assert f"bottoms out {told(arc.low_point_ahead_cm, inches)} {side} the ball" in rest
        level = "above" if arc.club_up_at_ball_cm > 0 else "below"
        assert f"at the ball is {told(arc.club_up_at_ball_cm, inches)} {level} the ground and" in rest
        beside = "farther out than the ball" if arc.club_out_at_ball_cm > 0 else "to the golfer’s side of the ball"
        assert f"{told(arc.club_out_at_ball_cm, inches)} {beside}." in rest


def told(value: float, inches: bool) -> str:
    return f"{abs(value) / 2.54:.2f} in" if inches else f"{abs(value):.1f} cm"


TERMINAL = (
    "progress", "head_toward_target_cm", "head_toward_ball_cm", "head_up_cm", "inclination_deg",
    "inclination_down_the_line_deg", "hip_turn_deg", "shoulder_turn_deg", "tilt_deg", "extension_deg",
    "lead_knee_flex_deg", "trail_knee_flex_deg", "trail_weight_share",
)  # fmt: skip
HEADINGS = (
    "done|head toward target|head toward ball|head up|incl.|incl. down line|hip turn|shoul- der turn|tilt|ext.|"
    "lead knee|trail knee|trail weight"
)


def test_columns_of_the_terminal_stand_under_their_headings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    pieces = ("hip_turn_deg", "shoulder_turn_deg", "tilt_deg", "extension_deg", "lead_flex_change_deg",
              "trail_flex_change_deg", "sway_cm", "hips_toward_ball_cm", "lead_heel_rise_cm",
              "trail_heel_rise_cm")  # fmt: skip
    report = SWINGS[0].replaced(
        asked={key: 11.1 + 2.2 * k for k, key in enumerate(pieces)},
        achieved={key: -12.2 - 2.3 * k for k, key in enumerate(pieces)},
        pieces={"tilt_deg": "steady+4"},
    )
    lines = swing_table(report).splitlines()
    top = next(k for k, line in enumerate(lines) if line.split() and line.split()[0] == "%")
    row = lines[top + 2].split()
    values = [getattr(report.moments[0], key) for key in TERMINAL]
    shares = {"progress", "trail_weight_share"}
    expected = [
        f"{value * 100:.0f}" if key in shares else f"{value:+.1f}" if key.endswith("_cm") else f"{value:.1f}"
        for key, value in zip(TERMINAL, values, strict=True)
    ]
    assert row == expected
    heads = lines[top - 3 : top + 1]
    ends = [k for k, c in enumerate(heads[3]) if c != " " and (k + 1 == len(heads[3]) or heads[3][k + 1] == " ")]
    starts = [-1, *ends[:-1]]
    columns = list(zip(starts, ends, strict=True))
    said = [" ".join(" ".join(line[a + 1 : b + 1] for line in heads[:3]).split()) for a, b in columns]
    assert said == HEADINGS.split("|")
    for key in pieces:
        name, unit = key.rsplit("_", 1)
        mark = "°" if unit == "deg" else " cm"
        line = next(line for line in lines if line.strip().startswith(name.replace("_", " ")) and mark in line)
        assert f"{report.asked[key]:+.1f}{mark}" in line
        assert line.index(f"{report.asked[key]:+.1f}") < line.index(f"{report.achieved[key]:+.1f}")
        assert ("(steady+4)" in line) == (key == "tilt_deg")
