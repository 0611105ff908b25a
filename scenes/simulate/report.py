"""A swing as plain numbers in degrees and centimetres: the JSON of ``simulate``, documented in docs/json.md."""

from __future__ import annotations

from typing import Self

import numpy as np

from ...model.chain.skeleton import JOINTS
from ...model.golfer.pieces import MAY_BE_STEADY
from ...model.swing.swing import Swing
from ..setups.past_the_ball import impact_notes
from ..setups.perform import Performed
from ..setups.quantities import to_border
from ..setups.reports import (
    GolferReport,
    HeldHead,
    LimitedMoment,
    Number,
    Report,
    at_moment,
    closing_fields,
    golfer_fields,
    moment_fields,
)
from ..setups.set_otherwise import given_at_impact
from ..words import cautions


class MomentReport(LimitedMoment):
    """One moment of a swing."""

    joint_angles_deg: dict[str, Number]
    """joint angle by name; for each leg, `lead_` and `trail_`: `hip_flexion`, `hip_abduction`, `hip_external_rotation`,
    `knee_flexion`, `shin_internal_rotation`, `ankle_dorsiflexion`, `ankle_inversion`, the opposite motion being
    negative; and `trunk_rotation`, `trunk_side_bend`, `trunk_flexion` (ribcage on pelvis), `neck_rotation`,
    `neck_side_bend`, `neck_flexion` (head on ribcage), `girdle_rotation` (shoulder girdle on ribcage);
    for each arm `collar_bone_forward`, `collar_bone_up`, `shoulder_elevation`, `shoulder_across` (past straight ahead),
    `shoulder_internal_rotation` (all on the ribcage), `elbow_flexion`, `forearm_pronation`, `wrist_extension` and
    `wrist_radial_deviation`; and `hinge` (lead forearm to shaft)"""
    joints_m: dict[str, tuple[Number, Number, Number]]
    """`[x, y, z]` of every joint by name, see below"""

    @classmethod
    def of(cls, swing: Swing, moment: int) -> Self:
        """A moment of a swing without batch axes."""
        return cls(
            **moment_fields(swing, moment),
            joint_angles_deg={name: np.degrees(angle[moment]) for name, angle in swing.joint_angles.items()},
            joints_m={name: tuple(swing.skeleton.joints[name][moment]) for name in JOINTS},
        )


class SteadyReport(Report):
    """What would keep this head still at the top, how far the swing departs from it, and it from centred."""

    tilt_deg: Number
    """tilt that keeps the head at its place at address, face-on and in height, for the turn that this body makes"""
    tilt_departure_deg: Number
    """how much more than that the swing has"""
    tilt_more_than_centred_deg: Number
    """how much more that is than what the centred preset's pieces and flare would need with this golfer's body, club,
    ball and posture"""
    extension_deg: Number
    """as for tilt"""
    extension_departure_deg: Number
    """as for tilt"""
    extension_more_than_centred_deg: Number
    """as for tilt"""
    head_miss_cm: Number
    """how far off the head is at the top even so; 0 where it can be held"""
    largest_head_miss_cm: Number
    """the same at the worst moment"""

    @classmethod
    def of(cls, performed: Performed) -> Self:
        """At the top of a swing."""
        swing, centred = performed.swing.until_top(), performed.centred
        found = steady_at_top(swing)
        for piece in MAY_BE_STEADY:
            usual = to_border("deg", centred.steady[piece][-1])
            found[f"{piece}_more_than_centred_deg"] = found[f"{piece}_deg"] - usual
        return cls(**found)


def steady_at_top(swing: Swing) -> dict[str, float]:
    """The fields of `SteadyReport` of a swing that ends at the top, but for those beside the centred one."""
    found = {}
    for piece in MAY_BE_STEADY:
        amount = to_border("deg", swing.steady[piece][-1])
        found[f"{piece}_deg"] = amount
        found[f"{piece}_departure_deg"] = to_border("deg", swing.achieved[piece][-1]) - amount
    found["head_miss_cm"] = to_border("cm", swing.steady_miss[-1])
    found["largest_head_miss_cm"] = to_border("cm", np.max(swing.steady_miss))
    return found


class StopReport(Report):
    """A range that stopped something on the way to the top."""

    range: str
    """the name of a range of `body.ranges_deg`, or `trunk` for the trunk's range of rotation, side bend and flexion
    together, or `girdle` for the shoulder girdle's"""
    from_progress: Number
    """the first moment at which it stopped something"""
    to_progress: Number
    """the last one"""
    at_top: bool
    """whether it still does at the top"""

    @classmethod
    def of(cls, stop: cautions.Stop) -> Self:
        """One stop."""
        return cls(range=stop.name, from_progress=stop.first, to_progress=stop.last, at_top=stop.at_top)


class ImpactReport(Report):
    """What is asked at impact, and what comes of it."""

    moment: int
    """which of `moments` impact is, counted from 0: head, inclination and what stops it are told there"""
    given: dict[str, Number | str]
    """what was given of impact, numbers or `"steady"`, `"steady+4"`; what was not is the centred golfer's"""
    asked: dict[str, Number]
    """the pieces as numbers, as `asked` at the top"""
    achieved: dict[str, Number]
    """the same as the joints show it"""
    head_held: HeldHead
    """where steady holds the head at impact, as it was asked, see below"""

    @classmethod
    def of(cls, performed: Performed) -> Self | None:
        """Of a swing; none of one that ends at the top."""
        swing = performed.swing
        if swing.impact is None:
            return None
        at = swing.at_impact
        return cls(
            moment=at,
            given=given_at_impact(performed.setup),
            asked=at_moment(swing.asked, at),
            achieved=at_moment(swing.achieved, at),
            head_held=HeldHead.of(swing.impact.head),
        )


def warnings_of(performed: Performed, inches: bool = False) -> list[str]:
    """What a person should not overlook of a swing, and that it ends at the top where more is asked of it.

    Args:
        performed: the swing.
        inches: lengths in inches.
    """
    swing = performed.swing
    return [*cautions.warnings(swing, inches), *impact_notes(performed.setup, swing)]


class SwingReport(GolferReport):
    """Everything about one swing; every number is finite, or `null` where it says so."""

    timing: dict[str, list[tuple[Number, Number]]]
    """piece to knots `[progress, share]`; a piece that is not there goes evenly"""
    asked: dict[str, Number]
    """what was asked for at the top, as numbers, see below"""
    achieved: dict[str, Number]
    """the same at the top as the joints show it"""
    steady: SteadyReport
    """what would keep this head still at the top, see below"""
    at_impact: ImpactReport | None
    """what is asked at impact, see below; `null` where the swing ends at the top"""
    limited_by: list[StopReport]
    """the ranges that stopped something, those that still act at the top first, see below; empty if none did"""
    arms_limited_by: list[StopReport]
    """the same of what was asked of the arms, which no piece depends on"""
    warnings: list[str]
    """sentences for a person: ranges that stopped something or were passed, moments at which the solver did not
    converge, a head that cannot be held, what is asked at impact and left out; empty if there is nothing to say"""
    cautions: list[str]
    """sentences that belong with every result"""
    angle_order: str
    """the order of the angles, in words"""
    moments: list[MomentReport]
    """list of moments from address (first) to the top (last), or on through impact, see below"""

    @property
    def to_top(self) -> list[MomentReport]:
        """The moments up to the top, which is the last of them."""
        if self.at_impact is None:
            return self.moments
        return [moment for moment in self.moments if moment.progress <= 1.0]

    @property
    def to_impact(self) -> list[MomentReport]:
        """The moments up to impact, which is the last of them, or to the top where the swing ends there."""
        return self.moments if self.at_impact is None else self.moments[: self.at_impact.moment + 1]

    @classmethod
    def of(cls, performed: Performed, inches: bool = False) -> Self:
        """The report of a swing.

        Args:
            performed: the swing.
            inches: lengths in its sentences in inches; its numbers stay metric.
        """
        whole = performed.swing
        swing = whole.until_top()
        return cls(
            **golfer_fields(performed),
            timing={piece: list(knots) for piece, knots in performed.setup.timing.items()},
            asked=at_moment(swing.asked, -1),
            achieved=at_moment(swing.achieved, -1),
            steady=SteadyReport.of(performed),
            at_impact=ImpactReport.of(performed),
            limited_by=[StopReport.of(stop) for stop in cautions.stops(swing)],
            arms_limited_by=[StopReport.of(stop) for stop in cautions.arm_stops(swing)],
            warnings=warnings_of(performed, inches),
            **closing_fields(through_impact=whole.impact is not None),
            moments=[MomentReport.of(whole, moment) for moment in range(len(whole.progress))],
        )
