"""Charts by the numbers at their axes: marks, lines, markers and names stand where the values say."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from itertools import pairwise
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnstill.scenes.compare.work import MOST_SWINGS
from turnstill.scenes.paper import axes as paper_axes
from turnstill.scenes.paper.axes import HEIGHT, WIDTH, Axes, Scale, inside, plain, svg, ticks, with_sign
from turnstill.scenes.paper.charts import Line, course_chart, curve_chart
from turnstill.scenes.paper.piece_styles import PIECE_STYLES
from turnstill.scenes.paper.styles import STYLES, Style, key, marker
from turnstill.scenes.words.pieces import NAMES

finite = st.floats(-500, 500)
Element = ElementTree.Element
FRAME = (46.0, 348.0, 206.0, 14.0)
"""Left, right, bottom and top of a chart's frame, pixels."""


def parsed(text: str) -> Element:
    return ElementTree.fromstring(text)


def many(parts: Sequence[str]) -> Element:
    return parsed(f"<g>{''.join(parts)}</g>")


def number(text: str | None) -> float:
    return float((text or "").replace("−", "-").rstrip("%"))


def kind(root: Element, tag: str, name: str = "") -> list[Element]:
    return [one for one in root.iter(tag) if not name or one.get("class") == name]


@given(finite, st.floats(0.01, 1000), st.integers(3, 9))
def test_ticks_are_few_round_and_span_the_range(low: float, span: float, most: int) -> None:
    high = low + span
    marks = ticks(low, high, most)
    step = marks[1] - marks[0]
    assert marks[0] <= low + 1e-9 and marks[-1] >= high - 1e-9
    assert marks[0] > low - step * (1 + 1e-6) and marks[-1] < high + step * (1 + 1e-6)  # No more than that.
    assert 2 <= len(marks) <= most + 2
    lead = step / 10 ** math.floor(math.log10(step) + 1e-6)
    assert min(abs(lead - round_) for round_ in (1, 2, 5, 10)) < 1e-6
    if low < 0 < high:
        assert 0.0 in marks


def test_ticks_by_hand() -> None:
    assert ticks(-1.0, 1.0) == [-1.0, -0.5, 0.0, 0.5, 1.0]
    assert ticks(0.3, 9.1) == [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]
    assert ticks(10.0, 40.0, 7) == [10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0]
    assert ticks(-0.1, 0.3) == [-0.1, 0.0, 0.1, 0.2, 0.3]
    assert len(ticks(2.0, 2.0)) >= 1
    assert inside([-1.0, 0.0, 0.5, 1.0, 1.5], 0.0, 1.0) == [0.0, 0.5, 1.0]
    assert inside([0.3 - 1e-12, 0.7 + 1e-12], 0.3, 0.7) == [0.3 - 1e-12, 0.7 + 1e-12]
    assert inside([0.29, 0.71], 0.3, 0.7) == []


def test_numbers_at_marks() -> None:
    assert [plain(value) for value in (-1.5, 0.0, 2.0, 0.25)] == ["−1.5", "0", "2", "0.25"]
    assert [with_sign(value) for value in (-1.5, 0.0, 2.0)] == ["−1.5", "0", "+2"]


def test_a_scale_draws_its_ends_at_its_ends_both_ways() -> None:
    for scale in (Scale(-2.0, 6.0, 40.0, 200.0), Scale(-2.0, 6.0, 200.0, 40.0)):
        assert scale(-2.0) == scale.start and scale(6.0) == scale.end
        assert scale(0.0) == pytest.approx(scale.start + (scale.end - scale.start) / 4)


def test_axes_fill_a_chart_of_the_usual_size() -> None:
    axes = Axes.of((1.0, 3.0), (10.0, 50.0))
    assert [axes.x(1.0), axes.x(3.0), axes.y(10.0), axes.y(50.0)] == list(FRAME)
    assert (WIDTH, HEIGHT) == (360, 250)
    assert (paper_axes.TEXT_PX, parsed(svg([], "x")).get("font-size")) == (13, "13")


def test_levels_stand_at_their_values_with_their_numbers_and_zero_is_stronger() -> None:
    axes = Axes.of((0.0, 1.0), (-2.0, 2.0))
    root = many(axes.levels([-2.0, 0.0, 1.0], lambda value: f"<{value:g}>"))
    assert [one.get("class") for one in kind(root, "line")] == ["grid", "zero", "grid"]
    for line, text, value in zip(kind(root, "line"), kind(root, "text", "level"), (-2.0, 0.0, 1.0), strict=True):
        place = 206.0 - (value + 2.0) / 4.0 * 192.0
        assert [float(line.get(name, "")) for name in ("x1", "x2", "y1", "y2")] == [46.0, 348.0, place, place]
        assert text.text == f"<{value:g}>" and text.get("text-anchor") == "end"
        assert (float(text.get("x", "")), float(text.get("y", ""))) == (40.0, place + 4.5)


def test_uprights_stand_at_their_values_and_the_last_number_stays_inside() -> None:
    axes = Axes.of((10.0, 20.0), (0.0, 1.0))
    root = many(axes.uprights([10.0, 15.0, 20.0], lambda value: f"<{value:g}>"))
    texts = kind(root, "text", "upright")
    for line, text, value in zip(kind(root, "line", "grid"), texts, (10.0, 15.0, 20.0), strict=True):
        place = 46.0 + (value - 10.0) / 10.0 * 302.0
        assert [float(line.get(name, "")) for name in ("x1", "x2", "y1", "y2")] == [place, place, 14.0, 206.0]
        assert text.text == f"<{value:g}>" and float(text.get("y", "")) == 224.0
    assert [text.get("text-anchor") for text in texts] == ["middle", "middle", "end"]
    assert [float(text.get("x", "")) for text in texts] == [46.0, 197.0, 358.0]
    near = many(axes.uprights([20.0 - 7.9 / 30.2, 20.0 - 8.1 / 30.2], plain))
    assert [text.get("text-anchor") for text in kind(near, "text", "upright")] == ["end", "middle"]
    assert [text.get("x") for text in kind(near, "text", "upright")] == ["350.1", "339.9"]


def test_names_of_the_axes_stand_in_the_middle_and_at_the_ends() -> None:
    axes = Axes.of((0.0, 1.0), (0.0, 1.0))
    name = parsed(axes.x_name("a < b"))
    assert (name.text, name.get("x"), name.get("y"), name.get("text-anchor")) == ("a < b", "197.0", "244", "middle")
    up, down = kind(many(axes.y_ends(("<up", "down"), "c&m")), "text", "end")
    assert (up.text, down.text) == ("<up, c&m", "down, c&m")
    assert [(one.get("x"), one.get("y")) for one in (up, down)] == [("52", "25"), ("52", "200")]


def test_a_course_goes_through_its_values_in_its_own_style() -> None:
    axes = Axes.of((0.0, 10.0), (0.0, 100.0))
    line = parsed(axes.course("<name>", [0.0, 5.0, 10.0], [100.0, 50.0, 0.0], Style("#123456", "7 4", "square")))
    assert line.get("points") == "46.0,14.0 197.0,110.0 348.0,206.0" and line.get("data-name") == "<name>"
    assert (line.get("stroke"), line.get("stroke-dasharray"), line.get("fill")) == ("#123456", "7 4", "none")
    assert parsed(axes.course("n", [0.0], [0.0], Style("#1", "", "ring"))).get("stroke-dasharray") is None
    ring = parsed(axes.marker(Style("#1", "", "ring"), 5.0, 50.0))
    assert (ring.get("cx"), ring.get("cy")) == ("197.0", "110.0")


def test_each_marker_has_its_own_shape_about_its_place() -> None:
    def of(name: str) -> Element:
        return parsed(marker(Style("#abc", "1", name), 50.0, 70.0, 5.0))

    circle, ring, square, cross = of("circle"), of("ring"), of("square"), of("cross")
    for one, fill, stroke in ((circle, "#abc", "#fff"), (ring, "#fff", "#abc"), (square, "#fff", "#abc")):
        assert (one.get("fill"), one.get("stroke")) == (fill, stroke)
    assert [(one.tag, one.get("cx"), one.get("cy"), one.get("r")) for one in (circle, ring)] == [
        ("circle", "50.0", "70.0", "5.0")
    ] * 2
    assert [square.get(name) for name in ("x", "y", "width", "height")] == ["45.0", "65.0", "10.0", "10.0"]
    assert cross.get("d") == "M45.0 65.0L55.0 75.0M45.0 75.0L55.0 65.0" and cross.get("stroke") == "#abc"
    for name, count in (("triangle", 3), ("diamond", 4)):
        shape = of(name)
        points = np.array([list(map(float, pair.split(","))) for pair in shape.get("points", "").split()])
        assert len(points) == count and (shape.get("fill"), shape.get("stroke")) == ("#abc", "#fff")
        assert points[0, 0] == 50.0 and points[0, 1] == points[:, 1].min() < 70.0  # A corner on top, in the middle.
        np.testing.assert_allclose(sorted(points[:, 0] - 50.0), sorted(50.0 - points[:, 0]), atol=1e-9)
        assert np.all(np.abs(points - [50.0, 70.0]) <= 1.3 * 5.0 + 1e-9)
    assert points[2].tolist() == [50.0, 76.5]  # A diamond stands on a corner, a triangle does not.
    assert parsed(marker(STYLES[0], 1.0, 2.0)).get("r") == "4.0"


def test_a_legends_key_is_a_piece_of_the_line_with_its_marker() -> None:
    shown = parsed(key(Style("#123456", "7 4", "ring")))
    (line,), (ring,) = kind(shown, "line"), kind(shown, "circle")
    assert [line.get(name) for name in ("x1", "x2", "y1", "y2")] == ["1", "43", "7", "7"]
    assert (line.get("stroke"), line.get("stroke-dasharray")) == ("#123456", "7 4")
    assert (ring.get("cx"), ring.get("cy"), ring.get("stroke")) == ("22.0", "7.0", "#123456")
    assert shown.get("aria-hidden") == "true" and shown.get("viewBox") == "0 0 44 14"
    assert kind(parsed(key(Style("#1", "", "ring"))), "line")[0].get("stroke-dasharray") is None


def test_swings_and_pieces_are_told_apart_without_colour() -> None:
    assert len(STYLES) >= MOST_SWINGS and list(PIECE_STYLES) == list(NAMES)
    assert tuple(PIECE_STYLES.values())[: len(STYLES)] == STYLES
    for styles in (STYLES, tuple(PIECE_STYLES.values())):
        assert len({style.dash for style in styles}) == len({style.colour for style in styles}) == len(styles)
    assert len({style.marker for style in STYLES}) == len(STYLES)
    for style in PIECE_STYLES.values():
        parsed(key(style))
        assert re.fullmatch(r"#[0-9a-f]{6}", style.colour) and re.fullmatch(r"(\d+ \d+( \d+ \d+)*)?", style.dash)
        red, green, blue = (int(style.colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (red, green, blue)]
        # WCAG 2.2, contrast ratio of at least 4.5 to white.
        assert 1.05 / (0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2] + 0.05) >= 4.5


def at_axes(root: Element) -> tuple[np.poly1d, np.poly1d]:
    """Pixels to values, both ways, read off the marks."""

    def scale(name: str, along: str) -> np.poly1d:
        places, values = [], []
        children = list(root)
        for line, text in pairwise(children):
            if text.get("class") == name and text.text not in ("address", "top", "impact"):
                places.append(float(line.get(f"{along}1", "")))
                values.append(number(text.text))
        return np.poly1d(np.polyfit(places, values, 1) if places else [np.nan])

    return scale("upright", "x"), scale("level", "y")


def points_of(line: Element) -> np.ndarray:
    return np.array([list(map(float, pair.split(","))) for pair in line.get("points", "").split()])


def test_a_course_chart_shows_each_swing_under_its_own_name() -> None:
    progress = [0.0, 0.1, 0.3, 0.4, 0.6, 0.7, 0.9, 1.0]
    values = {"one": [0.0, 1.5, 2.5, 3.5, 4.0, 5.0, 6.5, 7.25], "t & wo": [0.0, -1, -2, -4, -3, -2.5, -1.5, -0.5]}
    lines = [Line(name, found, STYLES[k + 3]) for k, (name, found) in enumerate(values.items())]
    root = parsed(course_chart("head up", "cm", progress, lines, ("up", "down"), 1.0))
    x, y = at_axes(root)
    for line, style in zip(kind(root, "polyline"), STYLES[3:], strict=False):
        places = points_of(line)
        np.testing.assert_allclose(x(places[:, 0]) / 100.0, progress, atol=1e-3)
        np.testing.assert_allclose(y(places[:, 1]), values[line.get("data-name") or ""], atol=0.01)
        assert line.get("stroke") == style.colour and line.get("stroke-dasharray") == style.dash
    assert [text.text for text in kind(root, "text", "upright")] == ["0%", "25%", "50%", "75%", "100%"]
    assert [number(text.text) for text in kind(root, "text", "level")] == [-5.0, 0.0, 5.0, 10.0]
    assert kind(root, "text", "level")[-1].text == "+10"
    assert [text.text for text in kind(root, "text", "end")] == ["up, cm", "down, cm"]
    assert "backswing done, address to top" in [text.text for text in kind(root, "text")]
    assert root.get("aria-label") == (
        "head up against progress of the backswing: one ends at +7.2 cm; t & wo ends at -0.5 cm."
    )
    # Five markers of each: of moments 0, 7/4, 14/4, 21/4 and 7 to the nearest, at their own values.
    diamonds = [points_of(one)[0, 0] for one in kind(root, "polygon")]
    crosses = [one.get("d", "") for one in kind(root, "path")]
    assert len(diamonds) == len(crosses) == 5
    np.testing.assert_allclose(x(np.array(diamonds)) / 100.0, [progress[k] for k in (0, 2, 4, 5, 7)], atol=1e-3)
    start = [tuple(map(float, re.findall(r"[\d.]+", text)[:2])) for text in crosses]
    np.testing.assert_allclose(
        y(np.array([b for _, b in start]) + 4.0), [values["t & wo"][k] for k in (0, 2, 4, 5, 7)], atol=0.01
    )


def test_a_course_that_goes_on_is_read_at_the_top_and_at_impact() -> None:
    """In uneven moments, most of them on the way up, and its highest value at neither."""
    progress = [0.0, 0.1, 0.2, 0.3, 0.6, 1.0, 1.2, 1.5, 1.6, 1.9, 2.0]
    values = {"one": [0.0, 0.5, 1.0, 1.5, 2.0, 3.25, 6.0, 7.5, 9.0, 4.0, 2.5], "two": [-0.7 * k for k in range(11)]}
    lines = [Line(name, found, STYLES[k + 3]) for k, (name, found) in enumerate(values.items())]
    root = parsed(course_chart("head up", "cm", progress, lines, ("up", "down"), 1.0))
    marks = kind(root, "text", "upright")
    assert [text.text for text in marks] == ["address", "top", "impact"]
    # Each name stands at its own line; the last one ends at the chart's edge, so its line is what says where it is.
    at = [float(line.get("x1", "")) for line, text in pairwise(root) if text.get("class") == "upright"]
    assert at == [46.0, 197.0, 348.0]
    _, y = at_axes(root)
    for line in kind(root, "polyline"):
        places = points_of(line)
        np.testing.assert_allclose((places[:, 0] - 46.0) / 151.0, progress, atol=1e-3)
        np.testing.assert_allclose(y(places[:, 1]), values[line.get("data-name") or ""], atol=0.03)
    # A quarter of the moments up to the top apart, and then half of those after it: the top and impact among them.
    diamonds = np.array([points_of(one)[0, 0] for one in kind(root, "polygon")])
    np.testing.assert_allclose((diamonds - 46.0) / 151.0, [progress[k] for k in (0, 1, 2, 4, 5, 7, 10)], atol=1e-3)
    assert root.get("aria-label") == (
        "head up from address to the top and on to impact: one is at +3.2 cm at the top and +2.5 cm at impact; two is "
        "at -3.5 cm at the top and -7.0 cm at impact."
    )


def test_a_still_head_looks_still() -> None:
    flat = Line("still", [0.0, 0.01], STYLES[0])
    for least, marks in ((1.0, (-1.0, 1.0)), (0.5, (-0.6, 0.6))):
        root = parsed(course_chart("a", "in", [0.0, 1.0], [flat], ("up", "down"), least))
        found = [number(text.text) for text in kind(root, "text", "level")]
        assert (found[0], found[-1]) == marks


def test_a_curve_chart_shows_each_measure_against_what_was_tried() -> None:
    x_values = [float(k) for k in range(10, 50)]
    lines = [Line("rise", [0.5 * k + 3 for k in range(40)], STYLES[3]),
             Line("fall", [20.0 - 0.25 * k for k in range(40)], STYLES[4], [STYLES[5]] * 39 + [STYLES[0]])]  # fmt: skip
    root = parsed(curve_chart("turn", "°", "flare, °", x_values, lines, 5.0))
    x, y = at_axes(root)
    for line, one in zip(kind(root, "polyline"), lines, strict=True):
        places = points_of(line)
        np.testing.assert_allclose(x(places[:, 0]), x_values, atol=0.01)
        np.testing.assert_allclose(y(places[:, 1]), one.values, atol=0.02)
        assert line.get("data-name") == one.name
        assert (line.get("stroke"), line.get("stroke-dasharray")) == (one.style.colour, one.style.dash)
    # At most fifteen markers and the last: every third of forty. A value's own style comes before the line's.
    marked = [k for k in range(40) if k % 3 == 0]
    np.testing.assert_allclose([points_of(one)[0, 0] for one in kind(root, "polygon")],
                               [points_of(kind(root, "polyline")[0])[k, 0] for k in marked], atol=0.06)  # fmt: skip
    rings = [one for one in kind(root, "circle") if one.get("fill") == "#fff"]
    (last,) = [one for one in kind(root, "circle") if one.get("fill") == STYLES[0].colour]
    assert len(rings) == 13 and float(last.get("cx", "")) == 348.0
    assert y(float(last.get("cy", ""))) == pytest.approx(lines[1].values[-1], abs=0.02)
    assert [number(text.text) for text in kind(root, "text", "upright")] == [10, 20, 30, 40]
    assert "flare, °" in [text.text for text in kind(root, "text")]
    assert root.get("aria-label") == "turn against flare, °: rise from 3.0 to 22.5 °; fall from 20.0 to 10.2 °."
    bare = parsed(curve_chart("n", "", "x", [0.0, 1.0], [Line("a", [1.0, 2.0], STYLES[0])], 1.0))
    assert bare.get("aria-label") == "n against x: a from 1.0 to 2.0."


def test_what_hardly_changes_looks_so_and_an_axis_spans_zero_where_it_must() -> None:
    def levels(values: list[float], least: float, zero: bool = False) -> tuple[float, float]:
        root = parsed(curve_chart("t", "", "x", [0.0, 1.0], [Line("a", values, STYLES[0])], least, zero=zero))
        found = [number(text.text) for text in kind(root, "text", "level")]
        return found[0], found[-1]

    assert levels([19.5, 20.5], 8.0) == (16.0, 24.0)
    assert levels([20.0, 40.0], 10.0) == (20.0, 40.0)
    assert levels([20.0, 40.0], 10.0, zero=True) == (0.0, 40.0)
    assert levels([-20.0, -40.0], 10.0, zero=True) == (-40.0, 0.0)
    # What is spared goes to the side that zero is not on, and without it to both.
    assert levels([1.0, 2.0], 10.0, zero=True) == (0.0, 10.0)
    assert levels([-1.0, -2.0], 10.0, zero=True) == (-10.0, 0.0)
    assert levels([-10.0, 0.0], 20.0) == (-15.0, 5.0)
    assert levels([-10.0, 10.0], 40.0, zero=True) == (-20.0, 20.0)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.lists(finite, min_size=5, max_size=5), min_size=1, max_size=MOST_SWINGS))
def test_a_chart_is_sound_and_stays_inside(courses: list[list[float]]) -> None:
    progress = [0.0, 0.25, 0.5, 0.75, 1.0]
    lines = [Line(f"<{k}>", values, STYLES[k]) for k, values in enumerate(courses)]
    for text in (
        course_chart("Head & height", "cm", progress, lines, ("up", "down")),
        curve_chart("Head & height", "cm", "x", progress, lines, 1.0),
    ):
        drawn = kind(parsed(text), "polyline")
        assert [line.get("data-name") for line in drawn] == [line.name for line in lines]
        for line, values in zip(drawn, courses, strict=True):
            places = points_of(line)
            assert np.all(places >= 0) and np.all(places <= [WIDTH, HEIGHT])
            for (a, b), (pa, pb) in zip(pairwise(values), pairwise(places), strict=True):
                # Higher values are higher up, to the tenth of a pixel that is written.
                assert (b - a) * (pa[1] - pb[1]) >= 0 or abs(pa[1] - pb[1]) <= 0.11


def test_a_drawing_tells_what_it_shows_and_escapes_it() -> None:
    root = parsed(svg(["<circle/>", "<rect/>"], 'a "<b>" & c', 12.0, 34.0))
    assert root.get("aria-label") == 'a "<b>" & c' and root.get("viewBox") == "0 0 12.0 34.0"
    assert [one.tag for one in root] == ["circle", "rect"] and root.get("role") == "img"
    assert root.get("class") == "chart" and parsed(svg([], "x")).get("viewBox") == "0 0 360 250"
    assert svg([], "x").__html__()  # A page takes it as it is.
