"""Shares in plain sentences made from the computed numbers only."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from ...model.arrays import Array
from ...model.questions.shares import FROM_ADDRESS, OWN_TURN, STEADY
from ..words.cautions import NOTICEABLE_CM, listed, spoken
from ..words.pieces import NAMES, head_words
from ..words.units import told_length
from .columns import amounts

if TYPE_CHECKING:
    from .report import PieceShare, SharedOutcome, SharesReport, StoppedCombination

MOST_TOLD = 3
MOST_STOPS_TOLD = 3
SAME = 1e-5
"""Degrees or cm: amounts in a report that are nearer than this are the same."""
MAINLY = 0.5
"""A part of a movement that is less than this of its largest part is left out of a sentence."""
UNSURE = "The solver did not converge for every combination; do not rely on the shares at those moments."
_KNEES = ("lead_flex_change", "trail_flex_change")
_HOLDING = {
    "hip_turn": "the hips' turn",
    "shoulder_turn": "the shoulders' turn",
    "tilt": "tilt",
    "extension": "extension",
    "sway": "sway",
    "hips_toward_ball": "hips toward ball",
}
_HOLDING_BY_OWN_TURN = {
    "shoulder_turn": "the shoulders' turn about the spine's own axis",
    "tilt": "the tilt added to that",
    "extension": "the extension added to that",
}


def reference_words(report: SharesReport) -> str:
    """What the shares are counted from."""
    if report.reference == STEADY:
        if report.reference_holds:
            return "the centred turn that holds this golfer's head"
        return "the centred turn, which leaves this golfer's head nearest to its place"
    return {
        FROM_ADDRESS: "address, every piece counted as it stands",
        OWN_TURN: "address, the shoulder turn counted as one about the trunk's own inclined axis",
    }[report.reference]


def start_words(report: SharesReport) -> str:
    """Where the arrows of the shares begin."""
    return "where the centred turn leaves the head" if report.reference == STEADY else "where the head was at address"


def _place(row: SharedOutcome) -> Array:
    return np.array([row.head_toward_ball_cm, row.head_toward_target_cm, row.head_up_cm])


def sentences(report: SharesReport, inches: bool = False) -> list[str]:
    """What a coach would say of the shares."""
    if report.reference == STEADY:
        return [_departures(report, inches)]
    lines = [_holding(report, inches)]
    if report.reference == FROM_ADDRESS:
        lines.append(
            "Counted from address like this, large shares cancel and a fault is spread over pieces that nobody "
            "changed; to find a fault, use --against steady."
        )
    return lines


def _departures(report: SharesReport, inches: bool) -> str:
    changed = [share for share in report.shares if abs(share.asked - share.in_reference) > SAME]
    if not changed:
        return "This swing asks for just what this golfer's centred turn does, so no piece moved the head from there."
    changed.sort(key=lambda share: -float(np.linalg.norm(_place(share))))
    if len(changed) == 1:
        return _only(changed[0], inches)
    total = _place(report.total)
    told = [share for share in changed if np.any(np.abs(_place(share)) >= NOTICEABLE_CM)][:MOST_TOLD]
    if not told:
        return f"{len(changed)} pieces differ from the centred turn, each too little to move the head."
    if np.all(np.abs(total) < NOTICEABLE_CM):
        near = told_length(NOTICEABLE_CM, inches)
        lead = f"The head ends within {near} of its place in the centred turn because what moves it cancels"
    else:
        lead = f"The head ends {head_words(total, inches)} than in the centred turn"
    parts = [f"{_has(share, inches)} takes it {head_words(_mainly(_place(share)), inches)}" for share in told]
    if rest := [share for share in changed if share not in told]:
        parts.append(_rest(rest, inches))
    return f"{lead}: {'; '.join(parts)}."


def _only(share: PieceShare, inches: bool) -> str:
    """The one piece that differs."""
    place = _place(share)
    if np.all(np.abs(place) < NOTICEABLE_CM):
        return f"Only {_has(share, inches)} differs from the centred turn, too little to move the head."
    has, ends = _has(share, inches), head_words(place, inches)
    return f"{has[0].upper()}{has[1:]} does all of it: it takes the head {ends} than the centred turn does."


def _rest(rest: Sequence[PieceShare], inches: bool) -> str:
    """The pieces that are not told one by one."""
    together = _mainly(np.sum([_place(share) for share in rest], axis=0))
    small = bool(np.all(np.abs(together) < NOTICEABLE_CM))
    does = f"less than {told_length(NOTICEABLE_CM, inches)}" if small else head_words(together, inches)
    return f"{listed([NAMES[share.piece] for share in rest])} {'together ' if len(rest) > 1 else ''}{does}"


def _mainly(place: Array) -> Array:
    """A place ``(3,)`` without its small parts."""
    return np.where(np.abs(place) >= MAINLY * np.abs(place).max(), place, 0.0)


def _has(share: PieceShare, inches: bool) -> str:
    """For example ``tilt of 47.5° (centred: 37.5°)``."""
    asked, held = amounts(share, inches)
    return f"{spoken(share.piece)} of {asked} (centred: {held})"


def _holding(report: SharesReport, inches: bool) -> str:
    """Who pulls the head which way along the target line, and who gives it back."""
    toward = {share.piece: share.head_toward_target_cm for share in report.shares}
    names = _HOLDING | (_HOLDING_BY_OWN_TURN if report.reference == OWN_TURN else {})
    parts = {words: toward[piece] for piece, words in names.items()}
    parts["the knees"] = sum(toward[piece] for piece in _KNEES)
    noticed = {name: value for name, value in parts.items() if abs(value) >= NOTICEABLE_CM}
    if not noticed:
        return "From face-on, no piece takes the head anywhere along the target line."
    main = max(noticed, key=lambda name: abs(noticed[name]))
    sign = np.sign(noticed[main])
    way, back = ("toward the target", "back") if sign > 0 else ("away from the target", "back toward it")
    plural = main.endswith("knees")
    lead = f"From face-on {main} take{'' if plural else 's'} the head {told_length(abs(noticed[main]), inches)} {way}"
    others = sorted((name for name in noticed if name != main), key=lambda name: -abs(noticed[name]))
    with_it = [f"{name} {told_length(abs(noticed[name]), inches)}" for name in others if np.sign(noticed[name]) == sign]
    against = [f"{name} {told_length(abs(noticed[name]), inches)}" for name in others if np.sign(noticed[name]) != sign]
    text = lead + (f", {listed(with_it)} the same way" if with_it else "")
    if against:
        gives = "bring" if len(against) > 1 or against[0].startswith("the knees") else "brings"
        text += f"; {listed(against)} {gives} it {back}"
    total = report.total.head_toward_target_cm
    side = "toward the target" if total > 0 else "away from the target"
    ends = f"{told_length(abs(total), inches)} {side}" if abs(total) >= NOTICEABLE_CM else "where it was"
    return f"{text}. All together it ends {ends}."


def warnings(report: SharesReport, inches: bool = False) -> list[str]:
    """What should not be overlooked of the reference and of the combinations that shares are made of."""
    lines = []
    if not report.reference_holds:
        lines.append(
            f"Even the centred turn cannot hold this head: it leaves it {told_length(report.reference_off_cm, inches)} "
            "off face-on, and shares count from there."
        )
    if line := stopped_sentence(report.stopped, report.combinations):
        lines.append(line)
    return lines


def stopped_sentence(stopped: Sequence[StoppedCombination], count: int) -> str:
    """Which combinations a joint stopped, in one sentence; empty where none, or where there is only the swing."""
    if not stopped or count == 1:
        return ""
    ranges: dict[str, list[list[str]]] = {}
    for one in stopped:
        for name in one.ranges:
            ranges.setdefault(name, []).append(one.of)
    parts = []
    for name, those in sorted(ranges.items(), key=lambda item: -len(item[1])):
        simplest = sorted(those, key=len)[:MOST_STOPS_TOLD]
        told = [" with ".join(NAMES[piece] for piece in pieces) or "the reference" for pieces in simplest]
        more = len(those) - len(told)
        parts.append(f"{range_words(name)} stops {listed([*told, *([f'{more} more'] if more else [])])}")
    return (
        f"In {len(stopped)} of the {count} combinations of pieces a range of this body stops part of what is asked, "
        f"and the shares count what it lets happen: {'; '.join(parts)}."
    )


def range_words(name: str) -> str:
    """A range in plain words."""
    return "the trunk's range" if name == "trunk" else spoken(name)
