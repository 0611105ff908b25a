"""Shares in plain sentences made from the computed numbers only."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from ...model.arrays import Array
from ..words.cautions import NOTICEABLE_CM, listed, spoken
from ..words.pieces import NAMES, head_words, told_amount
from ..words.units import told_length

MOST_TOLD = 3
_KNEES = ("lead_flex_change", "trail_flex_change")
_HOLDING = {
    "hip_turn": "the hips' turn",
    "shoulder_turn": "the shoulders' turn",
    "sway": "sway",
    "hips_toward_ball": "hips toward ball",
}
REFERENCE_WORDS = {
    "steady": "the centred turn that holds this golfer's head",
    "address": "address, every piece counted as it stands",
    "turn": "address, the shoulder turn counted as one about the trunk's own inclined axis",
}
MOST_STOPS_TOLD = 3


def _place(share: dict[str, Any]) -> Array:
    return np.array([share[f"head_{way}_cm"] for way in ("toward_ball", "toward_target", "up")])


def sentences(report: dict[str, Any], inches: bool = False) -> list[str]:
    """What a coach would say of the shares."""
    if report["reference"] == "steady":
        return _departures(report, inches)
    lines = [_holding(report, inches)]
    if report["reference"] == "address":
        lines.append(
            "Counted from address like this, large shares cancel and a fault is spread over pieces that nobody "
            "changed; to find a fault, use --against steady."
        )
    return lines


def _departures(report: dict[str, Any], inches: bool) -> list[str]:
    changed = [share for share in report["shares"] if _moved(share)]
    if not changed:
        return [
            "This swing asks for just what the centred turn of this golfer does, so no piece moved the head from there."
        ]
    changed.sort(key=lambda share: -float(np.linalg.norm(_place(share))))
    first = changed[0]
    if len(changed) == 1:
        ends = head_words(_place(first), inches)
        if np.linalg.norm(_place(first)) < NOTICEABLE_CM:
            return [f"Only {_has(first, inches)} differs from what holds this head, too little to move it."]
        return [f"{_capital(_has(first, inches))} does all of it: it takes the head {ends} than the centred turn does."]
    total = _place(report["total"])
    told = [share for share in changed if np.any(np.abs(_place(share)) >= NOTICEABLE_CM)][:MOST_TOLD]
    if not told:
        return [f"{len(changed)} pieces differ from what holds this head, each too little to move it."]
    if np.all(np.abs(total) < NOTICEABLE_CM):
        near = told_length(NOTICEABLE_CM, inches)
        lead = f"The head ends within {near} of its place in the centred turn because what moves it cancels"
    else:
        lead = f"The head ends {head_words(total, inches)} than in the centred turn"
    parts = [f"{_has(share, inches)} takes it {head_words(_mainly(_place(share)), inches)}" for share in told]
    rest = [share for share in changed if share not in told]
    if rest:
        together = _mainly(sum((_place(share) for share in rest), np.zeros(3)))
        small = bool(np.all(np.abs(together) < NOTICEABLE_CM))
        does = f"less than {told_length(NOTICEABLE_CM, inches)}" if small else head_words(together, inches)
        names = listed([NAMES[share["piece"]] for share in rest])
        parts.append(f"{names} {'together ' if len(rest) > 1 else ''}{does}")
    return [f"{lead}: {'; '.join(parts)}."]


def _mainly(place: Array) -> Array:
    """A place ``(3,)`` without what is less than half of its largest part."""
    return np.where(np.abs(place) >= 0.5 * np.abs(place).max(), place, 0.0)


def _moved(share: dict[str, Any]) -> bool:
    return bool(abs(share["asked"] - share["in_reference"]) > 1e-5)


def _has(share: dict[str, Any], inches: bool) -> str:
    """For example ``tilt of 47.5° (centred: 37.5°)``."""
    asked, held = (told_amount(share[key], share["unit"], inches) for key in ("asked", "in_reference"))
    return f"{spoken(share['piece'])} of {asked} (centred: {held})"


def _capital(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}"


def _holding(report: dict[str, Any], inches: bool) -> str:
    """Who pulls the head which way along the target line, and who gives it back."""
    own = report["reference"] == "turn"
    by_piece = {share["piece"]: share["head_toward_target_cm"] for share in report["shares"]}
    words = {
        **_HOLDING,
        "tilt": "the tilt added to that" if own else "tilt",
        "extension": "the extension added to that" if own else "extension",
    }
    if own:
        words["shoulder_turn"] = "the shoulders' turn about the spine's own axis"
    parts = {words[name]: by_piece[name] for name in words}
    parts["the knees"] = sum(by_piece[name] for name in _KNEES)
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
    total = report["total"]["head_toward_target_cm"]
    side = "toward the target" if total > 0 else "away from the target"
    ends = f"{told_length(abs(total), inches)} {side}" if abs(total) >= NOTICEABLE_CM else "where it was"
    return f"{text}. All together it ends {ends}."


def stopped_sentence(stopped: Sequence[dict[str, list[str]]], count: int) -> str:
    """Which combinations a joint stopped, in one sentence; empty where none, or where there is only the swing."""
    if not stopped or count == 1:
        return ""
    ranges: dict[str, list[list[str]]] = {}
    for one in stopped:
        for name in one["ranges"]:
            ranges.setdefault(name, []).append(one["pieces"])
    parts = []
    for name, those in sorted(ranges.items(), key=lambda item: -len(item[1])):
        simplest = sorted(those, key=len)[:MOST_STOPS_TOLD]
        told = [" with ".join(NAMES[piece] for piece in pieces) or "the reference" for pieces in simplest]
        more = len(those) - len(told)
        parts.append(f"{spoken(name)} stops {listed([*told, *([f'{more} more'] if more else [])])}")
    return (
        f"In {len(stopped)} of the {count} combinations of pieces a range of this body stops part of what is asked, "
        f"and the shares count what it lets happen: {'; '.join(parts)}."
    )
