"""Numbers at the border: degrees, centimetres, and the parts that every report has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from ...model.arrays import Array
from ...model.golfer.pieces import PIECES
from ...model.swing.swing import Swing
from .perform import Performed, is_left_handed
from .quantities import ADDRESS_SECTION, LENGTHS_SECTION, RANGES_SECTION, section_entries, to_border

DECIMALS = 6
LENGTHS_IN_METRES = ("pelvis_toward_ball", "pelvis_toward_target")
"""Names of asked and achieved that are lengths, besides the pieces in centimetres."""


def rounded(value: Any) -> float:
    """A number as JSON carries it, without a negative zero."""
    return round(float(value), DECIMALS) + 0.0


def border_key(name: str) -> str:
    """A name of asked and achieved with its unit."""
    return f"{name}_{_unit(name)}"


def _unit(name: str) -> str:
    if name in PIECES:
        return PIECES[name].unit
    return "cm" if name in LENGTHS_IN_METRES else "deg"


def at_moment(values: Mapping[str, Array], moment: int) -> dict[str, float]:
    """Asked or achieved at one moment, in the border's units."""
    return {border_key(n): rounded(to_border(_unit(n), v[moment])) for n, v in values.items()}


def moment_row(swing: Swing, moment: int) -> dict[str, float]:
    """The numbers of one moment that one reads off a film, in degrees, centimetres and shares."""
    seen, done = swing.measures, swing.achieved
    ball, target, up = np.asarray(seen.head_moved)[moment] * 100

    def deg(values: Array) -> float:
        return rounded(np.degrees(values[moment]))

    return {
        "progress": rounded(swing.progress[moment]),
        "head_toward_target_cm": rounded(target),
        "head_toward_ball_cm": rounded(ball),
        "head_up_cm": rounded(up),
        "inclination_deg": deg(seen.inclination),
        "inclination_down_the_line_deg": deg(seen.inclination_down_the_line),
        "hip_turn_deg": deg(done["hip_turn"]),
        "shoulder_turn_deg": deg(done["shoulder_turn"]),
        "tilt_deg": deg(done["tilt"]),
        "bend_deg": deg(done["bend"]),
        "extension_deg": deg(done["extension"]),
        "belt_line_tilt_deg": deg(done["belt_line_tilt"]),
        "lead_knee_flex_deg": deg(done["lead_knee_flex"]),
        "trail_knee_flex_deg": deg(done["trail_knee_flex"]),
        "trail_weight_share": rounded(seen.trail_weight_share[moment]),
        "pelvis_toward_target_cm": rounded(np.asarray(seen.pelvis_moved)[moment, 1] * 100),
        "pelvis_toward_ball_cm": rounded(np.asarray(seen.pelvis_moved)[moment, 0] * 100),
        "lean_face_on_deg": deg(seen.lean_face_on),
        "shoulder_plane_deg": deg(seen.shoulder_plane),
        "low_point_shift_cm": rounded(seen.low_point_shift[moment] * 100),
    }


def limits_at(swing: Swing, moment: int) -> list[str]:
    """Names of the ranges that stop the swing at a moment."""
    return [name for name, stops in zip(swing.limit_names, swing.limited[moment], strict=True) if stops]


def body_report(performed: Performed) -> dict[str, Any]:
    """The body that was simulated, with every length and range it has."""
    body = performed.swing.body
    return {
        "stature_cm": rounded(to_border("cm", body.stature)),
        "mass_kg": rounded(np.squeeze(body.mass)),
        "sex": "female" if float(np.squeeze(body.female)) else "male",
        "handedness": "left" if is_left_handed(performed.setup) else "right",
        "lengths_cm": {n: rounded(to_border("cm", v)) for n, v in body.lengths.items()},
        "ranges_deg": {n: rounded(to_border("deg", v)) for n, v in body.ranges.items()},
        "measured": sorted({*performed.setup.section(LENGTHS_SECTION), *performed.setup.section(RANGES_SECTION)}),
    }


def address_report(performed: Performed) -> dict[str, float]:
    """The address that was asked for."""
    address = performed.swing.address
    return {
        key: rounded(to_border(entry.quantity.unit, getattr(address, entry.name)))
        for key, entry in section_entries(ADDRESS_SECTION).items()
        if entry.quantity
    }
