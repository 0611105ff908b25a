"""What people see of a swing's numbers: each measure has one report field, one name and one unit, everywhere.

A table's column, a page's row and a chart's series name a measure's key and nothing else, so that a number cannot
stand under another one's label.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from .units import CM_PER_INCH, length_unit, shown_length, signed

NONE = "–"
"""What stands where a measure has no value."""


@dataclass(frozen=True)
class Measure:
    """A number of a report as people see it.

    Attributes:
        key: the report's field; its ending is its unit: ``_cm``, ``_deg``, ``_share``, or none.
        words: its name in a row or a sentence.
        short: its name in a narrow column, a line each.
        ends: what its positive and its negative end on an axis mean.
    """

    key: str
    words: str
    short: tuple[str, ...]
    ends: tuple[str, str] = ("more", "less")

    @property
    def is_length(self) -> bool:
        """Whether it is shown in centimetres or inches."""
        return self.key.endswith("_cm")

    @property
    def is_share(self) -> bool:
        """Whether it is shown in per cent."""
        return self.key.endswith("_share") or self.key == "progress"

    def unit(self, inches: bool = False, degree: str = "°") -> str:
        """The unit it is shown in."""
        if self.is_length:
            return length_unit(inches)
        return "%" if self.is_share else degree if self.key.endswith("_deg") else ""

    def number(self, row: Any, inches: bool = False) -> float:
        """Its value in a row of a report, in the unit it is shown in; NaN where it has none."""
        found = getattr(row, self.key)
        value = math.nan if found is None else float(found)
        if self.is_length:
            return value / CM_PER_INCH if inches else value
        return value * 100.0 if self.is_share else value

    def text(self, row: Any, inches: bool = False, decimals: int = 1) -> str:
        """Its value as text without the unit: lengths with their sign, shares whole, other numbers plain; no value, a
        dash.
        """
        if getattr(row, self.key) is None:
            return NONE
        if self.is_length:
            return shown_length(getattr(row, self.key), inches, decimals)
        value = self.number(row)
        return f"{value:.0f}" if self.is_share else f"{round(value, decimals) + 0.0:.{decimals}f}"

    def signed(self, row: Any, inches: bool = False, decimals: int = 1) -> str:
        """As ``text``, for numbers that are changes or go either way: angles have their sign as well."""
        plain = self.is_length or getattr(row, self.key) is None
        return self.text(row, inches, decimals) if plain else signed(self.number(row), decimals)

    def decimals(self, inches: bool = False) -> int:
        """Digits after the point it is shown with where nothing else is said."""
        return 2 if self.is_length and inches else 0 if self.is_share else 1

    def difference(self, row: Any, other: Any, inches: bool = False) -> float:
        """How much more of it a row has than another one, of the numbers as they are shown."""
        decimals = self.decimals(inches)
        return round(round(self.number(row, inches), decimals) - round(self.number(other, inches), decimals), decimals)


_TARGET = ("toward target", "away from target")
_BALL = ("toward ball", "away from ball")
MEASURES: dict[str, Measure] = {
    one.key: one
    for one in (
        Measure("progress", "backswing done", ("done",)),
        Measure("head_toward_target_cm", "head toward target", ("head", "toward", "target"), _TARGET),
        Measure("head_toward_ball_cm", "head toward ball", ("head", "toward", "ball"), _BALL),
        Measure("head_up_cm", "head up", ("head", "up"), ("up", "down")),
        Measure("inclination_deg", "inclination in space", ("incl.",), ("more inclined", "more upright")),
        Measure("inclination_down_the_line_deg", "inclination down the line", ("incl.", "down", "line")),
        Measure("lean_face_on_deg", "lean face-on", ("lean", "face-", "on"), ("away from target", "toward target")),
        Measure("shoulder_plane_deg", "shoulder line to the horizontal", ("shoul-", "der", "plane")),
        Measure("hip_turn_deg", "hip turn", ("hip", "turn")),
        Measure("shoulder_turn_deg", "shoulder turn", ("shoul-", "der", "turn")),
        Measure("tilt_deg", "tilt", ("tilt",)),
        Measure("bend_deg", "forward bend", ("bend",)),
        Measure("extension_deg", "extension", ("ext.",)),
        Measure("belt_line_tilt_deg", "belt line tilt", ("belt", "line", "tilt")),
        Measure("lead_knee_flex_deg", "lead knee flex", ("lead", "knee")),
        Measure("trail_knee_flex_deg", "trail knee flex", ("trail", "knee")),
        Measure(
            "balance_margin_cm", "balance margin, standing still", ("bal-", "ance"), ("inside the feet", "outside")
        ),
        Measure("trail_weight_share", "weight on trail foot, standing still", ("trail", "weight")),
        Measure("pelvis_toward_target_cm", "pelvis toward target", ("pelvis", "toward", "target"), _TARGET),
        Measure("pelvis_toward_ball_cm", "pelvis toward ball", ("pelvis", "toward", "ball"), _BALL),
        Measure("low_point_shift_cm", "low point toward target", ("low", "point"), _TARGET),
    )
}
"""Every measure of a moment that is shown, by its key."""
