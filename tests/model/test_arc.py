"""The arc of a clubhead against circles, whose low point and tangents are known."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model.arrays import Array
from turnstill.model.questions.arc import Arc
from turnstill.model.questions.closing_in import Places

EXACT = 1e-9
SPAN = (0.9, 1.12)


def arc_of(*paths: Places) -> Arc:
    """The arcs of paths, each asked by itself; of one without a batch axis."""

    def places(number: Array, ways: Array) -> Array:
        return np.concatenate([paths[k](np.zeros(1, int), ways[row : row + 1]) for row, k in enumerate(number)])

    arc = Arc.of(places, len(paths), SPAN)
    return arc[0] if len(paths) == 1 else arc


def moved(path: Places, by: Array) -> Places:
    """The same path elsewhere."""
    return lambda number, ways: path(number, ways) + by


def circle(
    hub: tuple[float, float, float],
    radius: float,
    plane: float,
    aim: float = 0.0,
    pace: float = 0.3,
    low: tuple[float, float] = (-1.1, 1.2),
) -> Places:
    """A rigid arm about a ``hub``: a circle in a plane inclined by ``plane`` rad whose level line aims ``aim`` rad out.

    It is gone through unevenly, from ``low[0]`` to ``low[1]`` rad about its lowest point, the club toward the target.
    """
    along = np.array([np.sin(aim), np.cos(aim), 0.0])
    level = np.array([np.cos(aim), -np.sin(aim), 0.0])
    down = np.cos(plane) * level - np.sin(plane) * np.array([0.0, 0.0, 1.0])

    def places(number: Array, ways: Array) -> Array:
        share = (ways - SPAN[0]) / (SPAN[1] - SPAN[0])
        angle = low[0] + (low[1] - low[0]) * (share + pace * share * (1.0 - share))[..., None]
        return np.asarray(np.asarray(hub) + radius * (np.sin(angle) * along + np.cos(angle) * down))

    return places


@pytest.mark.parametrize("pace", [-0.3, 0.0, 0.4])
def test_a_rigid_arm_about_a_fixed_hub_has_its_low_point_under_the_hub(pace: float) -> None:
    plane, radius = np.radians(50.0), 1.6
    height = radius * np.sin(plane)
    arc = arc_of(circle((-radius * np.cos(plane), 0.07, height), radius, plane, pace=pace))
    assert arc.low_ahead == pytest.approx(0.07, abs=EXACT)
    assert arc.low_up == pytest.approx(0.0, abs=EXACT)
    assert arc.slope == pytest.approx(plane, abs=EXACT)
    assert arc.passes


@pytest.mark.parametrize("by", [(0.02, 0.0, 0.0), (0.0, -0.05, 0.0), (0.0, 0.0, 0.03), (0.01, 0.04, -0.02)])
def test_where_the_hub_moves_the_low_point_moves(by: tuple[float, float, float]) -> None:
    hub = np.array([-1.0, 0.05, 1.2])
    first, then = (arc_of(circle(tuple(place), 1.55, 0.9)) for place in (hub, hub + by))
    assert then.low_ahead - first.low_ahead == pytest.approx(by[1], abs=EXACT)
    assert then.low_up - first.low_up == pytest.approx(by[2], abs=EXACT)


@pytest.mark.parametrize("before", [-0.12, 0.03, 0.1, 0.4])
@pytest.mark.parametrize("plane", np.radians([35.0, 55.0, 80.0]))
def test_a_ball_before_the_low_point_is_hit_along_the_circles_tangent(before: float, plane: float) -> None:
    """At the angle t from the low point, sin t = x / R, the way is (cos t along, sin t up the plane)."""
    radius = 1.5
    arc = arc_of(circle((0.3, before, 1.1), radius, plane, low=(-1.0, 1.0)))
    t = np.arcsin(-before / radius)
    assert arc.descent == pytest.approx(-np.arcsin(np.sin(t) * np.sin(plane)), abs=EXACT)
    assert arc.outward == pytest.approx(np.arctan2(-np.sin(t) * np.cos(plane), np.cos(t)), abs=EXACT)
    assert arc.up == pytest.approx(1.1 - radius * np.cos(t) * np.sin(plane), abs=EXACT)
    assert arc.out == pytest.approx(0.3 + radius * np.cos(t) * np.cos(plane), abs=EXACT)
    assert arc.low_ahead == pytest.approx(before, abs=EXACT)


def test_turning_the_whole_swing_about_the_vertical_through_the_ball_turns_only_the_direction() -> None:
    path = circle((-1.0, 0.1, 1.2), 1.6, 0.85)
    over_ball = moved(path, np.array([-float(arc_of(path).out), 0.0, 0.0]))
    turn = np.radians(6.0)
    about = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1.0]])
    first, then = arc_of(over_ball), arc_of(lambda number, ways: over_ball(number, ways) @ about)
    assert then.outward - first.outward == pytest.approx(turn, abs=EXACT)
    for name in ("descent", "up", "slope", "low_up"):
        assert getattr(then, name) == pytest.approx(getattr(first, name), abs=EXACT), name


def test_how_the_way_at_the_ball_grows_is_its_difference_quotient() -> None:
    """A ball a little nearer the target meets the arc a little later."""
    hub, step = np.array([-1.0, 0.1, 1.25]), 1e-5
    here = arc_of(circle(tuple(hub), 1.6, 0.85, aim=0.1))
    less, more = (arc_of(circle((hub[0], hub[1] + d, hub[2]), 1.6, 0.85, aim=0.1)) for d in (step, -step))
    assert here.descent_by_along == pytest.approx((more.descent - less.descent) / (2 * step), rel=1e-6)
    assert here.outward_by_along == pytest.approx((more.outward - less.outward) / (2 * step), rel=1e-6)


def test_a_path_that_never_comes_up_again_has_no_low_point_and_one_beside_the_ball_does_not_pass_it() -> None:
    falling = arc_of(circle((-1.0, 1.4, 1.2), 1.6, 0.85, low=(-1.1, -0.4)))
    assert np.isnan(falling.low_ahead) and np.isnan(falling.low_up)
    before = arc_of(circle((-1.0, -2.0, 1.2), 1.6, 0.85, low=(-0.5, 0.5)))
    assert not before.passes


def test_a_path_that_does_not_pass_the_ball_says_nothing_of_it() -> None:
    arc = arc_of(circle((-1.0, -2.0, 1.2), 1.6, 0.85, low=(-0.5, 0.5)))
    for name in ("up", "out", "descent", "outward", "slope", "descent_by_along", "outward_by_along"):
        assert np.isnan(getattr(arc, name)), name


def cornered(where: float, before: float, after: float, low: float = 0.0) -> Places:
    """A path of two straight lines, level but for their slopes down, with a corner at a way."""

    def places(number: Array, ways: Array) -> Array:
        past = ways - where
        down = np.where(past < 0.0, before, after) * past
        return np.stack([0.2 * np.maximum(past, 0.0), past + (where - 1.0), low - down], axis=-1)

    return places


@pytest.mark.parametrize("where", [0.93, 0.9993, 1.00004, 1.0121, 1.09])
def test_a_corner_away_from_the_ball_does_nothing_to_its_way_there(where: float) -> None:
    arc = arc_of(cornered(where, np.tan(0.1), -np.tan(0.07)))
    assert arc.descent == pytest.approx(0.1 if where > 1.0 else -np.arctan2(np.tan(0.07), np.hypot(0.2, 1.0)), abs=1e-7)
    assert arc.outward == pytest.approx(0.0 if where > 1.0 else np.arctan2(0.2, 1.0), abs=1e-7)
    assert arc.low_ahead == pytest.approx(where - 1.0, abs=3e-5), "lowest at the corner"


def test_a_corner_at_the_ball_is_taken_with_the_way_that_the_club_comes() -> None:
    arc = arc_of(cornered(1.0, 0.1, -0.3))
    assert arc.descent == pytest.approx(np.arctan(0.1), abs=1e-6) and arc.outward == pytest.approx(0.0, abs=1e-6)
    assert arc.up == pytest.approx(0.0, abs=1e-6)


def bent(ball: Array, corner: Array, before: float, after: float) -> Places:
    """Paths of 11 m per way that pass the ball at ways, lowest or bent at corners: slopes up before and after them."""

    def places(number: Array, ways: Array) -> Array:
        past = ways - corner[number][:, None]
        up = 11.0 * np.where(past < 0.0, before, after) * past
        return np.stack([0.0 * up, 11.0 * (ways - ball[number][:, None]), up], axis=-1)

    return places


@pytest.mark.parametrize("gap", [1.5e-5, 2e-5, 2.5e-5, 3e-5, 3.5e-5])
def test_a_corner_just_before_the_ball_is_taken_with_the_way_before_or_after_it(gap: float) -> None:
    ball = np.random.default_rng(round(1e6 * gap)).uniform(0.97, 1.03, 200)
    arc = Arc.of(bent(ball, ball - gap, -0.1, -0.02), ball.size, SPAN)
    down = np.tan(arc.descent)
    assert np.minimum(np.abs(down - 0.1), np.abs(down - 0.02)).max() < 1e-9
    assert np.abs(arc.up + 11.0 * gap * down).max() < 1e-9, "as high as that way goes on from the corner"


@pytest.mark.parametrize("slopes", [(-0.02, 0.1), (-0.1, 0.02), (-0.3, 0.02), (-0.1, 0.1)])
def test_a_low_point_at_a_corner_is_found_however_much_steeper_one_side_is(slopes: tuple[float, float]) -> None:
    corner = np.random.default_rng(7).uniform(0.92, 1.1, 200)
    arc = Arc.of(bent(np.ones(200), corner, *slopes), corner.size, SPAN)
    np.testing.assert_allclose(arc.low_ahead, 11.0 * (corner - 1.0), rtol=0, atol=2e-4)
    np.testing.assert_allclose(arc.low_up, 0.0, rtol=0, atol=5e-6)


def test_a_corner_beside_the_lowest_point_of_a_circle_leaves_it_where_it_is() -> None:
    """A parabola of radius 1.5 m at its lowest, from a corner on steeper by 0.1."""
    rng = np.random.default_rng(1)
    low, corner = rng.uniform(-0.1, 0.2, 300), rng.uniform(-0.5, 0.6, 300)

    def places(number: Array, ways: Array) -> Array:
        y, i = 11.0 * (ways - 1.0), number[:, None]
        up = (y - low[i]) ** 2 / 3.0 + 0.1 * np.maximum(y - corner[i], 0.0)
        return np.stack([0.0 * y, y, up], axis=-1)

    expected = np.where(corner > low, low, np.maximum(corner, low - 0.15))
    arc = Arc.of(places, 300, SPAN)
    off = np.abs(arc.low_ahead - expected)
    assert np.mean(off < 1.2e-4) > 0.99 and off.max() < 1e-3, "beside a corner the circle can be all but level"
    up = (expected - low) ** 2 / 3.0 + 0.1 * np.maximum(expected - corner, 0.0)
    np.testing.assert_allclose(arc.low_up, up, rtol=0, atol=5e-6)


def test_batches_give_the_numbers_of_one() -> None:
    paths = [circle((-1.0, y, 1.2), 1.6, 0.85) for y in (0.0, 0.1, -0.2, 0.3, 0.05)]
    paths.append(cornered(1.003, 0.1, -0.3))
    arcs = arc_of(*paths)
    assert arcs.batch == (6,)
    for number, path in enumerate(paths):
        one = arc_of(path)
        assert arcs[number].low_ahead == pytest.approx(one.low_ahead, abs=1e-14)
        assert arcs[number].descent == pytest.approx(one.descent, abs=1e-14)
