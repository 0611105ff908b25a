"""What a page is told of a swing: the numbers that ``simulate`` tells, to the digit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Self

import numpy as np

from ...model.golfer.pieces import MAY_BE_STEADY
from ...model.swing.swing import Swing
from ..setups.reports import (
    LimitedMoment,
    Number,
    Report,
    at_moment,
    each_moment,
)
from ..setups.top_alone import top_alone
from ..simulate.report import StopReport, steady_at_top
from ..strike.report import PassingReport
from ..strike.words import arc_sentence, doubts
from ..words import cautions

if TYPE_CHECKING:
    from ..setups.presets import Setup
    from ..strike.work import Passed


class HipRoomLive(Report):
    """The most hip turn, knees and place of the pelvis as asked."""

    most_hip_turn_deg: Number
    """how far the hips could turn"""
    stopped_by: list[str]
    """names of the ranges that would stop them there"""
    ceiling: str
    """what people were measured to turn, in a sentence"""


class ImpactLive(PassingReport):
    """Impact, and how the club passes the ball: the numbers that ``strike`` tells, to the digit."""

    asked: dict[str, Number]
    """what was asked for at impact, as numbers"""
    achieved: dict[str, Number]
    """the same at impact as the joints show it"""
    departures_deg: dict[str, Number]
    """how much more tilt and extension the swing has there than what holds the head where it is wanted"""
    arc: str
    """the arc of the club, in a sentence"""
    doubts: list[str]
    """why it is to be taken with care; empty if there is no reason"""

    @classmethod
    def of(cls, name: str, passed: Passed) -> Self:
        """Of a swing called ``name``."""
        swing, at = passed.swing, passed.swing.at_impact
        report = cls(
            **cls.fields_of(passed),
            asked=at_moment(swing.asked, at),
            achieved=at_moment(swing.achieved, at),
            departures_deg={
                f"{piece}_deg": np.degrees(swing.achieved[piece][at] - swing.steady[piece][at])
                for piece in MAY_BE_STEADY
            },
            arc="",
            doubts=[],
        )
        return report.replaced(arc=arc_sentence(report), doubts=doubts(name, passed, report))


class SteadyLive(Report):
    """What would keep this head still at the top: what a report of ``simulate`` tells of the swing alone."""

    tilt_deg: Number
    """tilt that keeps the head where it is wanted, for the turn that this body makes"""
    tilt_departure_deg: Number
    """how much more than that the swing has"""
    extension_deg: Number
    """as for tilt"""
    extension_departure_deg: Number
    """as for tilt"""
    head_miss_cm: Number
    """how far off the head is at the top even so; 0 where it can be held"""
    largest_head_miss_cm: Number
    """the same at the worst moment"""

    @classmethod
    def of(cls, swing: Swing) -> Self:
        """At the top of a swing that may go on."""
        return cls(**steady_at_top(swing.until_top()))


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
    steady: SteadyLive
    """what would keep this head still at the top"""
    sentences: list[str]
    """where the head goes and what would hold it"""
    heads: list[str]
    """where the head is at each moment, a sentence each"""
    limited_by: list[StopReport]
    """the ranges that stopped something, those that still act at the top first"""
    arms_limited_by: list[StopReport]
    """the same of what was asked of the arms"""
    warnings: list[str]
    """sentences for a person; empty if there is nothing to say"""
    hip_room: HipRoomLive | None
    """the most hip turn, where it was asked for and found for certain"""
    impact: ImpactLive | None
    """impact and the strike; `null` where the swing ends at the top"""
    moments: list[LimitedMoment]
    """from address (first) to the top (last), or on past the ball"""
    marks: dict[str, Any] | None
    """where the marks of the drawing are at every moment; none where nothing is drawn"""

    @classmethod
    def of(
        cls,
        setup: Setup,
        whole: Swing,
        *,
        figure: str,
        steady: SteadyLive,
        sentences: list[str],
        heads: list[str],
        hip_room: HipRoomLive | None,
        passed: Passed | None,
        marks: dict[str, Any] | None,
    ) -> Self:
        """The report of a whole swing; ``passed`` is how its club passes the ball, where it goes there."""
        swing = whole.until_top()
        return cls(
            name=setup.name,
            figure=figure,
            asked=at_moment(swing.asked, -1),
            achieved=at_moment(swing.achieved, -1),
            steady=steady,
            sentences=sentences,
            heads=heads,
            limited_by=[StopReport.of(stop) for stop in cautions.stops(swing)],
            arms_limited_by=[StopReport.of(stop) for stop in cautions.arm_stops(swing)],
            warnings=[*cautions.warnings(whole), *top_alone(setup, through_impact=whole.impact is not None)],
            hip_room=hip_room,
            impact=None if passed is None else ImpactLive.of(setup.name, passed),
            moments=[LimitedMoment(**fields) for fields in each_moment(whole)],
            marks=marks,
        )


def head_cm(swing: Swing) -> Any:
    """``(M, 3)`` cm since address: toward ball, toward target, up."""
    return np.asarray(swing.measures.head_moved) * 100.0
