"""What people were measured to turn their hips, as a part of reports."""

from __future__ import annotations

from typing import Self

from ...model.golfer.measured_turn import MEASURED_TURNS
from .reports import Number, Report


class MeasuredTurnReport(Report):
    """The most that people turned the pelvis in one posture, which makes a ceiling of the model's most hip turn."""

    hip_turn_deg: Number
    """mean of the sample"""
    trunk_bend_deg: Number
    """forward inclination of their trunks; how they placed feet and knees is not told"""
    people: str
    """who they were"""
    source: str
    """where the figure is from, and how it follows from what is printed there"""

    @classmethod
    def each(cls) -> list[Self]:
        """Every posture that was measured, the most upright first."""
        return [
            cls(hip_turn_deg=one.hip_turn_deg, trunk_bend_deg=one.trunk_bend_deg, people=one.people, source=one.source)
            for one in MEASURED_TURNS
        ]
