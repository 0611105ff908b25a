"""An experiment as plain numbers and sentences: ``experiment.json``, documented in docs/json.md."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Self

import numpy as np

from ...model.chain.lower_body import LEG_LIMITS
from ...model.golfer.pieces import plain
from ...model.questions.experiment import STRAINED
from ...model.swing.swing import Swing
from ..setups.measured_turn import MeasuredTurnReport
from ..setups.perform import Performed
from ..setups.quantities import (
    ADDRESS_SECTION,
    ARMS_SECTION,
    BODY_SECTION,
    LENGTHS_SECTION,
    PIECES_SECTION,
    Entry,
    to_border,
)
from ..setups.reports import (
    ClosingReport,
    GolferReport,
    MomentNumbers,
    Number,
    Report,
    SteadyNumbers,
    closing_fields,
    golfer_fields,
    limits_at,
    numbers_at,
)
from . import notes, words
from .sway import SwayAloneReport
from .tried import Tried


class TriedReport(Report):
    """What was tried."""

    name: str
    """its name, as `--set` takes it, or one for both sides"""
    words: str
    """the same in plain words"""
    unit: str
    """`deg`, `cm` or `kg`"""
    means: str
    """what it is, where the words do not say it; else empty"""
    sets: list[str]
    """the quantities it sets"""
    from_steady: bool
    """whether values are departures from what holds the head"""

    @classmethod
    def of(cls, tried: Tried) -> Self:
        """What an experiment turned."""
        knob = tried.knob
        return cls(
            name=knob.name, words=knob.words, unit=knob.unit, means=knob.meaning,
            sets=[entry.name for entry, _ in knob.parts], from_steady=tried.steady,
        )  # fmt: skip


class TopReport(SteadyNumbers, MomentNumbers):
    """A swing at the top, the hip turn there is, and how much of their ranges the legs use."""

    setting: str
    """what it has of what was tried, as told: `20°`, `42 cm`, `steady+5`; where both sides differ, both"""
    available_hip_turn_deg: Number
    """the most hip turn available, the other pieces held as asked"""
    limited_by: list[str]
    """names of the ranges that stop the most hip turn; empty if none does within 156 degrees"""
    hip_turn_asked_deg: Number
    """what the swing asks for"""
    swing_limited_by: list[str]
    """names of the ranges that stop something in the swing itself at the top"""
    strain: Number
    """share of its range that the joint nearest to an end uses at the top, the largest of `strain_of`; 1 where a joint
    is at an end"""
    strain_of: dict[str, Number]
    """of each joint angle of the legs, the share of its range in use at the top: 0 in upright standing, 1 at the end to
    which the joint is turned (a knee toward straight counts from its flexion at address)"""
    used_deg: dict[str, Number]
    """for every range of the legs, how far the joint is turned that way at the top (negative: the other way)"""
    range_deg: dict[str, Number]
    """for every range of the legs, where it ends at the top; the shin's opens as the knee flexes"""
    met: bool
    """whether all that was asked is achieved, within 0.1 degrees and 1 mm"""
    converged: bool
    """whether the address is balanced and every solver met its tolerance; do not rely on a step where it is false"""


class StepReport(TopReport):
    """One step."""

    value: Number
    """of what was tried, in its unit; degrees from steady where `from_steady` is true"""

    @classmethod
    def of(cls, tried: Tried, index: int) -> Self:
        """A step of an experiment."""
        value = tried.values[index]
        return cls(value=value, setting=tried.told(value), **_top(tried, index))


class GivenReport(TopReport):
    """The swing in which it was tried, as it was given."""

    values: dict[str, Number]
    """what it has of each quantity of `sets`"""

    @classmethod
    def of(cls, tried: Tried) -> Self:
        """The swing that an experiment starts from."""
        swing = tried.swing(tried.count)
        amounts = {entry.name: amount(swing, entry) for entry, _ in tried.knob.parts}
        # Each side's own sign, so that a trail knee that straightens counts as the lead knee that flexes.
        told = [tried.told(sign * amounts[entry.name]) for entry, sign in tried.knob.parts]
        return cls(values=amounts, setting=", ".join(dict.fromkeys(told)), **_top(tried, tried.count))


class RunReport(Report):
    """Neighbouring steps whose most hip turn is stopped by the same ranges."""

    from_value: Number
    """the first step's value"""
    to_value: Number
    """the last step's value"""
    ranges: list[str]
    """names of the ranges"""


class ExperimentReport(ClosingReport, GolferReport):
    """Everything about one thing tried in steps."""

    experiment: TriedReport
    """what was tried, see below"""
    as_given: GivenReport
    """the swing as it was given, see below"""
    steps: list[StepReport]
    """in the order tried, see below"""
    stops: list[RunReport]
    """stretches of steps where the same ranges stop the most hip turn, see below"""
    measured_hip_turn: list[MeasuredTurnReport]
    """what people were measured to turn, which makes a ceiling of every `available_hip_turn_deg`, see below"""
    sway_alone: SwayAloneReport | None
    """where sway was tried, what it does on its own, see below; else null"""

    @classmethod
    def of(cls, tried: Tried, inches: bool = False) -> Self:
        """The report of an experiment.

        Args:
            tried: the experiment.
            inches: lengths in its sentences in inches; its numbers stay metric.
        """
        given = tried.swing(tried.count)
        steps = [StepReport.of(tried, k) for k in range(tried.count)]
        made = cls(
            **golfer_fields(Performed(tried.setup, given, given)),
            experiment=TriedReport.of(tried),
            as_given=GivenReport.of(tried),
            steps=steps,
            stops=[_run(run) for run in words.runs(steps)],
            measured_hip_turn=MeasuredTurnReport.each(),
            sway_alone=SwayAloneReport.of(tried),
            sentences=[],
            warnings=[],
            **closing_fields(),
        )
        return made.told(tried, inches)

    def told(self, tried: Tried, inches: bool) -> Self:
        """The same with its sentences in centimetres or inches."""
        return self.replaced(
            sentences=words.sentences(self, inches), warnings=notes.warnings(tried, self.steps, inches)
        )


def amount(swing: Swing, entry: Entry) -> float:
    """What was asked of a swing, in the quantity's unit; of what departs from steady, by how much."""
    if entry.section == PIECES_SECTION:
        value = plain(getattr(swing.pieces, entry.name))
    elif entry.section == ADDRESS_SECTION:
        value = getattr(swing.address, entry.name)
    elif entry.section == ARMS_SECTION:
        value = getattr(swing.address.arms, entry.name)
    elif entry.section == BODY_SECTION:
        value = getattr(swing.body, entry.name)
    else:
        value = (swing.body.lengths if entry.section == LENGTHS_SECTION else swing.body.ranges)[entry.name]
    return to_border(entry.quantity.unit if entry.quantity else "deg", value)


def _top(tried: Tried, index: int) -> dict[str, Any]:
    """The fields of ``TopReport`` but for its setting."""
    found, swing = tried.found, tried.swing(index)
    return {
        **numbers_at(swing, -1),
        "available_hip_turn_deg": to_border("deg", found.available.hip_turn[index]),
        "limited_by": [
            name for name, stops in zip(LEG_LIMITS, found.available.stopped_by[index], strict=True) if stops
        ],
        "hip_turn_asked_deg": to_border("deg", swing.asked["hip_turn"][-1]),
        "swing_limited_by": limits_at(swing, -1),
        "strain": found.largest_strain[index],
        "strain_of": dict(zip(STRAINED, found.strain[index], strict=True)),
        "used_deg": dict(zip(LEG_LIMITS, np.degrees(found.demand[index]), strict=True)),
        "range_deg": dict(zip(LEG_LIMITS, np.degrees(found.end[index]), strict=True)),
        "met": bool(swing.met[-1]),
        "converged": bool(found.converged[index]),
    }


def _run(steps: Sequence[StepReport]) -> RunReport:
    return RunReport(from_value=steps[0].value, to_value=steps[-1].value, ranges=steps[0].limited_by)
