"""Spine, trunk and neck: exact closure, exact derivatives, ranges that hold."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model import Body
from turnstill.model.chain import head as heads
from turnstill.model.chain import spine, trunk
from turnstill.model.chain.trunk import RoundedBox
from turnstill.model.numeric import rotations

COUNT = 400
H = 1e-6


@pytest.fixture(scope="module")
def trunks() -> dict[str, np.ndarray]:
    rng = np.random.default_rng(0)

    def frames(*ends: tuple[float, float]) -> np.ndarray:
        return rotations.from_turn_tilt_bend(*np.radians([rng.uniform(*pair, COUNT) for pair in ends]))

    return {
        "pelvis": frames((0, 60), (-5, 15), (0, 35)),
        "ribcage": frames((0, 110), (-15, 55), (-15, 50)),
        "spin": rng.normal(size=(COUNT, 3)),
    }


def test_levels_add_up_to_the_ribcage_exactly(trunks: dict[str, np.ndarray]) -> None:
    s = spine.bend(trunks["pelvis"], trunks["ribcage"], np.zeros((COUNT, 3)), np.full(COUNT, 0.48))
    assert s.closed.all()
    np.testing.assert_allclose(s.frames[:, -1], trunks["ribcage"], atol=1e-13)


def test_every_level_does_its_share(trunks: dict[str, np.ndarray]) -> None:
    """Undo the product level by level: each relative rotation vector is the shared one times the level's shares."""
    s = spine.bend(trunks["pelvis"], trunks["ribcage"], np.zeros((COUNT, 3)), np.full(COUNT, 0.48))
    below = np.concatenate([trunks["pelvis"][:, None], s.frames[:, :-2]], axis=1)
    relative = rotations.log(np.swapaxes(below, -1, -2) @ s.frames[:, :-1])
    np.testing.assert_allclose(relative, s.vector[:, None] * spine.SHARES, atol=1e-12)
    np.testing.assert_allclose(spine.SHARES.sum(axis=0), 1.0, atol=1e-12)


def test_vertebrae_keep_their_lengths(trunks: dict[str, np.ndarray]) -> None:
    s = spine.bend(trunks["pelvis"], trunks["ribcage"], np.ones((COUNT, 3)), np.full(COUNT, 0.48))
    lengths = np.linalg.norm(np.diff(s.centres, axis=1), axis=-1)
    np.testing.assert_allclose(lengths, np.broadcast_to(0.48 * spine.SEGMENT_SHARES, lengths.shape), atol=1e-12)
    np.testing.assert_allclose(s.centres[:, 0], 1.0)


def test_reach_of_a_shared_vector_is_that_of_the_closed_spine(trunks: dict[str, np.ndarray]) -> None:
    """Close a spine, hand its vector back: the same ribcage and base of neck, which move as differenced."""
    length = np.full(COUNT, 0.48)
    s = spine.bend(trunks["pelvis"], trunks["ribcage"], np.zeros((COUNT, 3)), length)
    reach = spine.reach(s.vector.T, length)
    np.testing.assert_allclose(trunks["pelvis"] @ reach.ribcage, trunks["ribcage"], atol=1e-12)
    in_world = (trunks["pelvis"] @ reach.neck_base[..., None])[..., 0]
    np.testing.assert_allclose(in_world, s.centres[:, -1], atol=1e-12)
    base = spine.neck_base(trunks["pelvis"], trunks["ribcage"], np.ones((COUNT, 3)), length)
    np.testing.assert_allclose(base, 1.0 + s.centres[:, -1], atol=1e-12)

    more, less = (spine.reach((s.vector + sign * H * trunks["spin"]).T, length) for sign in (1, -1))
    turned = rotations.log(more.ribcage @ np.swapaxes(less.ribcage, -1, -2)) / (2 * H)
    np.testing.assert_allclose((reach.turning @ trunks["spin"][..., None])[..., 0], turned, atol=1e-8)
    moved = (more.neck_base - less.neck_base) / (2 * H)
    np.testing.assert_allclose((reach.moving @ trunks["spin"][..., None])[..., 0], moved, atol=1e-8)


def test_straight_spine_is_straight() -> None:
    eye = np.eye(3)[None]
    s = spine.bend(eye, eye, np.zeros((1, 3)), np.array([0.5]))
    np.testing.assert_allclose(s.centres[0, -1], [0, 0, 0.5], atol=1e-14)


def _box(count: int, key: str) -> RoundedBox:
    return RoundedBox.of(Body.from_stature(np.full(count, 1.75)).ranges, key)


def test_use_of_range_and_its_derivative(trunks: dict[str, np.ndarray]) -> None:
    box = _box(COUNT, "trunk")

    def use(sign: float) -> np.ndarray:
        turned = rotations.exp(sign * H * trunks["spin"]) @ trunks["ribcage"]
        return trunk.use_of_range(trunks["pelvis"], turned, box)[0]

    _, gradient, _ = trunk.use_of_range(trunks["pelvis"], trunks["ribcage"], box)
    np.testing.assert_allclose(
        (use(1) - use(-1)) / (2 * H), (gradient * trunks["spin"]).sum(axis=-1), rtol=1e-6, atol=1e-6
    )
    single = np.array([[0, 0, 1.0], [1.0, 0, 0], [0, 1.0, 0], [0, -1.0, 0]])
    ends = np.array([box.axial[0], box.side[0], box.forward[0], box.backward[0]])
    four = _box(4, "trunk")
    np.testing.assert_allclose(four.use(single * ends[:, None])[0], 1.0)


def test_nearest_keeps_inside_and_leaves_the_rest_alone(trunks: dict[str, np.ndarray]) -> None:
    box = _box(COUNT, "trunk")
    asked = np.stack(rotations.to_turn_tilt_bend(trunks["ribcage"]))
    angles, stopped, converged = trunk.nearest(trunks["pelvis"], asked, box)
    assert converged.all()
    use = trunk.use_of_range(trunks["pelvis"], rotations.from_turn_tilt_bend(*angles), box)[0]
    assert use.max() < 1.0 + 1e-6
    assert 0.1 < stopped.mean() < 0.9
    np.testing.assert_array_equal(angles[:, ~stopped], asked[:, ~stopped])
    # Nearest: the correction is square to the boundary, along the gradient of use (Lagrange).
    _, gradient, _ = trunk.use_of_range(trunks["pelvis"], rotations.from_turn_tilt_bend(*angles), box)
    by_angles = (gradient[:, None] @ rotations.turn_tilt_bend_axes(angles[0], angles[1]))[:, 0].T
    gap, normal = (asked - angles)[:, stopped], by_angles[:, stopped]
    cosine = (gap * normal).sum(axis=0) / (np.linalg.norm(gap, axis=0) * np.linalg.norm(normal, axis=0))
    far = np.linalg.norm(gap, axis=0) > 1e-3
    np.testing.assert_allclose(cosine[far], 1.0, atol=1e-5)


def test_head_derivative_and_gaze(trunks: dict[str, np.ndarray]) -> None:
    neck = heads.Neck.of(Body.from_stature(np.full(COUNT, 1.75)))
    wanted = np.broadcast_to(rotations.about_y(0.9), (COUNT, 3, 3))
    posture = heads.place(trunks["ribcage"], wanted, neck)
    held = ~posture.carried
    assert 0.1 < held.mean() < 0.95
    np.testing.assert_allclose(posture.head[held], wanted[held], atol=1e-12)
    assert neck.range.use(posture.vector)[0].max() < 1.0 + 1e-9

    def centre(sign: float) -> np.ndarray:
        return heads.place(rotations.exp(sign * H * trunks["spin"]) @ trunks["ribcage"], wanted, neck).from_neck_base

    analytic = (posture.by_turning @ trunks["spin"][..., None])[..., 0]
    np.testing.assert_allclose((centre(1) - centre(-1)) / (2 * H), analytic, atol=1e-6)
