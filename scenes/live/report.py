"""What a page is told of a swing: the numbers that ``simulate`` tells, to the digit."""

from __future__ import annotations

from typing import Any, Self

import numpy as np

from ...model.swing.swing import Swing
from ..setups.perform import Performed
from ..setups.reports import (
    LimitedMoment,
    Number,
    Report,
    at_moment,
    moment_fields,
)
from ..simulate.report import SteadyReport, StopReport
from ..words import cautions
from ..words.low_point import low_point_sentence


class HipRoomLive(Report):
    """The most hip turn, knees and place of the pelvis as asked."""

    most_hip_turn_deg: Number
    """how far the hips could turn"""
    stopped_by: list[str]
    """names of the ranges that would stop them there"""
    ceiling: str
    """what people were measured to turn, in a sentence"""


class LiveReport(Report):
    """What is told of a swing beside how the figure moves."""

    name: str
    """how the page calls the swing"""
    figure: str
    """which figure moves like that: the same word for the same body, club and hand"""
    asked: dict[str, Number]
    """what was asked for at the top, as numbers"""
    achieved: dict[str, Number]
    """the same at the top as the joints show it"""
    steady: SteadyReport
    """what would keep this head still at the top"""
    sentences: list[str]
    """where the head goes and what would hold it"""
    heads: list[str]
    """where the head is at each moment, a sentence each"""
    low_point: str
    """where the low point of the swing goes if the move is not given back, in a sentence"""
    limited_by: list[StopReport]
    """the ranges that stopped something, those that still act at the top first"""
    arms_limited_by: list[StopReport]
    """the same of what was asked of the arms"""
    warnings: list[str]
    """sentences for a person; empty if there is nothing to say"""
    hip_room: HipRoomLive | None
    """the most hip turn, where it was asked for and found for certain"""
    moments: list[LimitedMoment]
    """from address (first) to the top (last)"""
    marks: dict[str, Any] | None
    """where the marks of the drawing are at every moment; none where nothing is drawn"""

    @classmethod
    def of(
        cls,
        performed: Performed,
        *,
        figure: str,
        sentences: list[str],
        heads: list[str],
        hip_room: HipRoomLive | None,
        marks: dict[str, Any] | None,
    ) -> Self:
        """The report of a swing."""
        swing = performed.swing
        return cls(
            name=performed.setup.name,
            figure=figure,
            asked=at_moment(swing.asked, -1),
            achieved=at_moment(swing.achieved, -1),
            steady=SteadyReport.of(performed),
            sentences=sentences,
            heads=heads,
            low_point=low_point_of(swing),
            limited_by=[StopReport.of(stop) for stop in cautions.stops(swing)],
            arms_limited_by=[StopReport.of(stop) for stop in cautions.arm_stops(swing)],
            warnings=cautions.warnings(swing),
            hip_room=hip_room,
            moments=[LimitedMoment(**moment_fields(swing, moment)) for moment in range(len(swing.progress))],
            marks=marks,
        )


def low_point_of(swing: Swing) -> str:
    """Where the low point goes with the base of the neck."""
    _, toward_target, up = np.asarray(swing.measures.neck_base_moved)[-1] * 100.0
    return low_point_sentence(float(toward_target), float(up))


def head_cm(swing: Swing) -> Any:
    """``(M, 3)`` cm since address: toward ball, toward target, up."""
    return np.asarray(swing.measures.head_moved) * 100.0
