"""What table, page and sentences show of a step: each number by its report field, its name and its unit together."""

from __future__ import annotations

from dataclasses import dataclass

from ..words.hip_ceiling import MEASURED_WORDS
from ..words.measures import MEASURES, Measure

STRAIN = Measure("strain", "strain of the legs", ("strain", "of", "legs"))
AVAILABLE = Measure("available_hip_turn_deg", "most hip turn", ("most", "turn"))
OWN_TURN = Measure("hip_turn_deg", "this swing's", ("this", "swing"))
SHOWN: dict[str, Measure] = MEASURES | {STRAIN.key: STRAIN, AVAILABLE.key: AVAILABLE}
STRAIN_WORDS = (
    "Strain of the legs: the share of its range that the joint nearest to an end uses, 0 in upright standing and 1 at "
    "the end."
)
NOT_ADVICE = "What is available is not what is advisable."
ROOM_WORDS = f"Knees and place of the pelvis held as asked. {MEASURED_WORDS}"
TABLE = (
    "head_toward_target_cm", "head_toward_ball_cm", "head_up_cm", "pelvis_toward_target_cm", "lead_knee_flex_deg",
    "trail_knee_flex_deg", "belt_line_tilt_deg", "inclination_deg", "strain",
)  # fmt: skip
"""Measures of the swing at the top, in the order of the table."""
COURSE = (
    "head_toward_target_cm", "head_toward_ball_cm", "head_up_cm", "pelvis_toward_target_cm", "lead_knee_flex_deg",
    "trail_knee_flex_deg", "belt_line_tilt_deg", "inclination_deg", "tilt_deg", "extension_deg",
)  # fmt: skip
"""Measures whose course is told in a sentence where it is noticeable."""


@dataclass(frozen=True)
class Chart:
    """A chart of measures against what was tried; all of them have one unit.

    Attributes:
        title: what they have in common.
        keys: the measures.
        least: the axis spans at least this much, in centimetres or degrees.
        zero: whether it begins at or spans zero.
    """

    title: str
    keys: tuple[str, ...]
    least: float
    zero: bool


CHARTS = (
    Chart("Head since address", ("head_toward_target_cm", "head_toward_ball_cm", "head_up_cm"), 2.0, True),
    Chart("Pelvis since address", ("pelvis_toward_target_cm", "pelvis_toward_ball_cm"), 2.0, True),
    Chart("Knees", ("lead_knee_flex_deg", "trail_knee_flex_deg"), 10.0, False),
    Chart("Belt line and trunk", ("belt_line_tilt_deg", "inclination_deg"), 10.0, False),
    Chart("Strain of the legs", ("strain",), 1.0, True),
)
"""Charts of the swing itself at the top, below that of the hip turn there is."""


def text_of(measure: Measure, row: object, inches: bool = False) -> str:
    """A number as tables show it; strain to hundredths."""
    return measure.text(row, inches, decimals=2 if measure is STRAIN else 1)
