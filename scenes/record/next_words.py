"""The next feel in plain sentences made from the computed numbers only."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...model.films import dose
from ..setups.quantities import to_border
from ..words.at_impact import TWO_FEELS
from ..words.pieces import ALL_ELSE_STAYS, NAMES, told_amount
from ..words.units import told_length
from .words import MORE, asked, past_warnings, response_sentence, surprise_warnings, whole

if TYPE_CHECKING:
    from .next_report import DoseReport, InsteadReport, NextReport
    from .report import AmountReport

LITTLE_SURE = 0.8
"""With less than this probability that something is missing at all, filming comes before feeling (our choice)."""
FAR_CM = 2.0
"""A head that one piece put right would leave this far off is pointed out (our choice: twice the usual sd)."""
TOO_MUCH = {
    "hip_turn": ("{} too much hip turn", "{} too little hip turn"),
    "shoulder_turn": ("{} too much shoulder turn", "{} too little shoulder turn"),
    "tilt": ("{} too much tilt", "{} too little tilt"),
    "extension": ("{} too much extension", "{} too little extension"),
    "lead_flex_change": ("{} too much flex in the lead knee", "{} too little flex in the lead knee"),
    "trail_flex_change": ("{} too much flex in the trail knee", "{} too little flex in the trail knee"),
    "sway": ("{} too much sway away from the target", "{} too much sway toward the target"),
    "hips_toward_ball": ("{} too much of the hips toward the ball", "{} too much of the hips away from the ball"),
}
"""Too much and too little of each piece on a film."""


def next_sentences(report: NextReport, inches: bool = False) -> list[str]:
    """What is missing, what this golfer gets of a feel, what to ask for, and how sure that is."""
    lines = [_missing(report, inches)]
    if report.in_still_band:
        return [*lines, asked_sentence(report, inches)]
    if not _refused(report):
        lines.append(response_sentence(report.response))
    if report.feel.amount is not None:
        lines += [*_held_back(report, inches), *_hardly(report, inches)]
    lines.append(asked_sentence(report, inches))
    if report.instead is not None:
        lines += [instead_sentence(report.instead, inches), *_steps(report.instead.feel, report.instead.unit, inches)]
    elif _refused(report):
        lines.append("Ask turnstill diagnose which piece moved the head.")
    if report.feel.amount is None:
        return lines
    return [*lines, *_steps(report.feel, report.unit, inches), _sure(report)]


def asked_sentence(report: NextReport, inches: bool = False) -> str:
    """What to ask for next, in one sentence."""
    if report.in_still_band:
        return "Ask for nothing more: keep what was done on that film, and film again."
    amount, expected = report.feel.amount, report.expected
    if _refused(report):
        return (
            f"That is not asked for: by the films so far {_stands(report, inches)}, so it would make a fault of its "
            "own."
        )
    if amount is None or expected is None:
        return (
            f"The films do not show that this feel of {NAMES[report.piece]} brings any of it, so more of the same is "
            "no answer: try another feel for it, or check the signs in the record."
        )
    lead = "If this is to be felt all the same, ask for this" if report.hardly_helps else "Ask next for this feel"
    return f"{lead}: {_feel(report.piece, amount, report.unit, expected, inches)}."


def instead_sentence(report: InsteadReport, inches: bool = False) -> str:
    """Less of what was overdone, in one sentence."""
    amount = report.feel.amount
    stands = _too_much(report.piece, report.stands.mean, report.unit, inches)
    if amount is None:
        raise ValueError("A piece is offered with a feel only.")
    return (
        f"What was overdone is {NAMES[report.piece]} ({stands} by now), so ease it: "
        f"{_feel(report.piece, amount, report.unit, report.expected, inches)}."
    )


def _feel(piece: str, amount: float, unit: str, expected: AmountReport, inches: bool) -> str:
    return (
        f"{asked(piece, amount, unit, inches)}, counted from the swing on the last film; expect the next film to show "
        f"about {told_amount(abs(expected.mean), unit, inches)} of it ({_span(expected, unit, inches)})"
    )


def _steps(feel: DoseReport, unit: str, inches: bool) -> list[str]:
    if not feel.capped:
        return []
    return [
        f"All of it at once would take a feel of {whole(feel.before_cap, unit, inches)}; more than "
        f"{whole(feel.cap, unit, inches)} is not advised, so go in steps and film between them."
    ]


def _refused(report: NextReport) -> bool:
    """Whether nothing is asked for because what would help would be a fault of the piece's own."""
    return report.held_back and report.hardly_helps and not report.in_still_band


def _too_much(piece: str, amount: float, unit: str, inches: bool) -> str:
    return TOO_MUCH[piece][amount < 0].format(told_amount(abs(amount), unit, inches))


def _stands(report: NextReport, inches: bool) -> str:
    """How far the piece is from its reference, where that is more than everybody's."""
    mean = 0.0 if report.stands is None else report.stands.mean
    if abs(mean) < to_border(report.unit, dose.SCATTER[report.unit]):
        return f"{NAMES[report.piece]} is about right"
    amount = _too_much(report.piece, mean, report.unit, inches)
    return f"there is {amount}, if {NAMES[report.piece]} was at fault at all"


def _held_back(report: NextReport, inches: bool) -> list[str]:
    if not report.held_back:
        return []
    most = told_amount(abs(report.wanted), report.unit, inches)
    return [
        f"No more than {most} of that is asked for: by the films so far {_stands(report, inches)}, and more would make "
        "a fault of its own."
    ]


def _hardly(report: NextReport, inches: bool) -> list[str]:
    now, then = report.off_now_cm, report.off_then_cm
    if not report.hardly_helps or now is None or then is None:
        return []
    ask = "" if report.instead else ", so ask turnstill diagnose first which piece moved it"
    return [
        f"It would hardly help: with all of it the head would be {told_length(then, inches)} off in place of "
        f"{told_length(now, inches)}{ask}."
    ]


def _missing(report: NextReport, inches: bool) -> str:
    piece, unit, missing, film = report.piece, report.unit, report.missing, report.film
    amount = _short(piece, missing.mean, unit, inches)
    if film is None:
        return f"Missing on the last film, as given: {amount} ({_span(missing, unit, inches)})."
    off = told_length(film.off_cm, inches)
    if report.in_still_band:
        return (
            f"On the film of {film.date} the head was still: {off} off face-on (the still band is "
            f"{told_length(report.still_within_cm, inches)})."
        )
    since = ", counting what films showed of it since" if report.since_film else ""
    return (
        f"On the film of {film.date} the head was {off} off face-on; what would bring it nearest to its place, "
        f"{ALL_ELSE_STAYS}: {amount}{since} ({_span(missing, unit, inches)})."
    )


def _sure(report: NextReport) -> str:
    sure, way = report.way_sure, _way(report.piece, report.missing.mean)
    told = f"{way[0].upper()}{way[1:]}: that this is the right way"
    if sure < LITTLE_SURE:
        return (
            f"{told} is only {sure:.0%} sure; such a film hardly differs from one with nothing missing, so film a few "
            "more swings first."
        )
    return f"{told} is {'over 99%' if sure > 0.99 else f'{sure:.0%}'} sure."


def next_warnings(report: NextReport, inches: bool = False) -> list[str]:
    """What a person should not overlook before the next feel."""
    told = [*past_warnings(report.past_films), *far_warnings(report, inches), *surprise_warnings(report.surprising)]
    return [*told, *two_feels(report)]


def two_feels(report: NextReport) -> list[str]:
    """Which of two feels comes first, where two are told."""
    return [TWO_FEELS] if report.two_feels else []


def far_warnings(report: NextReport, inches: bool = False) -> list[str]:
    """That the head would still be far off with all that is asked for made up for."""
    then = report.off_then_cm
    if then is None or then <= FAR_CM or report.hardly_helps or report.in_still_band:
        return []
    return [
        f"Even with that made up for the head would be {told_length(then, inches)} off face-on: another piece than "
        "this has moved it as well, which turnstill diagnose can look for."
    ]


def _short(piece: str, amount: float, unit: str, inches: bool) -> str:
    return MORE[piece][amount < 0].format(told_amount(abs(amount), unit, inches)).split(",")[0]


def _way(piece: str, amount: float) -> str:
    """``more extension``, ``the hips nearer to the target``."""
    return " ".join(MORE[piece][amount < 0].format("").split(",")[0].split())


def _span(value: AmountReport, unit: str, inches: bool) -> str:
    """The 90 % interval, counted the way the mean goes."""
    ends = (value.low, value.high) if value.mean >= 0 else (-value.high, -value.low)
    low, high = (told_amount(end, unit, inches) for end in ends)
    return f"90 % between {low} and {high}"
