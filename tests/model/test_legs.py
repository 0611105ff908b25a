"""The closed loop of the legs: exact closure and exact derivatives, for any unknowns."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model import Body
from turnstill.model.chain import lower_body
from turnstill.model.chain.legs import KNEES, SIDE, Legs


@pytest.fixture(scope="module")
def loop() -> tuple[Legs, np.ndarray]:
    rng = np.random.default_rng(0)
    count = 500
    body = Body.draw(rng, count)
    flare = np.radians(rng.uniform(-20, 45, (2, count)))
    legs = lower_body.planted(body, flare, rng.uniform(0.2, 0.6, count), rng.uniform(0.0, 0.04, (2, count)))
    q = np.stack([
        rng.uniform(-0.5, 1.2, count), rng.uniform(-0.1, 0.7, count), rng.uniform(-0.2, 0.15, count),
        rng.uniform(-0.15, 0.15, count), rng.uniform(0.0, 0.9, count), rng.uniform(0.0, 0.9, count),
        rng.uniform(-0.6, 0.6, count), rng.uniform(-0.6, 0.6, count),
    ])  # fmt: skip
    closed = legs.close(q)[2]
    assert closed.mean() > 0.95
    return legs[closed], q[:, closed]


def test_bones_keep_their_lengths_and_feet_their_places(loop: tuple[Legs, np.ndarray]) -> None:
    legs, q = loop
    posture = legs.posture(q)
    np.testing.assert_allclose(
        np.linalg.norm(posture.hip - posture.knee, axis=0), np.stack(2 * [legs.thigh]), atol=1e-12
    )
    np.testing.assert_allclose(
        np.linalg.norm(posture.knee - legs.ankle, axis=0), np.stack(2 * [legs.shank]), atol=1e-12
    )
    hips = posture.hip.copy()
    hips[1] *= SIDE
    np.testing.assert_allclose(np.linalg.norm(hips[:, 0] - hips[:, 1], axis=0), 2 * legs.half_hip_width, atol=1e-12)


def test_jacobian_by_finite_differences(loop: tuple[Legs, np.ndarray]) -> None:
    legs, q = loop
    _, jacobian, _ = legs.evaluate(q)
    h = 1e-6
    for i in range(8):
        step = np.zeros((8, 1))
        step[i] = h
        slope = (legs.evaluate(q + step)[0] - legs.evaluate(q - step)[0]) / (2 * h)
        np.testing.assert_allclose(jacobian[:, i], slope, atol=5e-8, err_msg=f"by unknown {i}")


def test_a_straight_knee_is_an_ordinary_posture(loop: tuple[Legs, np.ndarray]) -> None:
    legs, q = loop
    q = q.copy()
    q[KNEES] = 0.0
    y, jacobian, closed = legs.evaluate(q)
    assert np.isfinite(y[:, closed]).all()
    assert np.abs(jacobian[..., closed]).max() < 100.0


def test_legs_that_cannot_reach_say_so() -> None:
    body = Body.from_stature(np.array([1.75]))
    legs = lower_body.planted(body, np.zeros((2, 1)), np.array([2.2]), np.zeros((2, 1)))
    assert not legs.close(np.zeros((8, 1)))[2].any()


def test_mirrored_asking_mirrors_the_posture() -> None:
    """Swapping lead and trail and turning the other way is the same posture seen in a mirror."""
    body = Body.from_stature(np.array([1.8]))
    flare = np.radians([[10.0], [25.0]])
    one, other = (lower_body.planted(body, f, np.array([0.4]), np.zeros((2, 1))) for f in (flare, flare[::-1]))
    q = np.array([[0.6], [0.3], [-0.05], [0.03], [0.5], [0.2], [0.1], [-0.2]])
    swapped = np.array([-1, 1, 1, -1, 1, 1, 1, 1.0])[:, None] * q[[0, 1, 2, 3, 5, 4, 7, 6]]
    a, b = one.evaluate(q)[0].reshape(8, 2), other.evaluate(swapped)[0].reshape(8, 2)
    np.testing.assert_allclose(a, b[:, ::-1], atol=1e-12)


@pytest.mark.parametrize("leg", [0, 1])
def test_raising_a_heel_leaves_the_ball_of_the_foot_down(leg: int) -> None:
    body = Body.from_stature(np.array([1.75]))
    flat, raised = (
        lower_body.planted(body, np.radians([[20.0], [20.0]]), np.array([0.42]), rise)
        for rise in (np.zeros((2, 1)), np.array([[0.03], [0.03]]) * (np.arange(2)[:, None] == leg))
    )
    size = {name: value[0] for name, value in body.lengths.items()}
    ahead = size["heel_to_ball"] - size["heel_to_ankle"]

    def places(legs: Legs) -> tuple[np.ndarray, np.ndarray]:
        foot, ankle = legs.foot[:, :, leg, 0], legs.ankle[:, leg, 0]
        down = -size["ankle_height"]
        return ankle + foot @ [ahead, 0.0, down], ankle + foot @ [-size["heel_to_ankle"], 0.0, down]

    (ball, _), (ball_then, heel_then) = places(flat), places(raised)
    np.testing.assert_allclose(ball_then, ball, atol=1e-12)
    assert heel_then[2] == pytest.approx(0.03, abs=1e-12)
    np.testing.assert_array_equal(raised.ankle[:, 1 - leg], flat.ankle[:, 1 - leg])
    np.testing.assert_array_equal(raised.foot[:, :, 1 - leg], flat.foot[:, :, 1 - leg])
