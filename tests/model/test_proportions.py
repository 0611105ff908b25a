"""Lengths that go together, and bones that keep them: every length that can be set."""

from __future__ import annotations

import re

import numpy as np
import pytest

from turnstill.model import LENGTH_NAMES, Address, Body, OutOfRange, Pieces, TurnstillError, simulate
from turnstill.model.golfer.body import LENGTHS

BONES = {
    "thigh": (("hip_lead", "knee_lead"), ("hip_trail", "knee_trail")),
    "shank": (("knee_lead", "ankle_lead"), ("knee_trail", "ankle_trail")),
    "upper_arm": (("shoulder_lead", "elbow_lead"), ("shoulder_trail", "elbow_trail")),
    "forearm": (("elbow_lead", "wrist_lead"), ("elbow_trail", "wrist_trail")),
    "wrist_to_grip": (("wrist_lead", "grip"),),
    "hip_joint_width": (("hip_lead", "hip_trail"),),
    "vertex_up": (("head", "vertex"),),
}


def test_the_forearm_of_seven_centimetres_is_refused_with_what_is_allowed() -> None:
    """It was drawn 12.6 cm long, and nothing said so."""
    with pytest.raises(OutOfRange, match=r"forearm was 7 cm, but goes with a stature of 175 cm only from .* to .* cm"):
        Body.from_stature(lengths={"forearm": 0.07})


@pytest.mark.parametrize("name", LENGTH_NAMES)
def test_what_a_refusal_allows_is_allowed_and_no_more(name: str) -> None:
    """Both ends of the sentence are taken, what is past them is not; of a foot and a limb all parts together."""
    foot, leg = ("heel_to_ankle", "heel_to_ball", "foot"), ("thigh", "shank")
    arm = ("shoulder_width", "upper_arm", "forearm")
    group = next((parts for parts in (foot, leg, arm) if name in parts), (name,))
    mean = Body.from_stature().lengths
    surveyed = bool(LENGTHS[name].terms)
    ends = (0.5, 2.0) if surveyed else (0.0, 0.2 * 1.75 / float(mean[name]))
    for factor, beyond in zip(ends, (0.49, 1.02 * ends[1]), strict=True):
        if factor:
            together = {one: float(mean[one]) * factor for one in group}
            Body.from_stature(lengths=together)
        if factor or surveyed:
            with pytest.raises(OutOfRange) as refused:
                Body.from_stature(lengths={name: min(float(mean[name]) * beyond, 1.5)})
            assert refused.value.name == name
            told = [float(number) for number in re.findall(r"(?:from|to) ([\d.]+)(?= to| cm)", str(refused.value))]
            assert told[-1] == pytest.approx(100.0 * ends[1] * float(mean[name]), abs=0.1)


def together(**lengths: float) -> str:
    with pytest.raises(TurnstillError) as refused:
        Body.from_stature(lengths=lengths)
    return str(refused.value)


@pytest.mark.parametrize(
    "lengths",
    [
        {"upper_arm": 0.40, "forearm": 0.14}, {"upper_arm": 0.16, "forearm": 0.50}, {"thigh": 0.70, "shank": 0.22},
        {"thigh": 0.21, "shank": 0.80}, {"heel_to_ball": 0.30}, {"heel_to_ankle": 0.13, "heel_to_ball": 0.11},
        {"foot": 0.15}, {"shoulder_width": 0.41, "upper_arm": 0.17, "forearm": 0.14},
    ],
)  # fmt: skip
def test_following_the_advice_about_two_lengths_works(lengths: dict[str, float]) -> None:
    told = together(**lengths)
    name, most = re.search(r"set (\w+) to ([\d.]+) cm at most\.$", told).groups()  # type: ignore[union-attr]
    Body.from_stature(lengths={**lengths, name: float(most) / 100.0})


def draw(rng: np.random.Generator, count: int) -> Body:
    """Bodies of every stature, all lengths set, as far from the mean as goes together."""
    stature, female = rng.uniform(1.2, 2.0, count), (np.arange(count) % 2).astype(float)
    mean = Body.from_stature(stature, 80.0, female).lengths
    size = {name: value * np.exp(rng.uniform(-np.log(2.0), np.log(2.0), count)) for name, value in mean.items()}
    for one, other in (("thigh", "shank"), ("upper_arm", "forearm")):
        size[other] = np.clip(size[other], 0.5 * size[one], 2.0 * size[one])
        size[other] = np.clip(size[other], 0.5 * mean[other], 2.0 * mean[other])
    size["heel_to_ball"] = np.minimum(size["heel_to_ball"], size["foot"])
    size["heel_to_ankle"] = np.minimum(size["heel_to_ankle"], size["heel_to_ball"])
    size["shoulder_width"] = np.minimum(size["shoulder_width"], size["upper_arm"] + size["forearm"])
    return Body.from_stature(stature, 80.0, female, lengths=size)


def test_every_bone_keeps_its_length_in_every_body_that_is_let_in() -> None:
    """All settable lengths at once, at random within what goes together, in swings far from ordinary ones."""
    rng = np.random.default_rng(23)
    body = draw(rng, 300)
    for name in LENGTH_NAMES:
        mean = Body.from_stature(body.stature, 80.0, body.female).lengths[name]
        assert np.ptp(body.lengths[name] / mean) > 0.9, name

    def degrees(low: float, high: float) -> np.ndarray:
        return np.radians(rng.uniform(low, high, 300))

    # Bent far enough that the longest club reaches the ball from long legs and short arms.
    address = Address(
        lead_flare=degrees(-10, 40), trail_flare=degrees(-10, 40), stance_width=rng.uniform(0.2, 0.5, 300),
        knee_flex=degrees(15, 45), forward_bend=degrees(60, 75), pelvis_bend=degrees(20, 45), side_bend=degrees(-5, 12),
        club_length=1.3,
    )  # fmt: skip
    pieces = Pieces(
        hip_turn=degrees(0, 70), shoulder_turn=degrees(40, 110), sway=rng.uniform(-0.08, 0.08, 300),
        hips_toward_ball=rng.uniform(-0.1, 0.1, 300), lead_heel_rise=rng.uniform(0.0, 0.1, 300),
        trail_heel_rise=rng.uniform(0.0, 0.1, 300),
    )  # fmt: skip
    reach = _reaches(body)
    swing = simulate(body[reach], address[reach], pieces[reach], frames=5)
    size, joints = swing.body.lengths, swing.skeleton.joints
    assert reach.sum() > 250
    for name, pairs in BONES.items():
        for first, second in pairs:
            length = np.linalg.norm(joints[first] - joints[second], axis=-1)
            np.testing.assert_allclose(length, np.broadcast_to(size[name][:, None], length.shape), rtol=0, atol=1e-9)
    for side in ("lead", "trail"):
        heel, ankle, toe = (joints[f"{name}_{side}"] for name in ("heel", "ankle", "toe"))
        own = np.hypot(size["heel_to_ankle"], size["ankle_height"])[:, None]
        np.testing.assert_allclose(np.linalg.norm(heel - ankle, axis=-1) - own, 0.0, atol=1e-9)
        np.testing.assert_allclose(np.linalg.norm(toe - heel, axis=-1)[:, 0], size["foot"], atol=1e-9)
        ball = heel + size["heel_to_ball"][:, None, None] * swing.skeleton.frames[f"foot_{side}"][..., :, 0]
        np.testing.assert_allclose(ball[..., 2], 0.0, atol=1e-9)
        np.testing.assert_allclose(heel[..., 2], swing.achieved[f"{side}_heel_rise"], atol=1e-9)
    spine = np.linalg.norm(np.diff(swing.skeleton.spine, axis=-2), axis=-1).sum(axis=-1)
    np.testing.assert_allclose(spine, np.broadcast_to(size["spine"][:, None], spine.shape), rtol=0, atol=1e-9)


def _reaches(body: Body) -> np.ndarray:
    """Bodies whose hands hang low enough for the longest club when they bend by 60 degrees: legs, trunk and arms."""
    size = body.lengths
    hips = size["ankle_height"] + size["thigh"] + size["shank"] + size["lumbosacral_up"]
    return np.asarray(hips + 0.6 * size["spine"] - 0.8 * (size["upper_arm"] + size["forearm"]) < 1.15)


@pytest.mark.parametrize("side", ["lead", "trail"])
def test_a_heel_that_cannot_rise_so_far_says_so(side: str) -> None:
    """On a short foot the heel stops at a slope of 0.9; the asking is then not met."""
    body = Body.from_stature(1.2, lengths={"foot": 0.1, "heel_to_ball": 0.075, "heel_to_ankle": 0.04})
    swing = simulate(body, Address(), Pieces(**{f"{side}_heel_rise": 0.1}), frames=3)
    assert swing.achieved[f"{side}_heel_rise"][-1] == pytest.approx(0.9 * 0.075) and not swing.met[-1]
    assert swing.skeleton.joints[f"heel_{side}"][-1, 2] == pytest.approx(0.9 * 0.075)


def test_legs_that_do_not_reach_the_feet_are_refused_with_a_stance_that_they_reach() -> None:
    body = Body.from_stature(1.2, lengths={"thigh": 0.2, "shank": 0.2})
    with pytest.raises(TurnstillError, match="do not reach feet 110 cm apart") as refused:
        simulate(body, Address(stance_width=1.1, club_length=1.2), Pieces(), frames=3)
    most = float(re.search(r"at most (\d+) cm", str(refused.value))[1])  # type: ignore[index]
    swing = simulate(body, Address(stance_width=most / 100.0, club_length=1.2), Pieces(), frames=3)
    for name in ("thigh", "shank"):
        for first, second in BONES[name]:
            length = np.linalg.norm(swing.skeleton.joints[first] - swing.skeleton.joints[second], axis=-1)
            np.testing.assert_allclose(length, 0.2, atol=1e-9)
