"""Arrows that add up: each where its numbers say, joined head to tail, with its own name, style and place beside."""

from __future__ import annotations

import math
from itertools import pairwise
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnstill.scenes.paper import view_plane
from turnstill.scenes.paper.arrows import Arrow, arrows_chart
from turnstill.scenes.paper.styles import STYLES, Style

Element = ElementTree.Element
ENDS = ("away <from> target", "toward target")
LEFT, RIGHT, TOP, BOTTOM = 38.0, 240.0, 26.0, 252.0
"""Where arrows may be: the column of names begins at 258."""
SMALL = st.floats(-8.0, 8.0)


def many(parts: list[str]) -> Element:
    return ElementTree.fromstring(f"<g>{''.join(parts)}</g>")


def numbers(one: Element, *names: str) -> list[float]:
    return [float(one.get(name, "nan")) for name in names]


def value(text: Element) -> float:
    return float((text.text or "").replace("−", "-"))


def points(one: Element) -> list[tuple[float, float]]:
    return [(float(a), float(b)) for a, b in (pair.split(",") for pair in one.get("points", "").split())]


def test_a_plane_has_one_scale_up_and_to_the_side_that_counts() -> None:
    assert view_plane.Plane(10.0, 100.0, 200.0, 1).at(2.0, 3.0) == (120.0, 170.0)
    assert view_plane.Plane(10.0, 100.0, 200.0, -1).at(2.0, -3.0) == (80.0, 230.0)


@settings(max_examples=80, deadline=None)
@given(st.lists(st.tuples(SMALL, SMALL), min_size=1, max_size=6), st.sampled_from([1, -1]))
def test_everything_fits_in_the_middle_and_marks_are_far_enough_apart(chain: list, direction: int) -> None:
    plane, step = view_plane.fit_plane(chain, direction, 1.0)
    places = np.array([plane.at(*one) for one in chain])
    assert np.all(places[:, 0] >= LEFT) and np.all(places[:, 0] <= RIGHT)
    assert np.all(places[:, 1] >= TOP) and np.all(places[:, 1] <= BOTTOM)
    ends = [np.array([direction * a for a, _ in chain]), np.array([b for _, b in chain])]
    spans = [(min(-1.0, found.min()), max(1.0, found.max())) for found in ends]
    room = [plane.scale * (high - low) for low, high in spans]
    assert max(room[0] / (RIGHT - LEFT), room[1] / (BOTTOM - TOP)) == pytest.approx(0.9)
    middle = [plane.x0 + plane.scale * sum(spans[0]) / 2, plane.y0 - plane.scale * sum(spans[1]) / 2]
    assert middle == pytest.approx([(LEFT + RIGHT) / 2, (TOP + BOTTOM) / 2])
    assert step * plane.scale * (1 + 1e-9) >= 34.0 and step * plane.scale <= 34.0 * 2.5 + 1e-6
    lead = step / 10 ** math.floor(math.log10(step) + 1e-6)
    assert min(abs(lead - round_) for round_ in (1, 2, 5, 10)) < 1e-6


@pytest.mark.parametrize("direction", [1, -1])
def test_marks_stand_at_their_values_over_the_whole_plane(direction: int) -> None:
    plane, step = view_plane.Plane(20.0, 120.0, 160.0, direction), 2.0
    root = many(view_plane.grid(plane, step))
    lines, texts = list(root.iter("line")), list(root.iter("text"))
    seen: dict[str, list[float]] = {"upright": [], "level": []}
    for line, text in zip(lines, texts, strict=True):
        x1, x2, y1, y2 = numbers(line, "x1", "x2", "y1", "y2")
        upright = x1 == x2
        if upright:
            assert (x1, y1, y2) == (plane.at(value(text), 0.0)[0], TOP, BOTTOM)
            assert (*numbers(text, "x", "y"), text.get("text-anchor")) == (x1, BOTTOM + 17, "middle")
        else:
            assert (y1, x1, x2) == (plane.at(0.0, value(text))[1], LEFT, RIGHT)
            assert (*numbers(text, "x", "y"), text.get("text-anchor")) == (LEFT - 5, y1 + 4.5, "end")
        assert line.get("class") == ("zero" if value(text) == 0 else "grid")
        assert text.text == ("0" if value(text) == 0 else f"{value(text):+g}".replace("-", "−"))
        seen["upright" if upright else "level"].append(value(text))
    assert sorted(seen["upright"]) == sorted(direction * k for k in (-4.0, -2.0, 0.0, 2.0, 4.0, 6.0))
    assert sorted(seen["level"]) == [-4.0, -2.0, 0.0, 2.0, 4.0, 6.0]


def test_the_two_ends_change_places_in_a_mirrored_view() -> None:
    for mirrored, (left, right) in ((False, ENDS), (True, ENDS[::-1])):
        up, low, high = many(view_plane.axis_names("c<m", ENDS, mirrored))
        assert (up.text, low.text, high.text) == ("up, c<m", f"← {left}", f"{right}, c<m →")
        assert [one.get("class") for one in (up, low, high)] == ["end"] * 3
        assert [numbers(one, "x", "y") for one in (up, low, high)] == [[8.0, 13.0], [8.0, 292.0], [300.0, 292.0]]
        assert (low.get("text-anchor"), high.get("text-anchor")) == (None, "end")


def test_an_arrow_goes_from_its_start_to_its_point() -> None:
    style = Style("#123456", "7 4", "ring")
    drawn = many([view_plane.arrow_line((10.0, 20.0), (40.0, 60.0), style)])  # 50 long, along (0.6, 0.8).
    (line,), (head,) = drawn.iter("line"), drawn.iter("polygon")
    assert numbers(line, "x1", "y1", "x2", "y2") == [10.0, 20.0, 34.6, 52.8]  # The neck is 9 before the point.
    assert (line.get("stroke"), line.get("stroke-dasharray"), head.get("fill")) == ("#123456", "7 4", "#123456")
    tip, one, other = (np.array(place) for place in points(head))
    assert tuple(tip) == (40.0, 60.0)
    np.testing.assert_allclose((one + other) / 2, [34.6, 52.8], atol=0.06)
    np.testing.assert_allclose(abs((one - other) @ [0.6, 0.8]), 0.0, atol=0.1)
    np.testing.assert_allclose(np.linalg.norm(one - other), 0.9 * 9.0, atol=0.1)
    (short,) = many([view_plane.arrow_line((0.0, 0.0), (5.0, 0.0), Style("#1", "", "ring"))]).iter("line")
    assert numbers(short, "x2", "y2") == [2.0, 0.0] and short.get("stroke-dasharray") is None
    assert view_plane.arrow_line((1.0, 1.0), (1.05, 1.0), style) == ""
    assert view_plane.arrow_line((1.0, 1.0), (1.0, 1.11), style)


def test_the_head_is_a_ring_where_it_was_and_a_dot_where_it_went() -> None:
    for text, fill, stroke in (
        (view_plane.ring((1.0, 2.0)), "#fff", "#1c252e"),
        (view_plane.dot((1.0, 2.0)), "#1c252e", "#fff"),
    ):
        one = ElementTree.fromstring(text)
        assert [*numbers(one, "cx", "cy", "r"), one.get("fill"), one.get("stroke")] == [1.0, 2.0, 5.0, fill, stroke]


@settings(max_examples=80, deadline=None)
@given(st.lists(st.tuples(st.floats(40, 230), st.floats(30, 250)), min_size=1, max_size=9))
def test_names_stand_in_their_arrows_order_and_never_on_one_another(middles: list) -> None:
    names = [f"<{k}>" for k in range(len(middles))]
    root = many(view_plane.names_beside(names, middles))
    rows = {text.text: numbers(text, "x", "y") for text in root.iter("text")}
    assert set(rows) == set(names) and all(x == 258.0 for x, _ in rows.values())
    order = sorted(range(len(names)), key=lambda k: middles[k][1])
    heights = [rows[names[k]][1] - 4.5 for k in order]
    assert all(b - a >= 16.9 for a, b in pairwise(heights)) and heights[-1] <= 248.05
    if len(names) == 1 and 32.0 <= middles[0][1] <= 248.0:
        assert heights[0] == pytest.approx(max(32.0, middles[0][1]), abs=0.06)
    for tie, spot, text in zip(root.iter("polyline"), root.iter("circle"), root.iter("text"), strict=True):
        middle = middles[int((text.text or "")[1:-1])]
        start, bend, end = points(tie)
        assert start == pytest.approx(middle, abs=0.051) and numbers(spot, "cx", "cy") == list(start)
        assert (bend[0], end[0]) == (246.0, 255.0)
        assert bend[1] == end[1] == pytest.approx(float(text.get("y", "")) - 4.5, abs=0.11)


def test_names_keep_beside_their_arrows_where_there_is_room_and_stay_inside() -> None:
    def heights(*middles: float) -> list[float]:
        root = many(view_plane.names_beside([str(k) for k in range(len(middles))], [(100.0, y) for y in middles]))
        return [float(text.get("y", "")) - 4.5 for text in root.iter("text")]

    assert heights(100.0, 160.0) == [100.0, 160.0]
    assert heights(100.0, 105.0) == [100.0, 117.0]
    assert heights(245.0, 247.0) == [231.0, 248.0]
    assert heights(10.0) == [32.0]


ARROWS = (
    Arrow("tilt", 2.0, -3.0, STYLES[0]),
    Arrow("s & way", -4.5, 1.25, STYLES[1]),
    Arrow("ext", 0.5, 4.0, STYLES[2]),
)


@pytest.mark.parametrize("mirrored", [False, True])
def test_arrows_are_joined_head_to_tail_and_end_where_the_head_went(mirrored: bool) -> None:
    root = ElementTree.fromstring(arrows_chart("Head's <way>", "cm", ARROWS, ENDS, mirrored=mirrored))
    chain = [(0.0, 0.0), (2.0, -3.0), (-2.5, -1.75), (-2.0, 2.25)]
    plane, _ = view_plane.fit_plane(chain, -1 if mirrored else 1, 1.0)
    places = [plane.at(*one) for one in chain]
    drawn = [one for one in root.iter("line") if one.get("stroke-width") == "2.6"]
    heads = list(root.iter("polygon"))
    for line, head, arrow, start, end in zip(drawn, heads, ARROWS, places, places[1:], strict=False):
        assert numbers(line, "x1", "y1") == pytest.approx(start, abs=0.051)
        assert points(head)[0] == pytest.approx(end, abs=0.051)
        assert line.get("stroke") == head.get("fill") == arrow.style.colour
    assert len(drawn) == len(heads) == 3
    (net,) = [one for one in root.iter("line") if one.get("stroke-width") == "9"]
    assert numbers(net, "x1", "y1", "x2", "y2") == pytest.approx([*places[0], *places[-1]], abs=0.051)
    was, went = [one for one in root.iter("circle") if one.get("r") == "5"]
    assert numbers(was, "cx", "cy") == pytest.approx(places[0], abs=0.051) and was.get("fill") == "#fff"
    assert numbers(went, "cx", "cy") == pytest.approx(places[-1], abs=0.051) and went.get("fill") == "#1c252e"
    spots = {numbers(one, "cx", "cy")[1]: one for one in root.iter("circle") if one.get("r") == "1.8"}
    names = [text.text for text in root.iter("text") if text.get("x") == "258"]
    middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in pairwise(places)]
    assert names == [ARROWS[k].name for k in sorted(range(3), key=lambda k: middles[k][1])]
    assert sorted(spots) == pytest.approx(sorted(y for _, y in middles), abs=0.051)
    assert root.get("aria-label") == (
        "Head's <way>, cm: tilt +2.0 across, -3.0 up; s & way -4.5 across, +1.2 up; ext +0.5 across, +4.0 up; together "
        "-2.0 across (toward target positive), +2.2 up."
    )
    ends = [text.text for text in root.iter("text") if text.get("class") == "end"]
    assert ends[1] == f"← {ENDS[mirrored]}"
    marks = [text for text in root.iter("text") if text.get("text-anchor") == "middle"]
    for text in marks:
        assert float(text.get("x", "")) == pytest.approx(plane.at(value(text), 0.0)[0], abs=0.051)


def test_a_head_that_nothing_moves_is_told_so_and_looks_still() -> None:
    root = ElementTree.fromstring(arrows_chart("t", "cm", [], ENDS))
    assert root.get("aria-label") == (
        "t, cm: no piece moves it; together +0.0 across (toward target positive), +0.0 up."
    )
    assert not list(root.iter("polygon")) and (root.get("viewBox"), root.get("font-size")) == ("0 0 360 300", "13")
    plane, _ = view_plane.fit_plane([(0.0, 0.0)], 1, 2.0)
    wide = ElementTree.fromstring(arrows_chart("t", "cm", [], ENDS, least=2.0))
    places = [float(text.get("x", "")) for text in wide.iter("text") if text.get("text-anchor") == "middle"]
    assert len(places) >= 3 and plane.at(0.0, 0.0)[0] == pytest.approx((LEFT + RIGHT) / 2)
    assert max(places) - min(places) < RIGHT - LEFT
