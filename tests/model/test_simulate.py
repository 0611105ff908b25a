"""Whole swings: batch shapes, handedness, balance, continuity, honesty, mistakes."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model import JOINTS, Address, Body, Pieces, Steady, Swing, TurnstillError
from turnstill.model.chain.mass import foot_middles
from turnstill.model.questions.available import most_hip_turn
from turnstill.model.swing.simulate import simulate


def _numbers(swing: Swing) -> dict[str, np.ndarray]:
    return {
        **{f"achieved {k}": v for k, v in swing.achieved.items()},
        **{f"joint {k}": v for k, v in swing.joint_angles.items()},
        **{f"place {k}": v for k, v in swing.skeleton.joints.items()},
        "share": swing.measures.trail_weight_share,
    }


def test_batch_shapes_give_the_same_numbers() -> None:
    turns = np.radians([30.0, 40.0, 50.0, 45.0, 35.0, 55.0])
    flares = np.radians([0.0, 10.0, 20.0, 30.0, 5.0, 15.0])

    def run(turn: np.ndarray, flare: np.ndarray) -> dict[str, np.ndarray]:
        return _numbers(simulate(Body.from_stature(1.8), Address(trail_flare=flare), Pieces(hip_turn=turn), frames=7))

    whole = run(turns.reshape(3, 1, 2), flares.reshape(3, 1, 2))
    for i in range(6):
        alone, one = run(turns[i], flares[i]), run(turns[i : i + 1], flares[i : i + 1])
        for name, value in alone.items():
            at = whole[name].reshape(6, *value.shape)[i]
            np.testing.assert_allclose(at, value, atol=1e-7, err_msg=name)
            np.testing.assert_allclose(one[name][0], value, atol=1e-7, err_msg=name)


def test_left_handed_is_the_mirror_image() -> None:
    pieces = Pieces(tilt=Steady(np.radians(6.0)), sway=0.02)
    right, left = (simulate(Body.from_stature(), Address(), pieces, left_handed=hand) for hand in (False, True))
    for name in JOINTS:
        np.testing.assert_array_equal(left.skeleton.joints[name], right.skeleton.joints[name] * [1, -1, 1])
    for name, frame in left.skeleton.frames.items():
        np.testing.assert_allclose(np.linalg.det(frame), 1.0, atol=1e-12, err_msg=name)
    for name in right.achieved:
        np.testing.assert_array_equal(left.achieved[name], right.achieved[name])
    np.testing.assert_array_equal(left.measures.head_moved, right.measures.head_moved)


def test_every_named_joint_is_there_and_every_frame_a_rotation() -> None:
    swing = simulate(Body.from_stature(), Address(), Pieces())
    assert set(swing.skeleton.joints) == set(JOINTS)
    for name, frame in swing.skeleton.frames.items():
        eye = frame @ np.swapaxes(frame, -1, -2)
        np.testing.assert_allclose(eye, np.broadcast_to(np.eye(3), eye.shape), atol=1e-10, err_msg=name)


def test_bones_keep_their_lengths_and_feet_their_places(golfers) -> None:
    body, address, pieces = golfers(100, 5)
    swing = simulate(body, address, pieces, frames=11)
    j = swing.skeleton.joints
    bones = {
        "thigh": [("hip_lead", "knee_lead"), ("hip_trail", "knee_trail")],
        "shank": [("knee_lead", "ankle_lead"), ("knee_trail", "ankle_trail")],
        "upper_arm": [("shoulder_lead", "elbow_lead"), ("shoulder_trail", "elbow_trail")],
        "forearm": [("elbow_lead", "wrist_lead"), ("elbow_trail", "wrist_trail")],
        "hip_joint_width": [("hip_lead", "hip_trail")],
    }
    for name, pairs in bones.items():
        for a, b in pairs:
            length = np.linalg.norm(j[a] - j[b], axis=-1)
            np.testing.assert_allclose(length, np.broadcast_to(body.lengths[name][:, None], length.shape), atol=1e-6)
    for foot in ("ankle_lead", "ankle_trail", "toe_lead", "toe_trail", "heel_lead", "heel_trail"):
        np.testing.assert_allclose(j[foot], np.broadcast_to(j[foot][:, :1], j[foot].shape), atol=1e-6)
    club = np.linalg.norm(j["grip"] - j["clubhead"], axis=-1)
    np.testing.assert_allclose(club, np.broadcast_to(np.asarray(address.club_length)[:, None], club.shape), atol=1e-9)


def test_no_joint_outside_its_range(golfers) -> None:
    body, address, pieces = golfers(300, 6)
    swing = simulate(body, address, pieces.replace(hip_turn=np.radians(100.0), tilt=np.radians(70.0)), frames=9)
    assert swing.converged.all()
    assert not swing.met[:, -1].any()
    assert swing.limited[:, -1].any(axis=-1).all()
    for name, (low, high) in swing.joint_ranges.items():
        over = np.maximum(low - swing.joint_angles[name], swing.joint_angles[name] - high)
        assert np.degrees(over.max()) < 0.01, name


def test_address_stands_balanced_and_behind_its_ankles(golfers) -> None:
    body, address, pieces = golfers(100, 7)
    swing = simulate(body, address, pieces, frames=2)
    assert swing.address_balanced.all()
    start = swing.skeleton[:, 0]
    lead, trail = foot_middles(start)
    off = (swing.measures.centre_of_mass[:, 0] - 0.5 * (lead + trail))[:, :2]
    assert np.abs(off).max() < 1e-3
    np.testing.assert_allclose(swing.measures.trail_weight_share[:, 0], 0.5, atol=0.01)
    behind = -start.joints["pelvis"][:, 0]
    assert np.percentile(behind, 1) > 0.01 and np.percentile(behind, 99) < 0.16


def test_no_jump_between_neighbouring_moments(golfers) -> None:
    """No step of 400 swings is large, and the largest ones shrink when the moments get finer: nothing jumps."""
    body, address, pieces = golfers(400, 8)
    coarse = simulate(body, address, pieces)
    names = list(coarse.joint_angles)

    def steps(swing: Swing) -> np.ndarray:
        """``(names, swings)`` largest step of each joint, deg."""
        return np.degrees([np.abs(np.diff(swing.joint_angles[n], axis=1)).max(axis=1) for n in names])

    largest = steps(coarse)
    assert largest.max() < 12.0
    worst = np.unique(largest.argsort(axis=1)[:, -2:])
    fine = steps(simulate(body[worst], address[worst], pieces[worst], frames=161))
    # A step of half a degree is no jump, however fine the moments.
    steep = (fine >= np.maximum(0.6 * largest[:, worst], 0.6)).any(axis=0)
    # What is only steep, over less than a coarse step, shrinks when the moments get finer still.
    assert steep.sum() <= 2
    finest = steps(simulate(body[worst[steep]], address[worst[steep]], pieces[worst[steep]], frames=641))
    assert (finest < np.maximum(0.6 * fine[:, steep], 0.3)).all()


def test_more_range_never_means_less_hip_turn() -> None:
    rng = np.random.default_rng(9)
    count = 20
    address = Address(
        lead_flare=np.radians(rng.uniform(-15, 40, count)), trail_flare=np.radians(rng.uniform(-15, 40, count))
    )
    average = Body.draw(rng, count)
    names = [n for n in average.ranges if n.startswith(("lead_", "trail_"))]
    before = most_hip_turn(average, address, Pieces())
    assert before.converged.all() and before.stopped_by.any(axis=-1).all()
    # Every range wider in its turn, one row of golfers each.
    rows = np.ones((len(names), 1))
    ranges = {name: np.tile(ends, (len(names), 1)) for name, ends in average.ranges.items()}
    for row, name in enumerate(names):
        ranges[name][row] *= 1.15
    wider = Body(
        rows * average.stature, rows * average.mass, rows * average.female,
        {name: rows * length for name, length in average.lengths.items()}, ranges, average.shape,
    )  # fmt: skip
    lost = np.degrees(before.hip_turn - most_hip_turn(wider, address, Pieces()).hip_turn)
    assert lost.max() < 0.05, (names[int(lost.max(axis=1).argmax())], lost.max())


def test_timing_changes_the_way_not_the_top() -> None:
    body, address = Body.from_stature(), Address()
    even = simulate(body, address, Pieces(hip_turn=np.radians(45)))
    early = simulate(body, address, Pieces(hip_turn=np.radians(45)), timing={"hip_turn": [(0, 0), (0.4, 0.8), (1, 1)]})
    np.testing.assert_allclose(early.achieved["hip_turn"][-1], even.achieved["hip_turn"][-1], atol=1e-6)
    assert np.degrees(early.achieved["hip_turn"][16]) == pytest.approx(36.0, abs=0.1)
    assert (np.diff(early.achieved["hip_turn"]) > -1e-9).all()


@pytest.mark.parametrize(("make", "says"), [
    (lambda: simulate(Body.from_stature(), Address(), Pieces(), frames=1), "frames"),
    (lambda: simulate(Body.from_stature(), Address(club_length=0.6), Pieces()), "does not reach"),
    (lambda: simulate(Body.from_stature(), Address(), Pieces(), timing={"tilt": [(0, 0), (0.5, 2), (1, 1)]}), "rise"),
    (lambda: Body.from_stature(9.0), "stature"),
    (lambda: Body.from_stature(float("nan")), "stature"),
    (lambda: Body.from_stature(1.7, -4.0), "mass"),
    (lambda: Body.from_stature(sex="tall"), "sex"),
    (lambda: Body.from_stature(lengths={"thig": 0.4}), "thig"),
    (lambda: Body.from_stature(ranges={"trunk_rotation": float("inf")}), "trunk_rotation"),
    (lambda: Pieces(hip_turn=float("nan")), "hip_turn"),
    (lambda: Pieces(hip_turn=Steady()), "steady"),
    (lambda: Address(stance_width=float("inf")), "stance_width"),
])  # fmt: skip
def test_mistakes_get_one_sentence(make, says: str) -> None:
    with pytest.raises(TurnstillError, match=says) as caught:
        make()
    assert "\n" not in str(caught.value)
