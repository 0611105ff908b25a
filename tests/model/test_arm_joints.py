"""What an arm's joints show, against arms that are built by turning them joint by joint."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from turnstill.model import Address, ArmSwing, Body, Pieces, Swing, simulate
from turnstill.model.arrays import Array
from turnstill.model.chain.arm_joints import ARM_LIMITS, joint_angles, joint_ranges
from turnstill.model.golfer.ranges import ARM_RANGES, SIDES, reference_ranges

AHEAD, LEFT, UP = np.eye(3)
MOTIONS = ("shoulder_internal_rotation", "elbow_flexion", "forearm_pronation", "wrist_extension",
           "wrist_radial_deviation")  # fmt: skip


def turned(axis: Array, degrees: float) -> Rotation:
    return Rotation.from_rotvec(np.radians(degrees) * axis)


def built(side: str, toward: float, raised: float, rotated: float, bent: float, pronated: float, extended: float,
          deviated: float) -> dict[str, Array]:  # fmt: skip
    """Elbow, wrist, hand and palm of an arm whose shoulder is at nought, in a ribcage that stands upright.

    A left arm hangs, its forearm ahead where the elbow bends, the thumb up, the palm to the right; degrees.
    """
    level = np.cos(np.radians(toward)) * LEFT + np.sin(np.radians(toward)) * AHEAD
    swing = turned(np.cross(-UP, level), raised) * turned(-UP, rotated)
    elbow = swing.apply(-0.30 * UP)
    fore = swing * turned(-LEFT, bent)  # From straight down to ahead.
    along, palm, thumb = -UP, -LEFT, AHEAD
    hand = fore * turned(along, pronated) * turned(thumb, extended) * turned(palm, deviated)
    arm = {
        "elbow": elbow,
        "wrist": elbow + fore.apply(0.26 * along),
        "hand": hand.apply(along),
        "palm": hand.apply(palm),
    }
    mirror = np.array([1.0, 1.0 if side == "lead" else -1.0, 1.0])
    return {name: place * mirror for name, place in arm.items()}


@pytest.mark.parametrize("side", SIDES)
def test_an_arm_turned_joint_by_joint_shows_those_angles(side: str) -> None:
    rng = np.random.default_rng(4)
    for _ in range(200):
        toward, raised = rng.uniform(-180, 180), rng.uniform(0, 160)
        made = rng.uniform([-170, 3, -170, -85, -170], [170, 140, 170, 85, 170])
        ribcage = Rotation.random(random_state=int(rng.integers(1 << 30))).as_matrix()
        arm = {name: ribcage @ place for name, place in built(side, toward, raised, *made).items()}
        seen = joint_angles(side, ribcage, np.zeros(3), **arm)
        for name, degrees in zip(MOTIONS, made, strict=True):
            assert np.degrees(seen[name]) == pytest.approx(degrees, abs=1e-6), name
        assert np.degrees(seen["shoulder_elevation"]) == pytest.approx(raised, abs=1e-6)
        across = -np.sin(np.radians(raised)) * np.cos(np.radians(toward))
        assert np.sin(seen["shoulder_across"]) == pytest.approx(across, abs=1e-9)


def test_an_arm_level_and_straight_across_is_as_far_as_a_goniometer_says() -> None:
    """Horizontal adduction counts from the side: 90 degrees straight ahead, 130 is 40 past that."""
    for adducted in (60.0, 90.0, 130.0):
        arm = built("lead", adducted, 90.0, 0.0, 20.0, 0.0, 0.0, 0.0)
        seen = joint_angles("lead", np.eye(3), np.zeros(3), **arm)
        assert np.degrees(seen["shoulder_across"]) == pytest.approx(adducted - 90.0)


def test_every_range_ends_the_motion_it_is_named_after() -> None:
    ranges = {f"{side}_{name}": np.radians(10.0 + k + 40 * n)
              for n, side in enumerate(SIDES) for k, name in enumerate(ARM_RANGES)}  # fmt: skip
    assert set(ranges) == set(ARM_LIMITS)
    ends = {name: np.degrees(end) for name, end in joint_ranges(ranges).items()}
    at = {name: 50.0 + k for k, name in enumerate(ARM_RANGES)}  # of the trail arm
    for joint, below, above in (
        ("collar_bone_forward", "collar_bone_retraction", "collar_bone_protraction"),
        ("collar_bone_up", "collar_bone_depression", "collar_bone_elevation"),
        ("shoulder_internal_rotation", "shoulder_external_rotation", "shoulder_internal_rotation"),
        ("forearm_pronation", "forearm_supination", "forearm_pronation"),
        ("wrist_extension", "wrist_flexion", "wrist_extension"),
        ("wrist_radial_deviation", "wrist_ulnar_deviation", "wrist_radial_deviation"),
    ):
        assert ends[f"trail_{joint}"] == pytest.approx((-at[below], at[above]))
    assert ends["trail_shoulder_across"][1] == pytest.approx(at["shoulder_horizontal_adduction"] - 90.0)
    assert ends["trail_shoulder_elevation"][1] == pytest.approx(at["shoulder_flexion"])
    assert ends["trail_elbow_flexion"][1] == pytest.approx(at["elbow_flexion"])


def past(swing: Swing) -> float:
    """Degrees that any arm joint is past its range, at the worst moment of all."""
    names = [name for side in SIDES for name in joint_ranges(reference_ranges(0.0)) if name.startswith(side)]
    worst = [
        np.maximum(swing.joint_angles[n] - swing.joint_ranges[n][1], swing.joint_ranges[n][0] - swing.joint_angles[n])
        for n in names
    ]
    return float(np.degrees(np.max(worst)))


@pytest.mark.parametrize(
    ("name", "end", "degrees"),
    [
        ("shoulder_horizontal_adduction", "shoulder_across", 125.0), ("wrist_radial_deviation", "", 9.0),
        ("shoulder_internal_rotation", "", 55.0), ("forearm_pronation", "", 55.0),
    ],
)  # fmt: skip
def test_a_stiff_lead_arm_gives_way_and_says_so(name: str, end: str, degrees: float) -> None:
    free = simulate(Body.from_stature(), Address(), Pieces(), frames=21)
    stiff = simulate(
        Body.from_stature(ranges={f"lead_{name}": np.radians(degrees)}), Address(), Pieces(), frames=21
    )  # fmt: skip
    assert not free.arms_limited.any() and past(free) < 0.0
    told = {stiff.arm_limit_names[k] for k in np.flatnonzero(stiff.arms_limited.any(axis=0))}
    assert f"lead_{name}" in told and past(stiff) < 0.3
    joint = f"lead_{end or name}"
    assert stiff.joint_angles[joint][-1] == pytest.approx(stiff.joint_ranges[joint][1][-1], abs=np.radians(0.3))
    # Before the range ends the swing is the free one; the pieces and the head know nothing of it.
    first = int(np.argmax(stiff.arms_limited.any(axis=-1)))
    assert first > 3
    for place in ("grip", "clubhead", "elbow_trail"):
        np.testing.assert_allclose(stiff.skeleton.joints[place][:first], free.skeleton.joints[place][:first], atol=1e-9)
    np.testing.assert_array_equal(stiff.measures.head_moved, free.measures.head_moved)
    assert np.array_equal(stiff.limited, free.limited) and np.array_equal(stiff.met, free.met)


def test_a_wrist_that_cannot_reach_down_lets_the_club_lie_on_the_ball_all_the_same() -> None:
    stiff = simulate(
        Body.from_stature(ranges={"lead_wrist_ulnar_deviation": np.radians(15.0)}), Address(), Pieces(), frames=3
    )  # fmt: skip
    assert np.degrees(stiff.joint_angles["lead_wrist_radial_deviation"][0]) == pytest.approx(-15.0, abs=0.02)
    np.testing.assert_allclose(stiff.skeleton.joints["clubhead"][0], stiff.skeleton.joints["ball"][0], atol=1e-9)
    (told,) = np.flatnonzero(stiff.arms_limited[0])
    assert stiff.arm_limit_names[told] == "lead_wrist_ulnar_deviation" and not stiff.arms_limited[-1].any()


@pytest.mark.parametrize(
    ("asked", "joint", "moment", "sign"),
    [
        ("lead_elbow_bend", "lead_elbow_flexion", 0, 1), ("lead_elbow_bend_at_top", "lead_elbow_flexion", -1, 1),
        ("trail_elbow_bend", "trail_elbow_flexion", 0, 1), ("arm_across", "lead_shoulder_across", -1, 1),
        ("arm_lift", "lead_shoulder_elevation", -1, 1), ("wrist_hinge", "hinge", -1, 1),
        ("club_roll", "lead_forearm_pronation", -1, -1), ("turn_of_full_swing", "hinge", -1, -1),
    ],
)  # fmt: skip
def test_what_is_asked_of_the_arms_is_what_moves(asked: str, joint: str, moment: int, sign: int) -> None:
    usual = float(np.asarray(getattr(ArmSwing(), asked)))
    # What a default golfer has no room for is asked less of.
    steps = (-6.0, 0.0) if asked in ("arm_across", "wrist_hinge") else (0.0, 6.0)
    less, more = (
        simulate(Body.from_stature(), Address(arms=ArmSwing(**{asked: usual + step})), Pieces(), frames=3)
        for step in np.radians(steps)
    )
    assert sign * np.degrees(more.joint_angles[joint][moment] - less.joint_angles[joint][moment]) > 2.0
    assert np.abs(more.measures.head_moved - less.measures.head_moved).max() < 1e-3
    if asked != "trail_elbow_bend":  # It folds by so much more than at address.
        other = [swing.joint_angles[joint][0 if moment else -1] for swing in (more, less)]
        assert np.degrees(other[0] - other[1]) == pytest.approx(0.0, abs=0.6)


def test_hands_stand_where_they_are_asked_to_at_address() -> None:
    usual, ahead, out = (
        simulate(Body.from_stature(), Address(arms=ArmSwing(**asked)), Pieces(), frames=2).skeleton.joints
        for asked in ({}, {"hands_ahead": 0.05}, {"hands_out": np.radians(20.0)})
    )
    assert ahead["grip"][0, 1] - usual["grip"][0, 1] == pytest.approx(0.05, abs=3e-3)
    assert out["grip"][0, 0] - out["shoulder_lead"][0, 0] > usual["grip"][0, 0] - usual["shoulder_lead"][0, 0] + 0.05


def test_arms_that_give_way_do_not_depend_on_who_else_is_worked_out() -> None:
    rng = np.random.default_rng(12)
    body, address, pieces = Body.draw(rng, 40), Address.draw(rng, 40), Pieces.draw(rng, 40)
    swings = simulate(body, address, pieces, frames=4)
    gave = np.flatnonzero(swings.arms_limited.any(axis=(1, 2)))
    assert gave.size > 10
    for k in gave[:5]:
        alone = simulate(body[k], address[k], pieces[k], frames=4)
        np.testing.assert_array_equal(alone.arms_limited, swings.arms_limited[k])
        for name, place in alone.skeleton.joints.items():
            np.testing.assert_allclose(place, swings.skeleton.joints[name][k], rtol=0, atol=1e-9)


def test_arms_that_give_way_do_not_jump() -> None:
    """Moments twice as dense: each step half as far, at most a little more where a range ends."""
    rng = np.random.default_rng(13)
    golfers = Body.draw(rng, 60), Address.draw(rng, 60), Pieces.draw(rng, 60)
    swings = [simulate(*golfers, frames=frames) for frames in (41, 81)]
    assert swings[0].arms_limited.any(axis=(1, 2)).mean() > 0.3
    for name in ("elbow_lead", "elbow_trail", "wrist_lead", "wrist_trail", "grip", "clubhead"):
        coarse, dense = (np.linalg.norm(np.diff(s.skeleton.joints[name], axis=1), axis=-1) for s in swings)
        assert dense.max() < 0.6 * coarse.max(), name
        assert (dense.max(axis=1) < 0.75 * coarse.max(axis=1)).all(), name
