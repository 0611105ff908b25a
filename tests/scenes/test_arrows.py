"""Arrows that add up: joined head to tail, none hidden by another."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import combinations, pairwise

import numpy as np
import pytest

from turnstill.scenes.paper import view_plane
from turnstill.scenes.paper.arrows import Arrow, arrows_chart
from turnstill.scenes.paper.styles import STYLES
from turnstill.scenes.paper.view_plane import set_aside

ENDS = ("away from target", "toward target")
LINE_PX = 2.6


class Chart:
    """Places of a chart's arrows and names, read back from its SVG."""

    def __init__(self, svg: str) -> None:
        root = ET.fromstring(str(svg))
        groups = [e for e in root if e.tag == "g"]
        lines, heads = ([e.find(tag) for e in groups] for tag in ("line", "polygon"))
        self.labels = [e.get("data-name") for e in groups]
        self.tails = np.array([[float(e.get(k)) for k in ("x1", "y1")] for e in lines])
        self.tips = np.array([[float(v) for v in e.get("points").split()[0].split(",")] for e in heads])
        self.names = [e for e in root if e.get("class") == "name"]
        circles = {e.get("class"): e for e in root if e.tag == "circle"}
        self.ring, self.dot = (
            np.array([float(circles[kind].get(k)) for k in ("cx", "cy")]) for kind in ("ring", "dot")
        )


def hidden(one: tuple[np.ndarray, np.ndarray], other: tuple[np.ndarray, np.ndarray]) -> float:
    """The part of an arrow that runs under another one, by trying points of it."""
    points = one[0] + np.linspace(0.0, 1.0, 101)[:, None] * (one[1] - one[0])
    line = other[1] - other[0]
    along = (points - other[0]) @ line / (line @ line)
    apart = np.linalg.norm(points - other[0] - along[:, None] * line, axis=1)
    return float(np.mean((apart < LINE_PX) & (along > 0.0) & (along < 1.0)))


def arrows(parts: list[tuple[float, float]]) -> list[Arrow]:
    return [Arrow(f"piece {k}", *part, STYLES[k % 6]) for k, part in enumerate(parts)]


@pytest.mark.parametrize("mirrored", [False, True])
def test_arrows_are_joined_and_end_where_the_head_went(mirrored: bool) -> None:
    rng = np.random.default_rng(4)
    for count in (1, 3, 8):
        parts = rng.normal(size=(count, 2)) * 3.0
        svg = arrows_chart("Face-on", "cm", arrows(list(map(tuple, parts))), ENDS, mirrored=mirrored)
        chart = Chart(svg)
        assert chart.labels == [f"piece {k}" for k in range(count)] and len(chart.names) == count
        # Each is its piece's part; where one is set aside, it is so across its own direction.
        drawn = (chart.dot - chart.ring) * [1, -1]
        whole = parts.sum(axis=0) * [-1 if mirrored else 1, 1]
        scale = np.linalg.norm(drawn) / np.linalg.norm(whole)
        np.testing.assert_allclose(drawn, whole * scale, atol=0.3)
        joint = chart.ring
        for tail, tip, part in zip(chart.tails, chart.tips, parts, strict=True):
            step = part * [-1 if mirrored else 1, 1] * scale * [1, -1]
            np.testing.assert_allclose(tip - tail, step, atol=0.3)
            assert abs((tail - joint) @ step) < 0.3 * np.linalg.norm(step)
            joint = joint + step
        assert f"{parts.sum(axis=0)[0]:+.1f} across (toward target positive), {parts.sum(axis=0)[1]:+.1f} up." in svg
        assert all(f"piece {k} {a:+.1f} across, {b:+.1f} up" in svg for k, (a, b) in enumerate(parts))
        rows = sorted(float(name.get("y", "")) for name in chart.names)
        assert all(b - a > 16.0 for a, b in pairwise(rows))
        assert rows[0] > 0 and rows[-1] < view_plane.HEIGHT - view_plane.BOTTOM + 5


@pytest.mark.parametrize(
    "parts",
    [
        [(4.0, 0.0), (-4.0, 0.0)],
        [(4.0, 1.0), (-4.0, -1.0), (4.0, 1.0)],
        [(0.0, -3.0), (0.0, 1.0), (0.0, -1.0), (0.0, 3.0)],
        [(3.0, 3.0), (-3.1, -2.9), (3.0, 3.0), (-3.0, -3.1)],
        [(4.0, 0.0), (-0.5, 0.0), (-3.5, 0.05)],
    ],
)
def test_arrows_that_go_there_and_back_do_not_hide_each_other(parts: list[tuple[float, float]]) -> None:
    chart = Chart(arrows_chart("Face-on", "cm", arrows(parts), ENDS))
    for one, other in combinations(list(zip(chart.tails, chart.tips, strict=True)), 2):
        shorter, longer = sorted((one, other), key=lambda arrow: np.linalg.norm(arrow[1] - arrow[0]))
        assert hidden(shorter, longer) < 0.36


def test_equal_arrows_from_one_place_lie_side_by_side() -> None:
    same = ((10.0, 20.0), (50.0, 50.0))
    placed = set_aside([same] * 5)
    assert placed[0] == same
    across = np.array([-30.0, 40.0]) / 50.0
    asides = [(np.array(tail) - same[0]) @ across for tail, _ in placed]
    np.testing.assert_allclose(sorted(asides), [-12.0, -6.0, 0.0, 6.0, 12.0], atol=1e-9)
    for tail, tip in placed:
        np.testing.assert_allclose(np.subtract(tip, tail), [40.0, 30.0])


def test_arrows_that_touch_or_cross_stay_where_they_are() -> None:
    for given in (
        [((0.0, 0.0), (30.0, 0.0)), ((30.0, 0.0), (60.0, 0.0))],  # on and on
        [((0.0, 0.0), (30.0, 0.0)), ((15.0, -20.0), (15.0, 20.0))],  # across
        [((0.0, 0.0), (30.0, 0.0)), ((30.0, 0.0), (0.0, 12.0))],  # back, but apart
        [((0.0, 0.0), (30.0, 0.0)), ((30.0, 4.1), (0.0, 4.1))],
        [((0.0, 0.0), (30.0, 0.0)), ((5.0, 0.0), (5.0, 0.5))],  # too short to hide or be hidden
        [((5.0, 0.0), (5.0, 0.0)), ((0.0, 0.0), (30.0, 0.0))],
    ):
        assert set_aside(given) == given
    one, other = set_aside([((0.0, 0.0), (30.0, 0.0)), ((30.0, 3.9), (0.0, 3.9))])
    assert one == ((0.0, 0.0), (30.0, 0.0)) and abs(other[0][1]) == pytest.approx(9.9)


def test_no_arrows_and_arrows_of_no_length_still_make_a_chart() -> None:
    assert "no piece moves it" in arrows_chart("Face-on", "cm", [], ("a", "b"))
    assert "nan" not in arrows_chart("Face-on", "cm", [Arrow("tilt", 0.0, 0.0, STYLES[0])], ("a", "b"))
