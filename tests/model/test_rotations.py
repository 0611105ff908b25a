"""Rotations: group laws, closed forms and derivatives by finite differences."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model.numeric import rotations

H = 1e-6


@pytest.fixture
def vectors() -> np.ndarray:
    rng = np.random.default_rng(0)
    directions = rng.normal(size=(400, 3))
    directions /= np.linalg.norm(directions, axis=-1, keepdims=True)
    # Angles from zero through the switch to the series up to near pi.
    angles = np.concatenate([[0.0], np.geomspace(1e-9, 3.0, 399)])
    return directions * angles[:, None]


def test_log_undoes_exp(vectors: np.ndarray) -> None:
    np.testing.assert_allclose(rotations.log(rotations.exp(vectors)), vectors, atol=1e-12)


def test_exp_is_a_rotation(vectors: np.ndarray) -> None:
    r = rotations.exp(vectors)
    np.testing.assert_allclose(r @ np.swapaxes(r, -1, -2), np.broadcast_to(np.eye(3), r.shape), atol=1e-14)
    np.testing.assert_allclose(np.linalg.det(r), 1.0, atol=1e-14)


def test_left_jacobian_is_the_derivative_of_exp(vectors: np.ndarray) -> None:
    dv = np.random.default_rng(1).normal(size=vectors.shape)
    change = rotations.exp(vectors + H * dv) @ np.swapaxes(rotations.exp(vectors - H * dv), -1, -2)
    by_jacobian = (rotations.left_jacobian(vectors) @ dv[..., None])[..., 0]
    np.testing.assert_allclose(rotations.log(change) / (2 * H), by_jacobian, atol=1e-8)


def test_left_jacobian_inverse(vectors: np.ndarray) -> None:
    product = rotations.left_jacobian(vectors) @ rotations.left_jacobian_inverse(vectors)
    np.testing.assert_allclose(product, np.broadcast_to(np.eye(3), product.shape), atol=1e-11)


def test_turn_tilt_bend_round_trip_and_axes() -> None:
    rng = np.random.default_rng(2)
    angles = rng.uniform(-1.4, 1.4, (3, 200))
    r = rotations.from_turn_tilt_bend(*angles)
    np.testing.assert_allclose(rotations.to_turn_tilt_bend(r), angles, atol=1e-12)
    rates = rng.normal(size=(3, 200))
    change = rotations.from_turn_tilt_bend(*(angles + H * rates)) @ np.swapaxes(
        rotations.from_turn_tilt_bend(*(angles - H * rates)), -1, -2
    )
    spin = (rotations.turn_tilt_bend_axes(angles[0], angles[1]) @ rates.T[..., None])[..., 0]
    np.testing.assert_allclose(rotations.log(change) / (2 * H), spin, atol=1e-8)


@pytest.mark.parametrize(("turn", "tilt", "bend", "where"), [
    (30.0, 0.0, 0.0, "the lead side comes round toward the ball"),
    (0.0, 30.0, 0.0, "the lead side goes down"),
    (0.0, 0.0, 30.0, "the top comes toward the ball"),
])  # fmt: skip
def test_signs_are_what_they_are_called(turn: float, tilt: float, bend: float, where: str) -> None:
    r = rotations.from_turn_tilt_bend(*np.radians([turn, tilt, bend]))
    lead, up = r[:, 1], r[:, 2]
    assert {"the lead side comes round toward the ball": lead[0] > 0.4, "the lead side goes down": lead[2] < -0.4,
            "the top comes toward the ball": up[0] > 0.4}[where]  # fmt: skip
