"""Arms and club: the club is held always, the arms swing as asked, and nothing of the head depends on them."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model import Address, Body, Pieces, Swing, simulate
from turnstill.model.arrays import Array
from turnstill.model.chain import girdle, lie
from turnstill.model.chain.arm_joints import ENDS
from turnstill.model.numeric import rotations

SIDES = ("lead", "trail")


@pytest.fixture(scope="module")
def usual() -> Swing:
    """A thousand golfers of the survey and the swings they make; every one checks more than the average does."""
    rng = np.random.default_rng(71)
    return simulate(Body.draw(rng, 1000), Address.draw(rng, 1000), Pieces.draw(rng, 1000), frames=11)


@pytest.fixture(scope="module")
def wild() -> Swing:
    """A thousand who are asked for turns, bends and knees that no golfer makes."""
    rng = np.random.default_rng(72)

    def degrees(low: float, high: float) -> Array:
        return np.radians(rng.uniform(low, high, 1000))

    address = Address(
        lead_flare=degrees(-20, 50), trail_flare=degrees(-20, 50), stance_width=rng.uniform(0.25, 0.6, 1000),
        knee_flex=degrees(5, 45), forward_bend=degrees(22, 50), pelvis_bend=degrees(5, 35), side_bend=degrees(-5, 15),
        ball_position=rng.uniform(-0.1, 0.2, 1000), club_length=1.25,
    )  # fmt: skip
    pieces = Pieces(
        hip_turn=degrees(-20, 110), shoulder_turn=degrees(-30, 150), tilt=degrees(-25, 65), extension=degrees(-30, 70),
        lead_flex_change=degrees(-40, 50), trail_flex_change=degrees(-40, 50), sway=rng.uniform(-0.15, 0.15, 1000),
    )  # fmt: skip
    return simulate(Body.draw(rng, 1000), address, pieces, frames=5)


def of_body(swing: Swing, name: str) -> Array:
    return np.asarray(swing.body.lengths[name])[:, None]


@pytest.mark.parametrize("which", ["usual", "wild"])
def test_both_hands_hold_the_club_always(which: str, request: pytest.FixtureRequest) -> None:
    """To rounding, where a millimetre is the mark: lead hand at the grip, trail hand below it, bones as long."""
    swing: Swing = request.getfixturevalue(which)
    at, frames = swing.skeleton.joints, swing.skeleton.frames
    down = -frames["club"][..., :, 2]
    for side, place in (("lead", at["grip"]), ("trail", at["grip"] + of_body(swing, "hands_apart")[..., None] * down)):
        held = at[f"wrist_{side}"] - of_body(swing, "wrist_to_grip")[..., None] * frames[f"hand_{side}"][..., :, 2]
        np.testing.assert_allclose(held, place, rtol=0, atol=1e-12)
        for near, far, bone in (("shoulder", "elbow", "upper_arm"), ("elbow", "wrist", "forearm")):
            length = np.linalg.norm(at[f"{near}_{side}"] - at[f"{far}_{side}"], axis=-1)
            np.testing.assert_allclose(length, of_body(swing, bone) + 0.0 * length, rtol=0, atol=1e-12)
    # Palms face each other: both hands' y is the club's, square to its face.
    for side in SIDES:
        np.testing.assert_allclose(frames[f"hand_{side}"][..., :, 1], frames["club"][..., :, 1], rtol=0, atol=1e-12)


def test_elbows_stay_within_what_is_asked_of_them(wild: Swing) -> None:
    for side in SIDES:
        bend = np.degrees(wild.joint_angles[f"{side}_elbow_flexion"])
        assert bend.min() > 2.0 - 1e-6 and bend.max() < 140.0 + 1e-6


def test_a_golfers_arms_at_address_half_way_and_at_the_top(usual: Swing) -> None:
    """Lead elbow nearly straight throughout, trail elbow soft, then folded (common practice)."""
    lead, trail = (np.degrees(usual.joint_angles[f"{side}_elbow_flexion"]) for side in SIDES)
    assert lead[:, 0].max() <= 12.0 and lead[:, 5].max() <= 15.0 and lead[:, -1].max() <= 20.0
    assert trail[:, 0].min() >= 5.0 and trail[:, 0].max() <= 30.0
    # Where the lead arm cannot go across as far as asked the hands stay away from the trail shoulder.
    free = ~usual.arms_limited[:, -1].any(axis=-1)
    assert trail[free, -1].min() >= 70.0 and trail[:, -1].max() <= 115.0
    assert 0.3 < free.mean() < 0.7 and trail[:, -1].min() > 45.0 and np.mean(trail[:, -1] < 70.0) < 0.1


@pytest.mark.parametrize("which", ["usual", "wild"])
def test_no_arm_joint_leaves_its_range(which: str, request: pytest.FixtureRequest) -> None:
    """Half a degree is the mark."""
    swing: Swing = request.getfixturevalue(which)
    for name, (low, high) in swing.joint_ranges.items():
        if name.split("_", 1)[1] in ENDS:
            angle = swing.joint_angles[name]
            assert np.degrees(np.maximum(angle - high, low - angle)).max() < 0.01, name


def test_the_hinge_never_falls_back(usual: Swing) -> None:
    assert np.degrees(np.diff(usual.joint_angles["hinge"], axis=1)).min() > 2.0


def test_the_top_of_the_default_swing() -> None:
    swing = simulate(Body.from_stature(), Address(), Pieces(), frames=2)
    at = {name: place[-1] for name, place in swing.skeleton.joints.items()}
    shaft = at["clubhead"] - at["grip"]
    ahead, target, up = shaft / np.linalg.norm(shaft)
    assert abs(np.degrees(np.arcsin(up))) < 12.0, "level"
    assert target > 0.0 and abs(np.degrees(np.arctan2(ahead, target))) < 12.0, "along the target line"
    assert at["elbow_trail"][2] < at["shoulder_trail"][2] - 0.03
    assert max(at["shoulder_lead"][2], at["shoulder_trail"][2]) < at["grip"][2] < at["vertex"][2] + 0.03


def test_address(usual: Swing) -> None:
    """The trail shoulder is lower; the hands hang level with a ball up to 5 cm ahead of the middle of the shoulders."""
    at = {name: place[:, 0] for name, place in usual.skeleton.joints.items()}
    lower = at["shoulder_lead"][:, 2] - at["shoulder_trail"][:, 2]
    assert lower.min() > 0.0 and 0.05 < np.median(lower) < 0.13
    middle = 0.5 * (at["shoulder_lead"] + at["shoulder_trail"])[:, 1]
    ball = at["ball"][:, 1]
    off = at["grip"][:, 1] - ball
    assert np.abs(off[(ball > middle) & (ball < middle + 0.05)]).max() < 2e-3


def test_the_head_does_not_depend_on_the_arms() -> None:
    """Arms a tenth shorter: the address moves under the head to balance, a little; nothing that moves since does."""
    body = Body.from_stature()
    arm = {name: 0.9 * float(body.lengths[name]) for name in ("upper_arm", "forearm", "wrist_to_grip", "hands_apart")}
    address, pieces = Address(club_length=1.1), Pieces()
    whole, short = (simulate(b, address, pieces, frames=5) for b in (body, Body.from_stature(lengths=arm)))
    moved = np.abs(whole.skeleton.joints["head"][0] - short.skeleton.joints["head"][0])
    assert 1e-4 < moved.max() < 0.01
    assert np.abs(whole.measures.head_moved - short.measures.head_moved).max() < 1e-3
    for name in ("tilt", "extension"):
        assert np.abs(whole.steady[name] - short.steady[name]).max() < np.radians(0.2)


def test_a_collar_bone_turns_the_shortest_way_to_where_its_arm_reaches() -> None:
    """Against a search over all rotations of one collar bone; and its two angles rebuild the shoulder."""
    frame = rotations.from_turn_tilt_bend(*np.array([0.9, 0.4, 0.3]))
    made = girdle.Girdle.of(Body.from_stature(), frame, np.array([0.2, 0.0, 1.4]), np.array(0.3), np.array(0.5))
    for side, sign in (("lead", 1.0), ("trail", -1.0)):
        joint, start = made.breastbone[side], made.shoulder[side]
        wrist = start + np.array([0.3, -0.2, -0.35])
        asked = np.linalg.norm(wrist - start) - 0.02
        shoulder = made.toward(side, wrist, asked, girdle.FARTHEST)
        assert np.linalg.norm(wrist - shoulder) == pytest.approx(asked, abs=1e-12)
        bone = np.linalg.norm(start - joint)
        assert np.linalg.norm(shoulder - joint) == pytest.approx(bone, abs=1e-12)
        own = np.arccos((start - joint) @ (shoulder - joint) / bone**2)
        axes = np.random.default_rng(5).normal(size=(20000, 3))
        axes *= (np.random.default_rng(6).uniform(0.0, 0.99 * own, 20000) / np.linalg.norm(axes, axis=1))[:, None]
        nearer = joint + rotations.exp(axes) @ (start - joint)
        assert np.linalg.norm(wrist - nearer, axis=-1).min() > asked, "no smaller turn reaches"
        forward, up = made.collar_bone_angles(side, shoulder)
        turned = rotations.about_z(-sign * forward) @ rotations.about_x(sign * up)
        np.testing.assert_allclose(joint + frame @ turned @ [0.0, sign * bone, 0.0], shoulder, rtol=0, atol=1e-12)
        np.testing.assert_allclose(made.collar_bone(side, forward, up), frame @ turned, rtol=0, atol=1e-12)


def test_the_girdle_turns_the_shoulder_line_by_its_share() -> None:
    for share in np.radians([-25.0, 7.0, 20.0]):
        made = girdle.Girdle.of(Body.from_stature(), np.eye(3), np.zeros(3), np.asarray(share), np.asarray(0.0))
        line = made.shoulder["lead"] - made.shoulder["trail"]
        assert np.arctan2(line[0], line[1]) == pytest.approx(share, abs=1e-12)
        assert np.abs(0.5 * (made.shoulder["lead"] + made.shoulder["trail"])[1]) < 1e-12, "about the middle"


def test_the_girdle_goes_round_as_far_as_both_collar_bones_turn() -> None:
    """Against a search: the girdle's share at which the first collar bone comes to its end."""
    body = Body.from_stature(ranges={"lead_collar_bone_protraction": np.radians(24.0),
                                     "lead_collar_bone_retraction": np.radians(15.0)})  # fmt: skip
    low, high = girdle.girdle_range(body.lengths, body.ranges)
    for share, side, degrees in ((high, "lead", 24.0), (low, "lead", -15.0)):
        made = girdle.Girdle.of(body, np.eye(3), np.zeros(3), np.asarray(share), np.asarray(0.0))
        forward, _ = made.collar_bone_angles(side, made.shoulder[side])
        assert np.degrees(forward) == pytest.approx(degrees, abs=1e-9)


def test_a_club_lies_as_it_is_said_to() -> None:
    rng = np.random.default_rng(9)
    arm = lie.unit(rng.normal(size=(50, 3)))
    shaft = lie.unit(rng.normal(size=(50, 3)))
    for said in (lie.lie(arm, shaft), lie.lie_without_lean(arm, shaft)):
        made = lie.held(arm, said)
        np.testing.assert_allclose(made.shaft, shaft, rtol=0, atol=1e-12)
        axes = np.stack([made.shaft, made.palms, made.across], axis=-1)
        np.testing.assert_allclose(np.swapaxes(axes, -1, -2) @ axes, np.broadcast_to(np.eye(3), axes.shape), atol=1e-12)
    plain = lie.held(arm, lie.lie_without_lean(arm, shaft))
    np.testing.assert_allclose((plain.palms * arm).sum(-1), 0.0, atol=1e-12)
    for angle in (0.4, 1.3):
        np.testing.assert_allclose((plain.hand(np.asarray(angle)) * shaft).sum(-1), np.cos(angle), atol=1e-12)


def test_nothing_drawn_counts_as_turn_and_a_full_turn_is_a_full_swing() -> None:
    full = np.radians(80.0)
    assert girdle.arm_swing(np.radians([-40.0, 0.0, 80.0]), full) == pytest.approx([0.0, 0.0, 1.0])
    assert np.diff(girdle.arm_swing(np.radians(np.arange(0.0, 180.0, 3.0)), full)).min() >= 0.0
