"""A diagnosis in plain sentences made from the computed numbers only."""

from __future__ import annotations

from typing import Any

import numpy as np

from ...model.golfer.pieces import MAY_BE_STEADY
from ..words.cautions import NOTICEABLE_CM, NOTICEABLE_DEG, listed
from ..words.pieces import NAMES, head_words, told_amount
from ..words.units import CM_PER_INCH, told_length
from .readings import KINDS

Report = dict[str, Any]
MENTIONED = 0.3
"""Pieces less probably at fault are in the table only; before any film it is half of that (our choice)."""
MOST_TOLD, MOST_PAIRS = 4, 3
HEADS = ("head_toward_ball", "head_toward_target", "head_up")
"""In the order of ``turnstill.scenes.compare.words.head_words``."""
_MORE_LESS = {
    "sway": ("farther from the target", "nearer to the target"),
    "hips_toward_ball": ("nearer to the ball", "farther from the ball"),
}
_SHORT_TURN = "A short turn with a still head needs less extension than a full one; that is no fault."


def percent(probability: float) -> str:
    """A probability without claiming to be certain."""
    if probability < 0.01:
        return "under 1%"
    return "over 99%" if probability > 0.99 else f"{probability:.0%}"


def sided(piece: str, value: float, unit: str, inches: bool = False) -> str:
    """A departure in words: ``12.3° less``, ``5.0 cm farther from the target``."""
    more, less = _MORE_LESS.get(piece, ("more", "less"))
    return f"{told_amount(abs(value), unit, inches)} {less if value < 0 else more}"


def either_way(one: Report) -> bool:
    """Whether not even the sign of a piece's departure is known: then there is no most likely one to tell."""
    return one["low"] is not None and bool(one["low"] < 0.0 < one["high"])


def sentences(report: Report, inches: bool = False) -> list[str]:
    """What a coach is told."""
    lines = [_head(report, inches)] if any(one["reading"] in HEADS for one in report["readings"]) else []
    if not report["fits"]:
        return [*lines, *_nothing_fits(report, inches)]
    told = [one for one in report["pieces"] if one["probability"] >= MENTIONED][:MOST_TOLD]
    lines += [_piece(one, turn_words(report), inches) for one in told]
    if not told:
        most = max(one["probability"] for one in report["pieces"])
        lines.append(
            f"No piece stands out: none is at fault with more than {percent(most)}, and that nothing is at fault has "
            f"{percent(report['nothing_at_fault'])}."
        )
        lines += _small_together(report, inches)
    if not report["head_still"] or told:
        lines.append(_candidates(report))
    lines += _short_turn(report, inches)
    if told:
        lines += _apart(report)
    if len(report["readings"]) == 1:
        lines.append(_lone(report))
    return [*lines, *_what_to_do(report, inches)]


def _head(report: Report, inches: bool) -> str:
    read = {one["reading"]: one for one in report["readings"] if one["reading"] in HEADS}
    shown = [name for name in HEADS if name in read]
    ways = listed([KINDS[name].words.removeprefix("head ") for name in shown])
    if report["head_still"]:
        sd = max(one["sd"] for one in read.values())
        return (
            f"The head did not move, as far as it was read ({ways}): all of it is within one sd of reading, "
            f"{told_length(sd, inches)}."
        )
    place = np.array([read[name]["value"] if name in read else 0.0 for name in HEADS])
    axes = tuple(k for k, name in enumerate(HEADS) if name in read)
    unread = [KINDS[name].words.removeprefix("head ") for name in HEADS if name not in read]
    left_out = f" ({listed(unread)} not read)" if unread else ""
    return f"At the top the head is {head_words(place, inches, axes)} than at address{left_out}."


def _piece(one: Report, turn: str, inches: bool) -> str:
    name, unit = NAMES[one["piece"]], one["unit"]
    low, high = (sided(one["piece"], one[key], unit, inches) for key in ("low", "high"))
    than = f" than in {turn}"
    if one["piece"] in MAY_BE_STEADY:
        than = " than holds the head for the turn that was made"
    at_fault = f"{name.capitalize()} is at fault with a probability of {percent(one['probability'])}; if so, "
    if either_way(one):
        return f"{at_fault}either way{than} (90 % between {low} and {high})."
    about = sided(one["piece"], one["most_likely"], unit, inches)
    return f"{at_fault}by about {about}{than} (90 % between {low} and {high})."


def turn_words(report: Report) -> str:
    """The turn that departures are counted from."""
    return "the centred turn" if report["counted_from_centred"] else f"the turn of {report['preset']} as it was set"


def _small_together(report: Report, inches: bool) -> list[str]:
    """What moved the head where, most probably, nothing is at fault."""
    if report["head_still"] or report["likeliest_at_fault"]:
        return []
    usual = {one["piece"]: one["not_at_fault_sd"] for one in report["pieces"]}
    size = {one["piece"]: abs(one["from_what_holds_the_head"]) / usual[one["piece"]] for one in report["departures"]}
    most = sorted(
        (one for one in report["departures"] if size[one["piece"]] >= 0.5), key=lambda one: -size[one["piece"]]
    )
    if not most:
        return []
    parts = [
        f"{NAMES[one['piece']]} {sided(one['piece'], one['from_what_holds_the_head'], one['unit'], inches)}"
        for one in most[:MOST_TOLD]
    ]
    return [f"Most probably the head went there by departures hardly larger than everybody's: {listed(parts)}."]


def case_words(report: Report) -> str:
    """The most probable case."""
    at_fault = [NAMES[piece] for piece in report["likeliest_at_fault"]]
    return f"{' and '.join(at_fault)} at fault" if at_fault else "nothing at fault"


def _candidates(report: Report) -> str:
    names = [NAMES[piece] for piece in report["candidates"]]
    if len(names) == len(report["pieces"]):
        return "The largest departure may be any of the eight pieces."
    if len(names) == 1:
        return f"With 90 % or more the largest departure is {names[0]}."
    return f"With 90 % the largest departure is one of these: {', '.join(names)}."


def _short_turn(report: Report, inches: bool) -> list[str]:
    """Where less extension than in the centred turn is no fault, or might be taken for one."""
    extension = next(one for one in report["departures"] if one["piece"] == "extension")
    turn = next(one for one in report["departures"] if one["piece"] == "shoulder_turn")
    chance = next(one["probability"] for one in report["pieces"] if one["piece"] == "extension")
    less = extension["from_centred"] - extension["from_what_holds_the_head"]
    short = turn["from_centred"] <= -NOTICEABLE_DEG and less <= -NOTICEABLE_DEG
    if short and chance < MENTIONED:
        return [
            f"The shoulders turned about {abs(turn['from_centred']):.0f}° less than in the centred turn, and so "
            "short a "
            f"turn needs about {abs(less):.0f}° less extension to hold the head: that is no fault of extension."
        ]
    return [_SHORT_TURN] if report["head_still"] else []


def _apart(report: Report) -> list[str]:
    lines, many = [], len(report["told_apart_by"])
    for pair in report["told_apart_by"][:MOST_PAIRS]:
        a, b = (NAMES[piece] for piece in pair["pieces"])
        by = pair["reading"]
        how = (
            f"{KINDS[by].words} would tell them apart best (about {percent(pair['doubt_removed'])} of the doubt)"
            if by
            else "no one further reading would tell them apart well"
        )
        lines.append(f"These readings cannot tell {a} from {b}; {how}.")
    if many > MOST_PAIRS:
        lines.append(f"There are {many - MOST_PAIRS} more such pairs; the JSON lists them all.")
    return lines


def _lone(report: Report) -> str:
    read = KINDS[report["readings"][0]["reading"]].words
    return (
        f"One reading alone ({read}) can tell little: most pieces keep about the probability they had before any film."
    )


def _what_to_do(report: Report, inches: bool) -> list[str]:
    feel = report["feel"]
    if feel is None:
        return [_next(report)]
    unit, changes = feel["unit"], feel["alone_it_would_change"]
    place = np.array([changes[f"{name}_cm"] for name in HEADS])
    moved = bool(np.any(np.abs(place) >= NOTICEABLE_CM))
    shift = f"would bring the head {head_words(place, inches)}" if moved else "would hardly move the head"
    alone = "By itself it"
    if feel["piece"] not in MAY_BE_STEADY:
        # What holds the head is tilt and extension, and departures are counted from what they must be.
        alone = "With tilt and extension keeping up with it, as departures are counted here, it"
    lead = "What to do"
    if feel["brings_head_back_cm"] < NOTICEABLE_CM:
        held = "" if feel["piece"] in MAY_BE_STEADY else ": tilt and extension can hold it all the same"
        lead = f"The head is no reason to change {NAMES[feel['piece']]}{held}. If it is to be changed"
    lines = [
        f"{lead}: {told_amount(abs(feel['amount']), unit, inches)} {feel['what']}: {feel['do']}. Face-on, "
        f"{feel['face_on']}; down the line, {feel['down_the_line']}. {alone} {shift}.",
        f"{feel['check']} {feel['caution']}",
    ]
    if report["measure_next"] is not None:
        kind = KINDS[report["measure_next"]]
        lines.append(f"To be surer first, read {kind.words} ({kind.view}) and ask again.")
    if feel["then"]:
        more = listed([NAMES[piece] for piece in feel["then"]])
        lines.append(f"One thing at a time: {more} {'is' if len(feel['then']) == 1 else 'are'} next, after a new film.")
    return lines


def _next(report: Report) -> str:
    by, lone = report["measure_next"], len(report["readings"]) == 1
    before = f"No feel is advised on {'this one reading' if lone else 'these readings'}: "
    if report["head_still"] and not any(one["probability"] >= MENTIONED for one in report["pieces"]):
        return f"{before}nothing needs changing that they can show. Film again after a while."
    if by is None:
        return (
            f"{before}no one further reading would settle it. Read what is still unread, read each twice to make it "
            "surer, "
            "or film a few more swings."
        )
    kind = KINDS[by]
    return (
        f"{before}first read {kind.words} ({kind.view}), which would take away about "
        f"{percent(report['doubt_removed_by_next'])} of the doubt, and ask again."
    )


def _nothing_fits(report: Report, inches: bool) -> list[str]:
    off = report["misfit"]
    degrees = off["degrees_of_freedom"]
    lines = [
        f"Nothing the body can do fits these readings (chi-squared {off['chi_squared']:.0f} with {degrees} "
        f"{'reading' if degrees == 1 else 'readings'}; a body shows that less than once in a hundred times), so no "
        "piece is "
        "named and no feel is given."
    ]
    by_name = {one["reading"]: one for one in report["readings"]}
    mend = report["check"]
    if mend["slip"] is not None:
        parts = [
            f"{KINDS[name].words} {_shown(by_name[name], mend['factor'], inches)} in place of "
            f"{_shown(by_name[name], 1.0, inches)}"
            for name in mend["readings"]
        ]
        lines.append(f"They would fit with {listed(parts)}: {_SLIP_WORDS[mend['slip']]}")
    else:
        far = by_name[mend["furthest"]]
        lines.append(
            f"Look first at {KINDS[far['reading']].words}, {_shown(far, 1.0, inches)}, which is furthest from what "
            "golfers "
            "show."
        )
    lines.append(
        "Check the unit of each reading (one ten times too large or too small is the usual cause), its sign, that all "
        "are of the "
        "top of one swing, and that the camera stood still and square; then ask again."
    )
    return lines


_SLIP_WORDS = {
    "tenfold": "was it read in millimetres, or the decimal point misplaced?",
    "sign": "was the sign the other way round?",
    "tenth": "was the decimal point misplaced?",
}


def _shown(one: Report, factor: float, inches: bool) -> str:
    value = one["value"] * factor
    return told_amount(value, "deg") if one["unit"] == "deg" else told_length(value, inches)


def scale_words(report: Report, inches: bool = False) -> list[str]:
    """What heads were taken for, where they were used."""
    scale = report["scale"]
    lines = []
    for unit, words, k in (("hw", "head width (ear to ear)", 0), ("hl", "head length (brow to back)", 1)):
        if unit not in scale["used"]:
            continue
        size = told_length(scale["head_width_cm" if k == 0 else "head_length_cm"], inches)
        source = (
            "as measured"
            if scale["measured"][k]
            else "the mean of the ANSUR II survey for this body, people differing by about 3 % (one sd); measure it "
            "for better"
        )
        lines.append(f"One {words} was taken as {size}, {source}.")
    across = [n for n in scale["used"].get("hw", []) if KINDS[n].view == "down the line"]
    if across:
        lines.append(
            f"{listed([KINDS[n].words for n in across]).capitalize()} was given in head widths; down the line one "
            "sees the "
            f"head's length, so if that was the measure, write hl in place of hw."
        )
    return lines


def usual_sd_words(report: Report, inches: bool = False) -> list[str]:
    """Where no uncertainty was given."""
    usual = {"cm": f"{1.0 / CM_PER_INCH:.2f} in" if inches else "1 cm", "deg": "4°"}
    missing = [one for one in report["readings"] if not one["sd_given"]]
    if not missing:
        return []
    names = [KINDS[one["reading"]].words for one in missing]
    taken = [usual[unit] for unit in usual if any(one["unit"] == unit for one in missing)]
    return [
        f"No uncertainty was given for {listed(names)}; {listed(taken)} {'was' if len(taken) == 1 else 'were'} taken "
        "(assumption: careful reading of a film)."
    ]
