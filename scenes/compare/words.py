"""What differs between two swings and why, in plain sentences made from the computed numbers only."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ...model.golfer.pieces import PIECES
from ...model.swing.swing import Swing
from ..setups.perform import Performed
from ..setups.quantities import ARMS_SECTION, HEAD_SECTION, IMPACT_SECTION, to_border
from ..words.cautions import NOTICEABLE_CM, NOTICEABLE_DEG, STILL_CM, listed, spoken
from ..words.pieces import ALL_ELSE_STAYS, head_words, told_amount
from ..words.units import told_length
from .causes import Cause, head_at_top
from .hip_room import HipRoomReport, ceiling, room_sentence

MOST_CAUSES = 2
_ALONG_FACE_ON = (0,)
"""The axis that the face-on view does not show: toward the ball."""
SMALLEST_PART = 0.2
"""A cause that accounts for less than this part of what the main one does is not mentioned."""
_NO_MATTER_TO_HIPS = ("hip turn", "shoulder turn", "tilt", "extension", "ball position", "club length")
"""Causes that leave the most hip turn available as it is, or nearly."""


def strays(swing: Swing) -> float:
    """Largest movement of the head seen face-on (sideways and in height) during the backswing, cm."""
    return float(np.hypot(*np.asarray(swing.measures.head_moved)[:, 1:].T).max()) * 100


def matters_to_hips(found: Sequence[Cause]) -> bool:
    """Whether anything that two swings were asked differently can change the hip turn there is."""
    return any(cause.name not in _NO_MATTER_TO_HIPS for cause in found)


def asked_beside(first: Performed, later: Performed) -> list[str]:
    """What two swings were asked otherwise up to the top beside body, address and pieces."""
    named = {HEAD_SECTION: "the place of the head", ARMS_SECTION: "the arms"}
    told = [words for section, words in named.items() if first.setup.section(section) != later.setup.section(section)]
    return [*told, *(["the timing"] if first.setup.timing != later.setup.timing else [])]


def sentences(
    first: Performed,
    later: Performed,
    names: tuple[str, str],
    found: Sequence[Cause],
    rooms: Sequence[HipRoomReport] = (),
    inches: bool = False,
    *,
    both: bool = True,
) -> list[str]:
    """A few sentences, the one that matters most first: heads and why they differ, or the hips where heads do not.

    Args:
        first: the swing compared with.
        later: the swing compared.
        names: how the page calls them, first and later.
        found: what they were asked differently.
        rooms: the most hip turn of both, where that may differ.
        inches: lengths in inches.
        both: also say what the body did not let the first swing do.
    """
    apart = float(np.linalg.norm(head_at_top(later.swing) - head_at_top(first.swing)))
    within = told_length(NOTICEABLE_CM, inches)
    if beside := [] if found else asked_beside(first, later):
        otherwise = f"{names[1]} has the body, address and pieces of {names[0]}; asked otherwise: {listed(beside)}."
        same = f"The two heads end in the same place (within {within})."
        heads = _heads(first, later, names, inches) if apart >= NOTICEABLE_CM else same
        return [otherwise, heads, _inclination(first, later, names)]
    if not found:
        alike = f"{names[1]} was asked for just what {names[0]} was, so nothing differs at the top."
        on = "What they are asked at impact differs: turnstill strike says what that does."
        as_asked = first.setup.section(IMPACT_SECTION) == later.setup.section(IMPACT_SECTION)
        return [alike] if as_asked else [alike, on]
    short = [*(_shortfall(first, names[0], inches) if both else []), *_shortfall(later, names[1], inches)]
    room = [room_sentence(rooms), ceiling(rooms)] if rooms else []
    if apart >= NOTICEABLE_CM:
        why = _why(found, first, later, names, inches)
        return [_heads(first, later, names, inches), why, *short, *room, _inclination(first, later, names)]
    tried = listed([_has(cause, names, inches) for cause in found])
    if not short and not _rooms_differ(rooms) and not _inclinations_differ(first, later):
        same = ", nor the hip turn there is" if rooms else ""
        return [f"{_capital(tried)}, which moves neither the head nor the trunk's inclination noticeably{same}."]
    heads = f"The two heads end in the same place (within {within}), although {tried}."
    return [*room, heads, *short, _inclination(first, later, names)]


def _rooms_differ(rooms: Sequence[HipRoomReport]) -> bool:
    turns = [room.most_hip_turn_deg for room in rooms]
    return bool(turns) and abs(turns[0] - turns[1]) >= NOTICEABLE_DEG


def _inclinations_differ(first: Performed, later: Performed) -> bool:
    seen = [np.degrees(side.swing.measures.inclination_down_the_line)[[0, -1]] for side in (first, later)]
    return bool(np.any(np.abs(seen[0] - seen[1]) >= NOTICEABLE_DEG))


def _capital(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}"


def _heads(first: Performed, later: Performed, names: tuple[str, str], inches: bool) -> str:
    parts = [f"in {name} {_head(side.swing, inches)}" for side, name in zip((first, later), names, strict=True)]
    return f"{_capital(parts[0])}; {parts[1]}."


def _head(swing: Swing, inches: bool) -> str:
    """Of a head that is still face-on only what that view does not show, or it would be still and moved at once."""
    top, still = head_at_top(swing), strays(swing) <= STILL_CM
    axes = _ALONG_FACE_ON if still else (0, 1, 2)
    place = head_words(top, inches, axes)
    than = " than at address" if np.any(np.abs(top[list(axes)]) >= NOTICEABLE_CM) else ""
    if not still:
        return f"the head ends the backswing {place}{than}"
    told = f"the head stays still from face-on (within {told_length(STILL_CM, inches)})"
    return f"{told} and ends {place}{than}" if than else told


def _why(found: Sequence[Cause], first: Performed, later: Performed, names: tuple[str, str], inches: bool) -> str:
    """What was asked differently, and where the head would end with each put back alone."""
    home = head_at_top(first.swing)
    least = max(NOTICEABLE_CM, SMALLEST_PART * found[0].accounts_for)
    telling = [cause for cause in found if cause.accounts_for >= least][:MOST_CAUSES]
    if not telling:
        tried = listed([_has(cause, names, inches) for cause in found])
        return f"None of what was asked differently moves the head much on its own: {tried}."
    parts: list[str] = []
    for k, cause in enumerate(telling):
        instead = (
            f"With {told_amount(cause.amounts[2], cause.unit, inches)} instead" if cause.amounts else "With that body"
        )
        instead += "" if k else f", {ALL_ELSE_STAYS}"
        same = np.linalg.norm(cause.left - home) < NOTICEABLE_CM
        ends = f"where it does in {names[0]}" if same else head_words(cause.left, inches)
        has = _has(cause, names, inches) + _from_steady(later, cause.name)
        parts.append(f"{_capital(has) if parts else has}. {instead}, the head would end {ends}.")
    lead = f"Why {names[1]} differs" + (":" if len(telling) == 1 else ", one thing at a time:")
    return f"{lead} {' '.join(parts)}"


def _has(cause: Cause, names: tuple[str, str], inches: bool) -> str:
    """For example ``tilt is 47.5° (centred has 37.5°)``."""
    if cause.amounts is None:
        return f"{cause.name} is not that of {names[0]}"
    has, had, _ = (told_amount(amount, cause.unit, inches) for amount in cause.amounts)
    return f"{cause.name} is {has} ({names[0]} has {had})"


def _from_steady(side: Performed, piece: str) -> str:
    if piece not in side.swing.steady:
        return ""
    departure = float(np.degrees(side.swing.asked[piece][-1] - side.swing.steady[piece][-1]))
    if abs(departure) < NOTICEABLE_DEG:
        return ""
    return f", {abs(departure):.0f}° {'more' if departure > 0 else 'less'} than would keep this head still"


def _shortfall(side: Performed, name: str, inches: bool) -> list[str]:
    """What the body did not let the swing do, in one sentence, if anything."""
    parts = []
    for piece, asked in side.swing.asked.items():
        if piece not in PIECES:
            continue  # What the pieces come to in the room.
        unit = PIECES[piece].unit
        want, got = (to_border(unit, values[-1]) for values in (asked, side.swing.achieved[piece]))
        if abs(want - got) >= (NOTICEABLE_CM if unit == "cm" else NOTICEABLE_DEG):
            has, wanted = (told_amount(amount, unit, inches) for amount in (got, want))
            parts.append(f"{has} of {spoken(piece)} where {wanted} {'was' if unit == 'cm' else 'were'} asked")
    return [f"This body does not allow all of {name}; it gets {listed(parts)}."] if parts else []


def _inclination(first: Performed, later: Performed, names: tuple[str, str]) -> str:
    parts = []
    for side, name in zip((first, later), names, strict=True):
        seen = np.degrees(side.swing.measures.inclination_down_the_line)
        parts.append(f"from {seen[0]:.0f}° to {seen[-1]:.0f}° in {name}")
    return f"Seen down the line, the trunk's inclination goes {listed(parts)}."
