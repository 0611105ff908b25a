"""The base of support: its closed forms, and every hull against scipy's."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial import ConvexHull

from turnstill.model import Address, Body, Pieces, simulate
from turnstill.model.chain.golfers import Golfers
from turnstill.model.chain.support import Base, _hull

DEG = np.pi / 180.0


def standing(flare: float = 0.0, stance: float = 0.42) -> tuple[Body, Base]:
    body = Body.from_stature()
    golfers = Golfers.at_address(body, Address(lead_flare=flare, trail_flare=flare, stance_width=stance), ())
    return body, Base.of(golfers.stance.figure.skeleton, golfers.standing.body)


def margin(base: Base, x: float, y: float, heel: float = 0.0, trail_heel: float = 0.0) -> float:
    return float(base.margin(np.array([[x, y, 1.0]]), np.array([[heel], [trail_heel]]))[0])


def test_square_feet_end_at_heels_toes_and_the_outside_of_the_ball() -> None:
    """The ankles are on x = 0. Behind the heels there is nothing, whatever the height."""
    body, base = standing()
    foot, back, ball = (float(body.lengths[name]) for name in ("foot", "heel_to_ankle", "heel_to_ball"))
    half = 0.5 * float(body.shape["foot_breadth"])
    assert margin(base, -back + 0.01, 0.0) == pytest.approx(0.01)
    assert margin(base, -back - 0.35, 0.0) == pytest.approx(-0.35)
    assert margin(base, foot - back + 0.02, 0.1) == pytest.approx(-0.02)
    assert margin(base, foot - back - 0.03, 0.1) == pytest.approx(0.03)
    assert margin(base, ball - back, 0.21 + half) == pytest.approx(0.0, abs=1e-12)
    assert margin(base, ball - back, -0.21 - half - 0.04) == pytest.approx(-0.04)
    # Beyond a corner the nearest place is the corner.
    heel = 0.5 * float(body.shape["heel_breadth"])
    assert margin(base, -back - 0.03, 0.21 + heel + 0.04) == pytest.approx(-0.05)


def test_feet_turned_out_reach_less_far_ahead() -> None:
    body, base = standing(30.0 * DEG)
    tip = (float(body.lengths["foot"]) - float(body.lengths["heel_to_ankle"])) * np.cos(30.0 * DEG)
    assert margin(base, tip - 0.02, 0.0) == pytest.approx(0.02)


def test_a_heel_that_is_up_carries_nothing() -> None:
    """With the lead heel up the base ends at the line from the trail heel to the lead ball."""
    body, base = standing()
    back, ball = float(body.lengths["heel_to_ankle"]), float(body.lengths["heel_to_ball"])
    heel, half = 0.5 * float(body.shape["heel_breadth"]), 0.5 * float(body.shape["foot_breadth"])
    assert margin(base, -back + 0.02, 0.1, heel=0.0005) == pytest.approx(0.02)
    start, end = np.array([-back, -0.21 + heel]), np.array([ball - back, 0.21 + half])
    along = (end - start) / np.linalg.norm(end - start)
    there = np.array([-back + 0.02, 0.1]) - start
    assert margin(base, -back + 0.02, 0.1, heel=0.02) == pytest.approx(there[1] * -along[0] + there[0] * along[1])
    assert margin(base, -back + 0.02, 0.1, heel=0.02) < 0.0


def test_trail_heels_count_as_lead_heels_do() -> None:
    """On feet alike the base is the same mirrored, and with both heels up it begins at the balls."""
    body, base = standing()
    ahead = float(body.lengths["heel_to_ball"]) - float(body.lengths["heel_to_ankle"])
    for x, y in ((0.02, 0.1), (0.06, -0.15), (-0.05, 0.12), (-0.2, 0.0)):
        mirrored = margin(base, x, y, trail_heel=0.02)
        assert mirrored == pytest.approx(margin(base, x, -y, heel=0.02), abs=1e-12)
        assert margin(base, x, y, 0.02, 0.02) == pytest.approx(x - ahead, abs=1e-12)
    assert margin(base, -0.03, 0.15, trail_heel=0.02) > 0.0 > margin(base, -0.03, 0.15, heel=0.02)


def test_a_raised_heel_changes_the_margin_of_a_swing() -> None:
    flat, raised = (
        simulate(Body.from_stature(), Address(), Pieces(lead_heel_rise=rise), frames=3) for rise in (0.0, 0.05)
    )
    assert raised.measures.balance_margin[0] == pytest.approx(flat.measures.balance_margin[0], abs=1e-12)
    assert raised.measures.balance_margin[-1] < flat.measures.balance_margin[-1] - 0.02


def test_hulls_are_those_of_scipy() -> None:
    """Ten random points, some of them twice and some on a line."""
    rng = np.random.default_rng(11)
    corners = rng.normal(size=(200, 10, 2))
    corners[50:100, 3] = corners[50:100, 7]
    corners[100:150, 5] = 0.5 * (corners[100:150, 1] + corners[100:150, 2])
    places = np.concatenate([rng.normal(size=(200, 20, 2)), 4.0 * rng.normal(size=(200, 20, 2))], axis=1)
    edges = _hull(corners)
    base = Base(np.stack([np.stack([edges, edges], axis=1)] * 2, axis=1))
    for points, own, k in zip(corners, places, range(200), strict=True):
        hull = ConvexHull(points)
        ring = points[hull.vertices]
        along = np.roll(ring, -1, axis=0) - ring
        there = own[:, None] - ring
        share = np.clip((there * along).sum(-1) / (along * along).sum(-1), 0.0, 1.0)
        away = np.linalg.norm(there - share[..., None] * along, axis=-1).min(axis=1)
        inside = (own @ hull.equations[:, :2].T + hull.equations[:, 2] <= 0.0).all(axis=1)
        high = np.concatenate([own, np.ones((40, 1))], axis=1)
        got = base[np.full(40, k)].margin(high, np.zeros((2, 40)))
        np.testing.assert_allclose(got, np.where(inside, away, -away), rtol=0, atol=1e-12)
        assert 0 < inside.sum() < 40
