"""What a person must be told with a result: each sentence with its own ranges, moments, degrees and lengths."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from distinct_swing import JOINT_ANGLES, LIMITS, distinct_swing

from turnstill.model import Address, ArmSwing, Body, Pieces, simulate
from turnstill.model.chain.steady import STILL_M
from turnstill.model.golfer.ranges import reference_ranges
from turnstill.model.swing.swing import Swing
from turnstill.scenes.words import cautions
from turnstill.scenes.words.cautions import Stop, beyond_reference, limit_sentence, listed, spoken, stops, warnings
from turnstill.scenes.words.moments import moment_name

MOMENTS = 21
"""So that a moment is five per cent of the backswing."""
MALE = {name: float(np.degrees(value)) for name, value in reference_ranges(0.0).items()}
FEMALE = {name: float(np.degrees(value)) for name, value in reference_ranges(1.0).items()}
BOUNDS = {
    "hip_flexion": ("hip_flexion", "hip_extension"), "hip_abduction": ("hip_abduction", "hip_adduction"),
    "hip_external_rotation": ("hip_external_rotation", "hip_internal_rotation"),
    "knee_flexion": ("knee_flexion", None),
    "shin_internal_rotation": ("shin_internal_rotation", "shin_external_rotation"),
    "ankle_dorsiflexion": ("ankle_dorsiflexion", "ankle_plantarflexion"),
    "ankle_inversion": ("ankle_inversion", "ankle_eversion"),
}  # fmt: skip
WHOLE = {
    "trunk_rotation": ("trunk_rotation", "trunk_rotation"), "trunk_side_bend": ("trunk_side_bend", "trunk_side_bend"),
    "trunk_flexion": ("trunk_flexion", "trunk_extension"), "neck_rotation": ("neck_rotation", "neck_rotation"),
    "neck_side_bend": ("neck_side_bend", "neck_side_bend"), "neck_flexion": ("neck_flexion", "neck_extension"),
}  # fmt: skip
EACH = {f"{side}_{joint}": (f"{side}_{up}", f"{side}_{down}" if down else None)
        for side in ("lead", "trail") for joint, (up, down) in BOUNDS.items()} | WHOLE  # fmt: skip
"""Joint angle to the motions that bound it upward and downward, by anatomy."""


def swing(limited: dict[str, tuple[int, ...]] | None = None, female: float = 0.0, **changed: Any) -> Swing:
    """A swing that stands still in every joint and of which nothing is to be said, but for what is given."""
    flags = np.zeros((MOMENTS, len(LIMITS)), bool)
    for name, moments in (limited or {}).items():
        flags[list(moments), LIMITS.index(name)] = True
    one = distinct_swing(MOMENTS)
    still = {name: np.zeros(MOMENTS) for name in JOINT_ANGLES}
    usual: dict[str, Any] = {
        "joint_angles": still,
        "achieved": one.achieved | {"hip_turn": np.zeros(MOMENTS)},
        "steady_miss": np.zeros(MOMENTS),
        "limited": flags,
        "measures": replace(one.measures, balance_margin=np.full(MOMENTS, 0.9)),
    }
    wide = {name: np.array(np.pi) for name in one.body.ranges}
    body = replace(one.body, female=np.array(female), ranges=wide)
    return replace(one, **({"body": body} | usual | changed))


def flags(*off: int) -> np.ndarray:
    found = np.ones(MOMENTS, bool)
    found[list(off)] = False
    return found


def balanced(margin: np.ndarray) -> list[str]:
    one = swing()
    body = replace(one.body, lengths={**one.body.lengths, "foot": np.array(0.25)})
    return warnings(replace(one, body=body, measures=replace(one.measures, balance_margin=margin)))


def test_a_centre_of_mass_outside_the_feet_falls_over_and_one_near_their_edge_is_told() -> None:
    """Near is a fifth of a foot of 25 cm."""
    margin = np.full(MOMENTS, 0.051)
    assert balanced(margin) == []
    margin[4] = 0.049
    assert balanced(margin) == [
        "At 20% of the backswing the centre of mass comes within 4.9 cm of the edge of the base of support (the area "
        "around both soles), where most people cannot hold their weight; bring the hips back over the feet."
    ]
    margin[[5, 6]] = -0.02, -0.351
    assert balanced(margin) == [
        "Standing still, this golfer would fall over: at 25% and 30% of the backswing the centre of mass is up to 35.1 "
        "cm outside the base of support (the area around both soles); bring the hips back over the feet."
    ]


def test_nothing_is_said_where_nothing_is_to_be_said() -> None:
    assert warnings(swing()) == [] and stops(swing()) == [] and limit_sentence(swing()) == ""


def test_a_stop_is_told_from_its_first_moment_to_its_last_those_at_the_top_first() -> None:
    one = swing({"lead_hip_flexion": (2, 5), "trunk": tuple(range(14, 21)), "girdle": (9, 20)})
    assert [(stop.name, stop.first, stop.last, stop.at_top) for stop in stops(one)] == [
        ("girdle", pytest.approx(0.45), 1.0, True),
        ("trunk", pytest.approx(0.7), 1.0, True),
        ("lead_hip_flexion", pytest.approx(0.1), pytest.approx(0.25), False),
    ]
    assert limit_sentence(one) == (
        "Ranges of motion of this body stop part of what was asked: girdle (from 45% of the backswing), trunk (from "
        "70% of the backswing) and lead hip flexion (from 10% to 25% of the backswing)."
    )
    assert warnings(one) == [limit_sentence(one)]
    half = swing({"trunk": (1, 2, 3)}, progress=np.arange(MOMENTS) / 20 * 0.5 + 0.4)
    called = [moment_name(half.progress[at]).replace(" ", "") for at in (1, 3)]
    assert f"trunk (from {called[0]} to {called[1]} of the backswing)" in limit_sentence(half), (
        "42.5 per cent have one name in sentences, tables and pages"
    )
    assert Stop("trail_hip_internal_rotation", 0.1, 0.2, False).words == "trail hip internal rotation"


@pytest.mark.parametrize("joint", sorted(EACH))
@pytest.mark.parametrize(("female", "means"), [(0.0, MALE), (1.0, FEMALE)])
def test_each_joint_is_held_to_the_mean_of_its_own_motion(joint: str, female: float, means: dict[str, float]) -> None:
    """Past it by two degrees, one way and then the other, at one moment only."""
    for motion, sign in zip(EACH[joint], (1.0, -1.0), strict=True):
        angle = np.zeros(MOMENTS)
        past = (means[motion] if motion else 150.0) + 2.0
        angle[7] = sign * np.radians(past)
        one = swing(female=female)
        one = replace(one, joint_angles={**one.joint_angles, joint: angle})
        if motion is None:
            assert beyond_reference(one) == []  # A knee does not bend backward.
            continue
        told = f"{motion.replace('_', ' ')} {past:.0f} (reference {means[motion]:.0f}) deg"
        assert beyond_reference(one) == [told]
        assert warnings(one) == [f"This swing goes past the published mean of {told}; do not force it."]


@pytest.mark.parametrize(("over", "told"), [(0.4, False), (0.6, True)])
def test_half_a_degree_past_a_mean_is_not_worth_a_word(over: float, told: bool) -> None:
    one = swing()
    angle = np.full(MOMENTS, np.radians(MALE["trunk_rotation"] + over))
    assert bool(beyond_reference(replace(one, joint_angles={**one.joint_angles, "trunk_rotation": angle}))) == told


@pytest.mark.parametrize(("turned", "told"), [(64.5, False), (64.9, True)])
def test_hips_that_turn_further_than_people_did_upright_are_told(turned: float, told: bool) -> None:
    """63.75 degrees, 25.5 / 0.40 (Montgomery et al. 2011), and one more, below which nothing is worth a word."""
    achieved = swing().achieved | {"hip_turn": np.radians(np.where(np.arange(MOMENTS) == 3, turned, 5.0))}
    said = [
        "The hips turn 65°, where 20 men turned theirs at most about 64°, standing upright (Montgomery et al. 2011); "
        "joints may allow more than people reach, so do not force it."
    ]
    assert warnings(swing(achieved=achieved)) == (said if told else [])


def test_moments_that_are_not_to_be_relied_on_are_named() -> None:
    assert warnings(swing(converged=flags(3, 10))) == [
        "The solver did not converge at 15% and 50% of the backswing; do not rely on the numbers there."
    ]
    assert warnings(swing(converged=flags(1, 2, 3, 4, 6))) == [
        "The solver did not converge at 5%, 10%, 15%, 20% and 30% of the backswing; do not rely on the numbers there."
    ]
    assert warnings(swing(converged=flags(1, 2, 3, 4, 6, 19))) == [
        "The solver did not converge at 6 moments, 5% to 95%, of the backswing; do not rely on the numbers there."
    ]


def test_what_was_not_met_is_told_where_no_range_stopped_it() -> None:
    assert warnings(swing({"trunk": (4,)}, met=flags(4, 8)))[1:] == [
        "Not all that was asked could be met at 40% of the backswing."
    ]
    assert len(warnings(swing({"trunk": (4,)}, met=flags(4)))) == 1


def test_an_address_without_balance_is_told() -> None:
    assert warnings(swing(address_balanced=np.array(False))) == [
        "The address could not be balanced over the feet with this body and stance."
    ]


def test_a_head_that_cannot_be_held_is_told_with_the_worst_moment() -> None:
    miss = np.full(MOMENTS, 0.001)
    miss[4] = 0.0254
    assert warnings(swing(steady_miss=miss)) == [
        "No tilt and extension can hold this head within 0.5 cm in this turn; the nearest leaves it 2.5 cm off."
    ]
    assert warnings(swing(steady_miss=miss), inches=True) == [
        "No tilt and extension can hold this head within 0.20 in in this turn; the nearest leaves it 1.00 in off."
    ]
    assert warnings(swing(steady_miss=np.full(MOMENTS, 0.0049))) == []
    assert len(warnings(swing(steady_miss=np.full(MOMENTS, 0.0051)))) == 1


def test_names_and_lists_are_spoken() -> None:
    assert spoken("trail_hip_internal_rotation") == "trail hip internal rotation"
    lists = {"a": "a", "ab": "a and b", "abc": "a, b and c", "abcd": "a, b, c and d"}
    assert {text: listed(list(text)) for text in lists} == lists


def test_still_is_what_the_model_calls_still_and_no_larger_than_an_angle_worth_a_word() -> None:
    assert pytest.approx(STILL_M * 100.0) == cautions.STILL_CM == 0.5
    assert (cautions.NOTICEABLE_CM, cautions.NOTICEABLE_DEG) == (0.3, 1.0)  # Our own choice.


def test_the_cautions_stand_and_defer_to_those_who_know() -> None:
    """Health comes first: every page says these, so that they are held here word by word."""
    assert cautions.CAUTIONS == (
        "This is a kinematic model, not a medical or load assessment.",
        "Never force a range of motion: a limit shown here is where to stop, not a target.",
        "Pain, numbness or an earlier back, hip or knee injury is a matter for a clinician; the swing itself is a "
        "matter for a qualified coach.",
    )
    assert "common practice, without a published source" in cautions.SOURCES and "assumptions" in cautions.SOURCES
    assert "turn, tilt, bend; turn is away from the target, tilt has the lead side down, bend is forward" in (
        cautions.ANGLE_ORDER
    )


def test_a_measured_arm_that_goes_past_the_published_mean_is_told_not_to_be_forced() -> None:
    """Horizontal adduction counts from the side, 90 degrees more than across counts from straight ahead."""
    ranges = {"lead_shoulder_horizontal_adduction": np.radians(170.0)}
    swing = simulate(
        Body.from_stature(ranges=ranges), Address(arms=ArmSwing(arm_across=np.radians(55.0))), Pieces(), frames=3
    )  # fmt: skip
    used = np.degrees(swing.joint_angles["lead_shoulder_across"][-1]) + 90.0
    assert 150.0 < used < 170.0
    assert f"lead shoulder horizontal adduction {used:.0f} (reference 141) deg" in beyond_reference(swing)
    assert not beyond_reference(simulate(Body.from_stature(), Address(), Pieces(), frames=3))
