"""What every report is made of: typed models whose field names are the JSON's keys, the unit at the end of the name.

A report is the one object that table, page, CSV and JSON read. A field's docstring is its row in docs/json.md.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Self

import numpy as np
from pydantic import AfterValidator, BaseModel, ConfigDict

from ...model.arrays import Array
from ...model.chain.support import carries
from ...model.golfer.head_place import HeadPlace
from ...model.golfer.pieces import PIECES
from ...model.swing.swing import Swing
from ..words import cautions
from ..words.at_impact import BACK
from .perform import Performed, is_left_handed
from .quantities import (
    ADDRESS_SECTION,
    ARMS_SECTION,
    LENGTHS_SECTION,
    PIECES_SECTION,
    RANGES_SECTION,
    section_entries,
    to_border,
)

DECIMALS = 6
LENGTHS_IN_METRES = ("pelvis_toward_ball", "pelvis_toward_target")
"""Names of asked and achieved that are lengths, besides the pieces in centimetres."""


def rounded(value: Any) -> float:
    """A number as JSON carries it, without a negative zero."""
    return round(float(value), DECIMALS) + 0.0


Number = Annotated[float, AfterValidator(rounded)]
"""A number of a report: rounded once, here, so that table, page and JSON show the same one."""


class Report(BaseModel):
    """A report or a part of one."""

    # A number that is not finite must not come out of a writer as none at all.
    model_config = ConfigDict(extra="forbid", frozen=True, use_attribute_docstrings=True, ser_json_inf_nan="constants")

    def replaced(self, **changes: Any) -> Self:
        """A copy with some fields changed, for example its sentences with lengths in inches."""
        return self.model_copy(update=changes)


class BodyReport(Report):
    """The body that was simulated, with every length and range it has."""

    stature_cm: Number
    """body height"""
    mass_kg: Number
    """body mass"""
    sex: str
    """`"male"` or `"female"`: which averages were taken"""
    handedness: str
    """`"right"` or `"left"`"""
    lengths_cm: dict[str, Number]
    """every length of the body by name"""
    ranges_deg: dict[str, Number]
    """every range of motion by name"""
    measured: list[str]
    """sorted names of those lengths and ranges that were set rather than estimated"""

    @classmethod
    def of(cls, performed: Performed) -> Self:
        """The body of a swing."""
        body = performed.swing.body
        return cls(
            stature_cm=to_border("cm", body.stature),
            mass_kg=to_border("kg", body.mass),
            sex="female" if float(np.squeeze(body.female)) else "male",
            handedness="left" if is_left_handed(performed.setup) else "right",
            lengths_cm={name: to_border("cm", value) for name, value in body.lengths.items()},
            ranges_deg={name: to_border("deg", value) for name, value in body.ranges.items()},
            measured=sorted({*performed.setup.section(LENGTHS_SECTION), *performed.setup.section(RANGES_SECTION)}),
        )


class HeldHead(Report):
    """Where steady holds a head, from its place at address; 0 and 0 is that place."""

    toward_target_cm: Number
    """nearer the target"""
    up_cm: Number
    """higher"""

    @classmethod
    def of(cls, head: HeadPlace) -> Self:
        """A head that is wanted at a place."""
        return cls(toward_target_cm=to_border("cm", head.toward_target), up_cm=to_border("cm", head.up))


class GolferReport(Report):
    """Whose swing it is and what was asked: the first keys of every report about one."""

    preset: str
    """name of the preset, or of the file without `.toml`"""
    shows: str
    """one line on what it shows, as its author wrote it, or, of a swing that was changed, what was: `with extension
    changed`; may be empty"""
    body: BodyReport
    """the body that was simulated, see below"""
    address: dict[str, Number]
    """the address that was asked for: `lead_flare_deg`, `trail_flare_deg` (outward positive), `stance_width_cm`,
    `knee_flex_deg`, `forward_bend_deg`, `pelvis_bend_deg`, `side_bend_deg` (trail side down), `ball_position_cm`
    (toward the target from mid-stance), `club_length_cm`"""
    arms: dict[str, Number]
    """what was asked of the arms, see `turnstill presets settable`: `lead_elbow_bend_deg`, `trail_elbow_bend_deg`,
    `hands_ahead_cm`, `hands_out_deg` at address; `lead_elbow_bend_at_top_deg`, `arm_across_deg`, `arm_lift_deg`,
    `wrist_hinge_deg`, `club_roll_deg` at a full swing of the arms, which goes with
    `turn_of_full_swing_deg` of the shoulder line"""
    pieces: dict[str, Number | str]
    """the pieces as given: numbers, or `"steady"`, `"steady+10"`"""
    head_held: HeldHead
    """where steady holds the head at the top, as it was asked, see below; of a diagnosis at impact alone, there"""
    least_balance_margin_cm: Number
    """how far inside the base of support the centre of mass stays at the worst of the moments up to the top that were
    computed; negative outside it, where nobody stands"""


class ClosingReport(Report):
    """What belongs with every result, for a person."""

    sentences: list[str]
    """what came of it"""
    warnings: list[str]
    """what should not be overlooked; empty if there is nothing to say"""
    cautions: list[str]
    """sentences that belong with every result"""
    angle_order: str
    """the order of the angles, in words"""


class MomentNumbers(Report):
    """What one reads off a film at one moment."""

    progress: Number
    """0 at address, 1 at the top; 2 at impact and 3 with the club level past the ball"""
    head_toward_target_cm: Number
    """movement of the head's centre since address; away from the target is negative"""
    head_toward_ball_cm: Number
    """the same toward the ball; away from the ball is negative"""
    head_up_cm: Number
    """the same upward; down is negative"""
    inclination_deg: Number
    """of the trunk's line, pelvis centre to base of neck, from the vertical, in space"""
    inclination_down_the_line_deg: Number
    """the same as seen down the line, toward the ball positive"""
    hip_turn_deg: Number
    """away from the target"""
    shoulder_turn_deg: Number
    """away from the target"""
    tilt_deg: Number
    """of the ribcage, lead side down"""
    bend_deg: Number
    """of the ribcage, forward"""
    extension_deg: Number
    """bend at address less bend now"""
    belt_line_tilt_deg: Number
    """tilt of the pelvis, lead side down"""
    lead_knee_flex_deg: Number
    """flexion"""
    trail_knee_flex_deg: Number
    """flexion"""
    balance_margin_cm: Number
    """how far inside the base of support (the convex hull of both soles) the centre of mass stands, to the nearest
    edge; negative outside it, where nobody stands"""
    trail_weight_share: Number | None
    """static share of the weight on the trail foot, 0 to 1 between the middles of the feet, less or more beyond them;
    `null` where the centre of mass is outside the base of support"""
    pelvis_toward_target_cm: Number
    """movement of the pelvis centre since address"""
    pelvis_toward_ball_cm: Number
    """movement of the pelvis centre since address"""
    lean_face_on_deg: Number
    """lean of the trunk's line from the vertical as seen face-on, away from the target positive"""
    shoulder_plane_deg: Number
    """inclination of the shoulder line to the horizontal, lead shoulder down"""
    low_point_shift_cm: Number
    """shift of the swing's low point toward the target if the move is not given back before impact"""


class SteadyNumbers(Report):
    """What holds the head at one moment."""

    steady_tilt_deg: Number
    """tilt that keeps the head still at this moment"""
    steady_extension_deg: Number
    """extension that keeps the head still at this moment"""
    steady_miss_cm: Number
    """how far off the head is even so"""


class LimitedMoment(SteadyNumbers, MomentNumbers):
    """One moment of a swing, with what stops it."""

    limited_by: list[str]
    """names of the ranges that stop something at this moment"""
    arms_limited_by: list[str]
    """names of the ranges that keep the arms from what is asked of them at this moment"""
    met: bool
    """whether all that was asked is achieved, within 0.1 degrees and 1 mm"""
    converged: bool
    """whether every solver met its tolerance; do not rely on a moment where it is false"""


def moment_fields(swing: Swing, moment: int) -> dict[str, Any]:
    """The fields of `LimitedMoment` of a swing without batch axes at one moment."""
    return _with_limits(numbers_at(swing, moment), swing, moment)


def each_moment(swing: Swing) -> list[dict[str, Any]]:
    """The same at every moment, several times as fast as one by one."""
    columns = {name: column.tolist() for name, column in _columns(swing).items()}
    rows = (dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True))
    return [_with_limits(row, swing, moment) for moment, row in enumerate(rows)]


def numbers_at(swing: Swing, moment: int) -> dict[str, Any]:
    """The fields of `MomentNumbers` and `SteadyNumbers` of a swing without batch axes at one moment."""
    return {name: column[moment] for name, column in _columns(swing).items()}


def _with_limits(numbers: dict[str, Any], swing: Swing, moment: int) -> dict[str, Any]:
    return {
        **numbers,
        "limited_by": limits_at(swing, moment),
        "arms_limited_by": arm_limits_at(swing, moment),
        "met": bool(swing.met[moment]),
        "converged": bool(swing.converged[moment]),
    }


def _columns(swing: Swing) -> dict[str, Any]:
    """The fields of `MomentNumbers` and `SteadyNumbers` at all moments ``(M,)``."""
    seen, done, steady = swing.measures, swing.achieved, swing.steady
    head, pelvis = (np.asarray(place) * 100.0 for place in (seen.head_moved, seen.pelvis_moved))
    # Nobody carries a share of the weight who would fall over.
    weight: Any = seen.trail_weight_share.astype(object)
    weight[~carries(seen.balance_margin)] = None
    return {
        "progress": swing.progress,
        "head_toward_target_cm": head[:, 1],
        "head_toward_ball_cm": head[:, 0],
        "head_up_cm": head[:, 2],
        "inclination_deg": np.degrees(seen.inclination),
        "inclination_down_the_line_deg": np.degrees(seen.inclination_down_the_line),
        "hip_turn_deg": np.degrees(done["hip_turn"]),
        "shoulder_turn_deg": np.degrees(done["shoulder_turn"]),
        "tilt_deg": np.degrees(done["tilt"]),
        "bend_deg": np.degrees(done["bend"]),
        "extension_deg": np.degrees(done["extension"]),
        "belt_line_tilt_deg": np.degrees(done["belt_line_tilt"]),
        "lead_knee_flex_deg": np.degrees(done["lead_knee_flex"]),
        "trail_knee_flex_deg": np.degrees(done["trail_knee_flex"]),
        "balance_margin_cm": seen.balance_margin * 100.0,
        "trail_weight_share": weight,
        "pelvis_toward_target_cm": pelvis[:, 1],
        "pelvis_toward_ball_cm": pelvis[:, 0],
        "lean_face_on_deg": np.degrees(seen.lean_face_on),
        "shoulder_plane_deg": np.degrees(seen.shoulder_plane),
        "low_point_shift_cm": seen.low_point_shift * 100.0,
        "steady_tilt_deg": np.degrees(steady["tilt"]),
        "steady_extension_deg": np.degrees(steady["extension"]),
        "steady_miss_cm": swing.steady_miss * 100.0,
    }


def golfer_fields(performed: Performed) -> dict[str, Any]:
    """The fields of `GolferReport`."""
    setup, swing = performed.setup, performed.swing
    address = swing.address
    return {
        "preset": setup.name,
        "shows": setup.shows,
        "body": BodyReport.of(performed),
        "address": {
            key: to_border(entry.quantity.unit, getattr(address, entry.name))
            for key, entry in section_entries(ADDRESS_SECTION).items()
            if entry.quantity
        },
        "arms": {
            key: to_border(entry.quantity.unit, getattr(address.arms, entry.name))
            for key, entry in section_entries(ARMS_SECTION).items()
            if entry.quantity
        },
        "pieces": {
            key: value if isinstance(value, int | float) else str(value)
            for key, value in setup.section(PIECES_SECTION).items()
        },
        "head_held": HeldHead.of(swing.head),
        "least_balance_margin_cm": np.min(swing.until_top().measures.balance_margin) * 100.0,
    }


def closing_fields(*, through_impact: bool = False) -> dict[str, Any]:
    """What is the same in every report: the cautions, with that of impact where it goes there, and the angle order."""
    care = [*([BACK] if through_impact else []), *cautions.CAUTIONS]
    return {"cautions": care, "angle_order": cautions.ANGLE_ORDER}


def border_unit(name: str) -> str:
    """Unit at the border of a name of asked and achieved."""
    if name in PIECES:
        return PIECES[name].unit
    return "cm" if name in LENGTHS_IN_METRES else "deg"


def at_moment(values: Mapping[str, Array], moment: int) -> dict[str, float]:
    """Asked or achieved at one moment, in the border's units, the unit in the name."""
    return {f"{n}_{border_unit(n)}": to_border(border_unit(n), v[moment]) for n, v in values.items()}


def arm_limits_at(swing: Swing, moment: int) -> list[str]:
    """Names of the ranges that keep the arms from what is asked of them at a moment."""
    return [swing.arm_limit_names[number] for number in np.flatnonzero(swing.arms_limited[moment])]


def limits_at(swing: Swing, moment: int) -> list[str]:
    """Names of the ranges that stop the swing at a moment."""
    return [swing.limit_names[number] for number in np.flatnonzero(swing.limited[moment])]
