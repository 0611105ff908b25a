"""The arc of a clubhead against circles, whose low point and tangents are known."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model.arrays import Array
from turnstill.model.questions.arc import NODES, Arc

EXACT = 1e-9


def circle(
    hub: tuple[float, float, float],
    radius: float,
    plane: float,
    aim: float = 0.0,
    pace: float = 0.3,
    low: tuple[float, float] = (-1.1, 1.2),
) -> Array:
    """A rigid arm about a ``hub``: a circle in a plane inclined by ``plane`` rad whose level line aims ``aim`` rad out.

    It is gone through unevenly, from ``low[0]`` to ``low[1]`` rad about its lowest point, the club toward the target.
    """
    share = 0.5 * (NODES + 1.0)
    angle = low[0] + (low[1] - low[0]) * (share + pace * share * (1.0 - share))[:, None]
    along = np.array([np.sin(aim), np.cos(aim), 0.0])
    level = np.array([np.cos(aim), -np.sin(aim), 0.0])
    down = np.cos(plane) * level - np.sin(plane) * np.array([0.0, 0.0, 1.0])
    return np.asarray(hub) + radius * (np.sin(angle) * along + np.cos(angle) * down)


@pytest.mark.parametrize("pace", [-0.3, 0.0, 0.4])
def test_a_rigid_arm_about_a_fixed_hub_has_its_low_point_under_the_hub(pace: float) -> None:
    plane, radius = np.radians(50.0), 1.6
    height = radius * np.sin(plane)
    arc = Arc.of(circle((-radius * np.cos(plane), 0.07, height), radius, plane, pace=pace))
    assert arc.low_ahead == pytest.approx(0.07, abs=EXACT)
    assert arc.low_up == pytest.approx(0.0, abs=EXACT)
    assert arc.slope == pytest.approx(plane, abs=EXACT)
    assert arc.passes


@pytest.mark.parametrize("moved", [(0.02, 0.0, 0.0), (0.0, -0.05, 0.0), (0.0, 0.0, 0.03), (0.01, 0.04, -0.02)])
def test_where_the_hub_moves_the_low_point_moves(moved: tuple[float, float, float]) -> None:
    hub = np.array([-1.0, 0.05, 1.2])
    first, then = (Arc.of(circle(tuple(place), 1.55, 0.9)) for place in (hub, hub + moved))
    assert then.low_ahead - first.low_ahead == pytest.approx(moved[1], abs=EXACT)
    assert then.low_up - first.low_up == pytest.approx(moved[2], abs=EXACT)


@pytest.mark.parametrize("before", [-0.12, 0.03, 0.1, 0.4])
@pytest.mark.parametrize("plane", np.radians([35.0, 55.0, 80.0]))
def test_a_ball_before_the_low_point_is_hit_along_the_circles_tangent(before: float, plane: float) -> None:
    """At the angle t from the low point, sin t = x / R, the way is (cos t along, sin t up the plane)."""
    radius = 1.5
    arc = Arc.of(circle((0.3, before, 1.1), radius, plane, low=(-1.0, 1.0)))
    t = np.arcsin(-before / radius)
    assert arc.descent == pytest.approx(-np.arcsin(np.sin(t) * np.sin(plane)), abs=EXACT)
    assert arc.outward == pytest.approx(np.arctan2(-np.sin(t) * np.cos(plane), np.cos(t)), abs=EXACT)
    assert arc.up == pytest.approx(1.1 - radius * np.cos(t) * np.sin(plane), abs=EXACT)
    assert arc.out == pytest.approx(0.3 + radius * np.cos(t) * np.cos(plane), abs=EXACT)
    assert arc.low_ahead == pytest.approx(before, abs=EXACT)


def test_turning_the_whole_swing_about_the_vertical_through_the_ball_turns_only_the_direction() -> None:
    path = circle((-1.0, 0.1, 1.2), 1.6, 0.85)
    first = Arc.of(path - [*Arc.of(path).out.reshape(1), 0.0, 0.0])
    turn = np.radians(6.0)
    turned = path - [*Arc.of(path).out.reshape(1), 0.0, 0.0]
    turned = turned @ np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1.0]])
    then = Arc.of(turned)
    assert then.outward - first.outward == pytest.approx(turn, abs=EXACT)
    for name in ("descent", "up", "slope", "low_up"):
        assert getattr(then, name) == pytest.approx(getattr(first, name), abs=EXACT), name


def test_how_the_way_at_the_ball_grows_is_its_difference_quotient() -> None:
    """A ball a little nearer the target meets the arc a little later."""
    hub, step = np.array([-1.0, 0.1, 1.25]), 1e-5
    here = Arc.of(circle(tuple(hub), 1.6, 0.85, aim=0.1))
    less, more = (Arc.of(circle((hub[0], hub[1] + d, hub[2]), 1.6, 0.85, aim=0.1)) for d in (step, -step))
    assert here.descent_by_along == pytest.approx((more.descent - less.descent) / (2 * step), rel=1e-6)
    assert here.outward_by_along == pytest.approx((more.outward - less.outward) / (2 * step), rel=1e-6)


def test_a_path_that_never_comes_up_again_has_no_low_point_and_one_beside_the_ball_does_not_pass_it() -> None:
    falling = Arc.of(circle((-1.0, 1.4, 1.2), 1.6, 0.85, low=(-1.1, -0.4)))
    assert np.isnan(falling.low_ahead) and np.isnan(falling.low_up)
    before = Arc.of(circle((-1.0, -2.0, 1.2), 1.6, 0.85, low=(-0.5, 0.5)))
    assert not before.passes


def test_batches_give_the_numbers_of_one() -> None:
    paths = np.stack([circle((-1.0, y, 1.2), 1.6, 0.85) for y in (0.0, 0.1, -0.2, 0.3, 0.05, 0.15)])
    arcs = Arc.of(paths.reshape(3, 1, 2, *paths.shape[1:]))
    assert arcs.batch == (3, 1, 2)
    for number, path in enumerate(paths):
        one = Arc.of(path)
        assert arcs[number // 2, 0, number % 2].low_ahead == pytest.approx(one.low_ahead, abs=1e-14)
        assert arcs[number // 2, 0, number % 2].descent == pytest.approx(one.descent, abs=1e-14)
