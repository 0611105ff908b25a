"""What a person must be told with every result: what was limited, what did not work, and what this is not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from ...model.arrays import Array, BoolArray
from ...model.chain import arm_joints
from ...model.chain.steady import STILL_M
from ...model.chain.support import FUNCTIONAL_MARGIN, carries
from ...model.golfer.measured_turn import UPRIGHT
from ...model.golfer.ranges import reference_ranges
from ...model.swing.swing import Swing
from .golfer import Place, wanted_place
from .moments import per_cent
from .units import told_length

CAUTIONS: tuple[str, ...] = (
    "This is a kinematic model, not a medical or load assessment.",
    "Never force a range of motion: a limit shown here is where to stop, not a target.",
    "Pain, numbness or an earlier back, hip or knee injury is a matter for a clinician; "
    "the swing itself is a matter for a qualified coach.",
)
SOURCES = (
    "Amounts of the pieces and of the address are common practice, without a published source. Body lengths, "
    "masses and ranges of motion are published means for the stature, mass and sex given, unless measured "
    "values were set; the project's docs folder names each source. The even timing of the pieces and the share "
    "of the shoulder girdle are assumptions."
)
ANGLE_ORDER = (
    "Angles of pelvis and ribcage are in the order turn, tilt, bend; turn is away from the target, tilt has the "
    "lead side down, bend is forward."
)
_OF_A_LEG = {
    "hip_flexion": ("hip_flexion", "hip_extension"), "hip_abduction": ("hip_abduction", "hip_adduction"),
    "hip_external_rotation": ("hip_external_rotation", "hip_internal_rotation"), "knee_flexion": ("knee_flexion", ""),
    "shin_internal_rotation": ("shin_internal_rotation", "shin_external_rotation"),
    "ankle_dorsiflexion": ("ankle_dorsiflexion", "ankle_plantarflexion"),
    "ankle_inversion": ("ankle_inversion", "ankle_eversion"),
}  # fmt: skip
_OF_THE_SPINE = {
    f"{part}_{motion}": (f"{part}_{motion}", f"{part}_{other}")
    for part in ("trunk", "neck")
    for motion, other in (("rotation", "rotation"), ("side_bend", "side_bend"), ("flexion", "extension"))
}
_MOTIONS = _OF_A_LEG | _OF_THE_SPINE
"""Joint angle to the ranges that bound it on its positive and on its negative side."""
_NEGLIGIBLE_DEG = 0.5
STILL_CM = 100.0 * STILL_M
"""A head that moves no more than this on its way counts as still: no film tells it from one that is."""
OVER_THE_FEET = "bring the hips back over the feet"
"""What to do about a centre of mass that leaves them."""
NOTICEABLE_CM = 0.3
"""Parts of a computed movement, and differences between computed places, below this are not worth a word (our choice).
Finer than `STILL_CM`, which is about what a film can tell: between two computed swings there is no error of reading."""
NOTICEABLE_DEG = 1.0
"""Angles below this are not worth a word."""


@dataclass(frozen=True)
class Stop:
    """A range that stopped what was asked.

    Attributes:
        name: the range.
        first, last: progress at which it first and last did.
        at_top: whether it still does at the top.
    """

    name: str
    first: float
    last: float
    at_top: bool

    @property
    def words(self) -> str:
        """The range's name in plain words."""
        return spoken(self.name)


def spoken(name: str) -> str:
    """A name of the model in plain words."""
    return name.replace("_", " ")


def stops(swing: Swing) -> list[Stop]:
    """The ranges that stop the pieces of a swing without batch axes, the ones that act at the top first."""
    return _stops(swing.limit_names, swing.limited, swing.progress)


def arm_stops(swing: Swing) -> list[Stop]:
    """The same of what is asked of the arms, which no piece depends on."""
    return _stops(swing.arm_limit_names, swing.arms_limited, swing.progress)


def _stops(names: Sequence[str], limited: BoolArray, progress: Array) -> list[Stop]:
    found = []
    for column, name in enumerate(names):
        moments = np.flatnonzero(limited[:, column])
        if moments.size:
            first, last = progress[moments[[0, -1]]]
            found.append(Stop(name, float(first), float(last), bool(limited[-1, column])))
    return sorted(found, key=lambda stop: (not stop.at_top, stop.first))


def limit_sentence(swing: Swing) -> str:
    """What stopped this swing, in one sentence; empty where nothing did."""
    found = stops(swing)
    return f"Ranges of motion of this body stop part of what was asked: {_told(found)}." if found else ""


def arm_sentence(swing: Swing) -> str:
    """What keeps the arms from what was asked of them, in one sentence; empty where nothing does."""
    found = arm_stops(swing)
    return f"The arms swing less far than asked, where this body's ranges end: {_told(found)}." if found else ""


def out_of_reach(swing: Swing) -> str:
    """Where the arms of a body whose ranges do not let it hold the club are past them, in one sentence; else empty."""
    past = _past_in_the_arms(swing, swing.body.ranges, "its range")
    return (
        f"With these ranges this body was found no way to hold the club: the figure shows {listed(past)}; do not "
        "follow it there, and check the ranges that were set."
        if past
        else ""
    )


def _past_in_the_arms(swing: Swing, ranges: Mapping[str, Array], called: str) -> list[str]:
    """Motions of the arms that go past some ``ranges``, in plain words with degrees."""
    found = []
    for joint, (low, high) in arm_joints.joint_ranges(ranges).items():
        angle = swing.joint_angles[joint]
        for above, past in ((True, float((angle - high).max())), (False, float((low - angle).max()))):
            if np.degrees(past) > _NEGLIGIBLE_DEG:
                end = arm_joints.ended_by(joint, above)
                reference = float(np.degrees(ranges[end]))
                found.append(f"{spoken(end)} {reference + np.degrees(past):.0f} ({called} {reference:.0f}) deg")
    return found


def _told(found: Sequence[Stop]) -> str:
    return listed(
        [
            f"{stop.words} (from {per_cent(stop.first)}%{'' if stop.at_top else f' to {per_cent(stop.last)}%'} of the "
            "backswing)"
            for stop in found
        ]
    )


def capital(text: str) -> str:
    """A text with a capital first letter, the rest as it stands."""
    return text[:1].upper() + text[1:]


def listed(parts: list[str]) -> str:
    """``a, b and c``."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def _moments(flags: BoolArray, progress: Array) -> str:
    at = [f"{per_cent(p)}%" for p in progress[flags].tolist()]
    return listed(at) if len(at) <= 5 else f"{len(at)} moments, {at[0]} to {at[-1]},"


@cache
def _means(female: float) -> Mapping[str, Array]:
    """Published means of men (0) or women (1); pages ask again and again."""
    return reference_ranges(female)


def beyond_reference(swing: Swing) -> list[str]:
    """Ranges of a measured body that this swing uses past the published mean, in plain words with degrees."""
    means = _means(float(np.squeeze(swing.body.female)))
    found = []
    for joint, (positive, negative) in _MOTIONS.items():
        for side in ("lead_", "trail_") if joint in _OF_A_LEG else ("",):
            angle = np.degrees(swing.joint_angles[side + joint])
            for motion, used in ((positive, float(angle.max())), (negative, float(-angle.min()))):
                reference = float(np.degrees(means[side + motion])) if motion else np.inf
                if used > reference + _NEGLIGIBLE_DEG:
                    found.append(f"{spoken(side + motion)} {used:.0f} (reference {reference:.0f}) deg")
    found += _past_in_the_arms(swing, means, "reference")
    return found


def ceiling_passed(swing: Swing) -> str:
    """Where a swing turns the hips further than people were measured to even upright, in one sentence; else empty."""
    turned = float(np.degrees(swing.achieved["hip_turn"].max()))
    if turned <= UPRIGHT.hip_turn_deg + NOTICEABLE_DEG:
        return ""
    return (
        f"The hips turn {turned:.0f}°, where {UPRIGHT.people} turned theirs at most about {UPRIGHT.hip_turn_deg:.0f}°, "
        f"standing upright ({UPRIGHT.study}); joints may allow more than people reach, so do not force it."
    )


def balance_sentence(swing: Swing, inches: bool = False) -> str:
    """Where the centre of mass of this swing leaves the base of support or comes near its edge; else empty.

    Args:
        swing: without batch axes.
        inches: lengths in inches.
    """
    margin = swing.measures.balance_margin
    worst = float(margin.min())
    near = FUNCTIONAL_MARGIN * float(np.squeeze(swing.body.lengths["foot"]))
    if not carries(worst):
        return (
            f"Standing still, this golfer would fall over: at {_moments(~carries(margin), swing.progress)} of the "
            f"backswing the centre of mass is up to {told_length(-100.0 * worst, inches)} outside the base of support "
            f"(the area around both soles); {OVER_THE_FEET}."
        )
    if worst < near:
        return (
            f"At {_moments(margin < near, swing.progress)} of the backswing the centre of mass comes within "
            f"{told_length(100.0 * worst, inches)} of the edge of the base of support (the area around both soles), "
            f"where most people cannot hold their weight; {OVER_THE_FEET}."
        )
    return ""


def wanted_sentence(swing: Swing, inches: bool = False) -> str:
    """Where the head of a swing is wanted on purpose, and that movements count from address all the same."""
    place = Place(*(100.0 * float(np.squeeze(way)) for way in (swing.head.toward_target, swing.head.up)))
    return (
        f"The head is wanted {wanted_place(place, inches)} at the top than at address, on purpose: steady holds it "
        "there; where it has moved is still told from address."
    )


def impact_sentence(swing: Swing) -> str:
    """What ranges stop at impact; empty where they stop nothing, or the swing does not go there."""
    if swing.impact is None:
        return ""
    stopped = [spoken(name) for name, on in zip(swing.limit_names, swing.limited[swing.at_impact], strict=True) if on]
    return f"Ranges of this body stop part of what is asked at impact: {listed(stopped)}." if stopped else ""


def warnings(swing: Swing, inches: bool = False) -> list[str]:
    """Sentences about what a person should not overlook in a swing without batch axes, up to its top and at impact.

    Args:
        swing: the swing.
        inches: lengths in inches.
    """
    at_impact = impact_sentence(swing)
    swing, found = swing.until_top(), []
    if swing.head.elsewhere:
        found.append(wanted_sentence(swing, inches))
    if limits := limit_sentence(swing):
        found.append(limits)
    if arms := arm_sentence(swing):
        found.append(arms)
    if at_impact:
        found.append(at_impact)
    if beyond := out_of_reach(swing):
        found.append(beyond)
    if balance := balance_sentence(swing, inches):
        found.append(balance)
    if past := beyond_reference(swing):
        found.append(f"This swing goes past the published mean of {listed(past)}; do not force it.")
    if passed := ceiling_passed(swing):
        found.append(passed)
    if not np.all(swing.converged):
        found.append(
            f"The solver did not converge at {_moments(~swing.converged, swing.progress)} of the backswing; do not "
            "rely on the numbers there."
        )
    if not np.all(swing.address_balanced):
        found.append("The address could not be balanced over the feet with this body and stance.")
    unmet = ~swing.met & ~swing.limited.any(axis=-1)
    if np.any(unmet):
        found.append(f"Not all that was asked could be met at {_moments(unmet, swing.progress)} of the backswing.")
    worst = float(np.max(swing.steady_miss)) * 100
    if worst > STILL_CM:
        found.append(
            f"No tilt and extension can hold this head within {told_length(STILL_CM, inches)} in this turn; the "
            f"nearest leaves it {told_length(worst, inches)} off."
        )
    return found
