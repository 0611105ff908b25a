"""Steady: the head held where it can be, the nearest where it cannot, and both said."""

from __future__ import annotations

import numpy as np

from turnstill.model import Address, Body, Pieces, Steady
from turnstill.model.arrays import Array
from turnstill.model.chain.golfers import LEG_PIECES, Golfers
from turnstill.model.chain.legs import HIP_TURN
from turnstill.model.chain.steady import _angle_rates
from turnstill.model.chain.trunk import TURN, RoundedBox
from turnstill.model.numeric import rotations
from turnstill.model.swing.simulate import simulate


def test_head_of_200_random_golfers_stays_where_the_joints_allow(golfers) -> None:
    body, address, pieces = golfers(200, 1)
    swing = simulate(body, address, pieces)
    assert swing.converged.all()
    moved = np.abs(swing.measures.head_moved[..., 1:]).max(axis=-1)
    # The miss the solver reports is the miss the finished figure shows, at every moment.
    np.testing.assert_allclose(
        np.linalg.norm(swing.measures.head_moved[..., 1:], axis=-1), swing.steady_miss, atol=1e-5
    )
    held = swing.steady_miss < 5e-4
    assert held.mean() > 0.7
    assert moved[held].max() < 0.002
    # Where it is not held, the trunk's range is what stops it, and the swing says so.
    trunk = swing.limited[..., swing.limit_names.index("trunk")]
    box = RoundedBox.of(body.flat(body.batch, 41).ranges, "trunk")
    vector = np.stack(
        [
            -swing.joint_angles["trunk_side_bend"],
            swing.joint_angles["trunk_flexion"],
            -swing.joint_angles["trunk_rotation"],
        ],
        axis=-1,
    ).reshape(-1, 3)
    use = box.use(vector)[0].reshape(swing.steady_miss.shape)
    assert (use[~held] > 0.99).all()
    assert trunk[swing.steady_miss > 0.002].mean() > 0.95


def test_nearest_really_is_nearest(golfers) -> None:
    """Where the head cannot be held, no other tilt and extension inside the range holds it better."""
    body, address, pieces = golfers(40, 2)
    swing = simulate(body, address, pieces, frames=2)
    beyond = np.flatnonzero(swing.steady_miss[:, -1] > 0.003)
    assert beyond.size > 5
    rng = np.random.default_rng(3)
    nudge = np.radians(rng.normal(size=(2, 20, 40)) * 3.0)
    other = simulate(body, address, pieces.replace(tilt=Steady(nudge[0]), extension=Steady(nudge[1])), frames=2)

    def traded(miss: Array, turn: Array) -> Array:
        """Head and turn are traded at 5 mm a degree (see steady.py)."""
        return np.hypot(miss * 1e3, 5.0 * np.degrees(pieces.shoulder_turn - turn))

    now = traded(
        np.linalg.norm(other.measures.head_moved[..., -1, 1:], axis=-1), other.achieved["shoulder_turn"][..., -1]
    )
    then = traded(swing.steady_miss[:, -1], swing.achieved["shoulder_turn"][:, -1])
    # Nothing reachable is better by more than rounding.
    assert (now >= then - 0.5)[:, beyond].all()


def test_departures_start_from_steady() -> None:
    body, address = Body.from_stature(), Address()
    held = simulate(body, address, Pieces())
    more = simulate(body, address, Pieces(tilt=Steady(np.radians(8.0))))
    np.testing.assert_allclose(more.steady["tilt"], held.steady["tilt"], atol=1e-9)
    expected = held.achieved["tilt"] + np.radians(8.0) * held.progress
    np.testing.assert_allclose(more.achieved["tilt"], expected, atol=1e-6)
    np.testing.assert_allclose(more.achieved["extension"], held.achieved["extension"], atol=1e-6)


def test_plain_numbers_are_reached_from_the_address() -> None:
    swing = simulate(Body.from_stature(), Address(), Pieces(tilt=np.radians(30.0), extension=np.radians(20.0)))
    assert swing.met.all()
    np.testing.assert_allclose(np.degrees(swing.achieved["tilt"][[0, -1]]), [-5.0, 30.0], atol=1e-6)
    np.testing.assert_allclose(np.degrees(swing.achieved["extension"][[0, -1]]), [0.0, 20.0], atol=1e-6)


def test_several_turns_on_the_same_legs_are_those_one_by_one(golfers) -> None:
    body, address, pieces = golfers(20, 4)
    standing = Golfers.at_address(body, address, (20,))
    moments = standing.moments(np.arange(20))
    lower = moments.lower({name: np.broadcast_to(getattr(pieces, name), 20) for name in LEG_PIECES})
    turns = [np.radians(np.full(20, 70.0)), np.asarray(pieces.shoulder_turn), np.radians(np.linspace(80, 140, 20))]
    on = moments.on(lower)
    together = on[np.tile(np.arange(20), 3)].hold(np.concatenate(turns)).held
    for k, turn in enumerate(turns):
        alone = on.hold(turn).held
        np.testing.assert_allclose(together.angles[:, 20 * k :][:, :20], alone.angles, atol=1e-8)
        np.testing.assert_allclose(together.miss[20 * k :][:20], alone.miss, atol=1e-8)
    assert together.converged.all()


def test_turns_of_more_than_half_a_circle_from_the_pelvis_go_the_way_asked() -> None:
    standing = Golfers.at_address(Body.from_stature(), Address(), ())
    moments = standing.moments(np.zeros(2, dtype=int))
    asked = {name: np.zeros(2) for name in LEG_PIECES} | {"hip_turn": np.radians([-60.0, 150.0])}
    lower = moments.lower(asked)
    held = moments.on(lower).hold(np.radians([200.0, -90.0])).held
    assert held.converged.all()
    on_pelvis = np.degrees(held.angles[TURN] - lower.q[HIP_TURN])
    assert on_pelvis[0] > 30.0
    assert on_pelvis[1] < -30.0


def test_angle_rates_undo_the_axes() -> None:
    angles = np.random.default_rng(6).uniform(-1.2, 1.2, (3, 50))
    both = _angle_rates(angles) @ rotations.turn_tilt_bend_axes(angles[0], angles[1])
    np.testing.assert_allclose(both, np.broadcast_to(np.eye(3), (50, 3, 3)), atol=1e-12)
