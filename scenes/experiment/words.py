"""An experiment in plain sentences made from the computed numbers only."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

import numpy as np

from ...model.questions.available import ASKED
from ..words.cautions import NOTICEABLE_CM, NOTICEABLE_DEG, listed, spoken
from ..words.hip_ceiling import ceiling_sentence
from ..words.measures import Measure
from ..words.pieces import ALL_ELSE_STAYS, told_amount
from ..words.units import length_unit, told_length
from .advice import advice_sentences, why_flare
from .shown import COURSE, SHOWN, STRAIN, text_of
from .stretches import at_steps, stretch

if TYPE_CHECKING:
    from .report import ExperimentReport, StepReport
    from .sway import SwayAloneReport

_TOO_FEW = "Too few steps could be computed to say anything; try values nearer to a usual stance."
_MORE_THAN_THERE_IS = (
    "The most hip turn available is counted with knees, sway and hips toward ball held as asked, so a swing that asks "
    "for more gets a little more than that by giving up some of the rest."
)
_SHIN = "The rotation of the shin is between knee and foot."
_SAME_TURN_DEG = 0.5
_SAME_STRAIN = 0.02
_USED_UP = 0.995
"""Of a joint's range: what tables show as 1.00."""


def sentences(report: ExperimentReport, inches: bool = False) -> list[str]:
    """What came of it, one sentence each, what matters most first."""
    steps = [step for step in report.steps if step.converged]
    if len(steps) < 2:
        return [_TOO_FEW]
    same = _comparable(steps)
    return [
        _room(report, steps),
        ceiling_sentence(_bends(report, steps)),
        *(_sway(report.sway_alone, steps, inches) if report.sway_alone else []),
        _stops(steps),
        *advice_sentences(report.experiment, steps),
        *_got(report, steps),
        *(why_flare(report.experiment, same[0], same[-1]) if len(same) > 1 else []),
        *(_joints(steps, same) if len(same) > 1 else []),
        _rest(steps, inches),
        *([_SHIN] if any("shin" in name for step in steps for name in step.limited_by) else []),
    ]


def limit_words(names: Sequence[str]) -> str:
    """Ranges in words, for example ``trail hip internal rotation and trail shin internal rotation``."""
    return listed([spoken(name) for name in names]) if names else f"nothing within {np.degrees(ASKED[-1]):.0f}°"


def runs(steps: Sequence[StepReport]) -> list[list[StepReport]]:
    """Stretches of neighbouring steps where the same ranges stop the most hip turn."""
    return [list(run) for _, run in groupby(steps, key=lambda step: step.limited_by)]


def _most(step: StepReport) -> float:
    return step.available_hip_turn_deg


def _room(report: ExperimentReport, steps: Sequence[StepReport]) -> str:
    first, last, best, worst = steps[0], steps[-1], max(steps, key=_most), min(steps, key=_most)
    ends = f"{first.setting} to {last.setting} of {report.experiment.words}"
    if _most(best) - _most(worst) < NOTICEABLE_DEG:
        return f"From {ends} the most hip turn available stays at {_most(best):.0f}°."
    text = f"From {ends} the most hip turn available goes from {_most(first):.0f}° to {_most(last):.0f}°"
    if min(_most(best) - _most(first), _most(best) - _most(last)) >= NOTICEABLE_DEG:
        return f"{text}, with the most, {_most(best):.0f}°, at {best.setting}."
    if min(_most(first), _most(last)) - _most(worst) >= NOTICEABLE_DEG:
        return f"{text}, with the least, {_most(worst):.0f}°, at {worst.setting}."
    return f"{text}."


def _bends(report: ExperimentReport, steps: Sequence[StepReport]) -> list[float]:
    """How far the trunk is bent at address, where that is what was tried at every step."""
    if "forward_bend" in report.experiment.sets:
        return [step.value for step in steps]
    return [report.address["forward_bend_deg"]]


def _sway(alone: SwayAloneReport, steps: Sequence[StepReport], inches: bool) -> list[str]:
    """How far sway alone takes the head, and why that is less far than it takes the hips."""
    hips, head, tips = alone.hips_away_from_target_cm, alone.head_away_from_target_cm, alone.belt_line_tilt_deg
    unit, each = length_unit(inches), "inch" if inches else "centimetre"
    way = "away from" if hips > 0 else "toward"
    places = [step.head_toward_target_cm for step in steps]
    held = max(places) - min(places) < NOTICEABLE_CM <= abs(head)
    made_up = "; in these steps tilt and extension make up for it" if held else ""
    lines = [
        f"Sway alone ({ALL_ELSE_STAYS}) takes the head {told_length(abs(head), inches)} {way} the target while the "
        f"hips go {told_length(abs(hips), inches)}, {head / hips:.1f} {unit} for each {each}{made_up}."
    ]
    if 0.0 < head / hips < 1.0 and tips / hips > 0.0:
        side, back = ("down", "toward") if tips > 0 else ("up", "away from")
        lines.append(
            "The head goes less far than the hips because both knees hold their flex: that tips the belt line "
            f"{told_amount(abs(tips), 'deg')} lead side {side}, and the lower spine tips with it, {back} the target."
        )
    return lines


def _stops(steps: Sequence[StepReport]) -> str:
    found = runs(steps)
    if len(found) == 1:
        names = found[0][0].limited_by
        return f"What stops the hips is {limit_words(names)}{' together' if len(names) > 1 else ''}, at every step."
    parts = []
    for run in found:
        first, last = run[0], run[-1]
        where = f"at {first.setting}" if first is last else f"from {stretch(first, last)}"
        if run is found[-1] and first is not last:
            where = f"from {first.setting} on"
        parts.append(f"{where} {limit_words(first.limited_by)}")
    return f"What stops the hips changes: {'; '.join(parts)}."


def _comparable(steps: Sequence[StepReport]) -> list[StepReport]:
    """Steps whose hips turned alike, so that what a joint does in them can be compared."""
    turned = [step for step in steps if abs(step.hip_turn_deg - step.hip_turn_asked_deg) < _SAME_TURN_DEG]
    return [step for step in turned if abs(step.hip_turn_deg - turned[0].hip_turn_deg) < 2 * _SAME_TURN_DEG]


def _joints(steps: Sequence[StepReport], same: Sequence[StepReport]) -> list[str]:
    """What the joints that stop the most turn do at this swing's top."""
    first, last = same[0], same[-1]
    names = list(dict.fromkeys(name for step in steps for name in step.limited_by))
    parts = [part for name in names if (part := _use(name, first, last))]
    if not parts:
        return []
    return [
        f"At the top of this swing, its hips at {first.hip_turn_deg:.0f}°, from {stretch(first, last)}: "
        f"{'; '.join(parts)}."
    ]


def _use(name: str, first: StepReport, last: StepReport) -> str:
    if name.endswith("knee_straight"):
        return ""  # its flexion is told with the rest
    used = [step.used_deg[name] for step in (first, last)]
    end = [step.range_deg[name] for step in (first, last)]
    words = limit_words([name])
    there = f"{end[0]:.0f}°" if abs(end[1] - end[0]) < NOTICEABLE_DEG else f"{end[0]:.0f}° to {end[1]:.0f}°"
    if max(abs(used[1] - used[0]), abs(end[1] - end[0])) < NOTICEABLE_DEG:
        return ""
    if abs(used[1] - used[0]) < NOTICEABLE_DEG:
        return f"{words} stays at {_whole(used[1])}° of the {there} available"
    return f"{words} goes from {_whole(used[0])}° to {_whole(used[1])}° of the {there} available"


def _whole(value: float) -> str:
    """A whole number without a negative zero."""
    return f"{round(value) + 0:d}"


def _got(report: ExperimentReport, steps: Sequence[StepReport]) -> list[str]:
    """Whether the swing gets the hip turn it asks for; nothing where that is what was tried."""
    if "hip_turn" in report.experiment.sets:
        return []
    asked = steps[0].hip_turn_asked_deg
    short = [step for step in steps if step.hip_turn_deg < asked - NOTICEABLE_DEG]
    if not short:
        return [f"This swing gets the {asked:.0f}° of hip turn that it asks for at every step.{_at_an_end(steps)}"]
    least = min(short, key=lambda step: step.hip_turn_deg)
    where = f"at {least.setting} " if len(short) > 1 else ""
    beyond = any(step.hip_turn_deg > step.available_hip_turn_deg + NOTICEABLE_DEG / 2 for step in short)
    return [
        f"This swing asks for {asked:.0f}° of hip turn and does not get them at {at_steps(steps, short)}: "
        f"{where}it gets {least.hip_turn_deg:.0f}°, stopped by {limit_words(least.swing_limited_by)}.",
        *([_MORE_THAN_THERE_IS] if beyond else []),
    ]


def _at_an_end(steps: Sequence[StepReport]) -> str:
    """Where a swing that gets its turn uses up a joint for it, and which."""
    ended = [step for step in steps if step.strain >= _USED_UP]
    if not ended:
        return ""
    names = dict.fromkeys(name for step in ended for name, share in step.strain_of.items() if share >= _USED_UP)
    joints = listed([_angle(name) for name in names])
    return f" At {at_steps(steps, ended)} that takes {joints} all the way to the end of its range, with nothing left."


def _rest(steps: Sequence[StepReport], inches: bool) -> str:
    """What else changes noticeably at the top, and how."""
    changed = [part for key in COURSE if (part := _course(SHOWN[key], steps, inches))]
    strain = _course(STRAIN, steps) or f"{STRAIN.words} stays at {text_of(STRAIN, steps[-1])}"
    of_each = steps[-1].strain_of
    most = max(of_each, key=lambda name: of_each[name])
    return (
        f"From the first step to the last, at the top: {'; '.join([*changed, strain])}, at the last step that of "
        f"{_angle(most)}."
    )


def _course(measure: Measure, steps: Sequence[StepReport], inches: bool = False) -> str:
    """From where to where a measure goes, and how far beyond both in between; empty where it is not noticeable."""

    def told(step: StepReport) -> str:
        text = measure.text(step, decimals=0) if measure.key.endswith("_deg") else text_of(measure, step, inches)
        return f"{text}{' ' if measure.is_length else ''}{measure.unit(inches)}"

    def amount(step: StepReport) -> float:
        return measure.number(step)

    least = _SAME_STRAIN if measure is STRAIN else NOTICEABLE_CM if measure.is_length else NOTICEABLE_DEG
    low, high, first, last = min(steps, key=amount), max(steps, key=amount), steps[0], steps[-1]
    below = min(amount(first), amount(last)) - amount(low)
    above = amount(high) - max(amount(first), amount(last))
    by_way = f" by way of {told(low if below > above else high)}" if max(below, above) >= least else ""
    if amount(high) - amount(low) < least or (not by_way and told(first) == told(last)):
        return ""
    return f"{measure.words} {told(first)} to {told(last)}{by_way}"


def _angle(name: str) -> str:
    """A joint angle in words, both of its ways."""
    words = spoken(name).replace(" internal", "").replace(" external", "")
    return words.replace("abduction", "abduction or adduction").replace("ankle inversion", "ankle's sideways tilt")
