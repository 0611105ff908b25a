"""What differs between two swings and why, in plain sentences made from the computed numbers only.

Why is found by trying: each thing asked differently is put back, alone, to what the first swing has, the swing is
simulated again, and what that does to the head at the top is what the thing accounts for. Meanwhile a departure from
steady keeps its amount in degrees, or it would follow what was put back and hide it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from ..model.arrays import Array
from ..model.swing import Swing
from .cautions import STILL_CM, listed, spoken
from .perform import FEWEST_FRAMES, Performed, swing_of
from .presets import Setup
from .quantities import (
    ADDRESS_SECTION,
    BODY_SECTION,
    LENGTHS_SECTION,
    PIECES_SECTION,
    RANGES_SECTION,
    Departure,
    section_entries,
)
from .units import length_unit, shown_length

NOTICEABLE_CM = 0.3
"""Head movements below this are not worth a word."""
NOTICEABLE_DEG = 1.0
MOST_CAUSES = 2
SMALLEST_PART = 0.2
"""A cause that accounts for less than this part of what the main one does is not mentioned."""
_WAYS = (
    ("nearer to the ball", "farther from the ball"),
    ("nearer to the target", "farther from the target"),
    ("higher", "lower"),
)
_BODY = "the body"


@dataclass(frozen=True)
class Cause:
    """Something two swings were asked differently.

    Attributes:
        name: the piece or quantity in plain words.
        amounts: what the later and the first swing have, with units.
        left: ``(3,)`` cm, where the later swing's head would be at the top with the first one's amount.
        accounts_for: cm by which the head's place at the top changes with it.
    """

    name: str
    amounts: tuple[str, str]
    left: Array
    accounts_for: float


def head_at_top(swing: Swing) -> Array:
    """``(3,)`` cm since address: toward ball, toward target, up."""
    place: Array = np.asarray(swing.measures.head_moved, float)[-1] * 100
    return place


def head_words(place: Array, inches: bool = False, axes: tuple[int, ...] = (0, 1, 2)) -> str:
    """Where a head is, relative to its place at address; the largest part first.

    Args:
        place: ``(3,)`` cm: toward ball, toward target, up.
        inches: lengths in inches.
        axes: the axes a view shows.
    """
    unit = length_unit(inches)
    parts = [
        f"{shown_length(abs(place[axis]), inches).lstrip('+')} {unit} {_WAYS[axis][int(place[axis] < 0)]}"
        for axis in np.argsort(-np.abs(place))
        if axis in axes and abs(place[axis]) >= NOTICEABLE_CM
    ]
    return listed(parts) if parts else f"within {shown_length(NOTICEABLE_CM, inches).lstrip('+')} {unit} of its place"


def strays(swing: Swing) -> float:
    """Largest movement of the head seen face-on (sideways and in height) during the backswing, cm."""
    return float(np.hypot(*np.asarray(swing.measures.head_moved)[:, 1:].T).max()) * 100


def causes(first: Performed, later: Performed) -> list[Cause]:
    """What was asked differently, by how much of the head's place at the top it accounts for."""
    there = head_at_top(later.swing)
    found = []
    for name, amounts, trial in _swaps(first, later):
        left = head_at_top(swing_of(trial, FEWEST_FRAMES))
        found.append(Cause(name, amounts, left, float(np.linalg.norm(there - left))))
    return sorted(found, key=lambda cause: -cause.accounts_for)


def _swaps(first: Performed, later: Performed) -> Iterator[tuple[str, tuple[str, str], Setup]]:
    """Each thing asked differently, what both swings have of it, and the later setup with the first one's."""
    mine, other = later.setup, first.setup
    for section in (PIECES_SECTION, ADDRESS_SECTION):
        for key, entry in section_entries(section).items():
            value = other.section(section).get(key)
            if value is not None and value != mine.section(section).get(key) and entry.quantity:
                unit = "°" if entry.quantity.unit == "deg" else f" {entry.quantity.unit}"
                amounts = tuple(f"{_amount(side, section, entry.name):.1f}{unit}" for side in (later, first))
                yield spoken(entry.name), (amounts[0], amounts[1]), _frozen(later).changed(section, key, value)
    body_sections = (BODY_SECTION, LENGTHS_SECTION, RANGES_SECTION)
    if any(dict(mine.section(s)) != dict(other.section(s)) for s in body_sections):
        values = {**_frozen(later).values, **{s: other.section(s) for s in body_sections}}
        yield _BODY, ("", ""), Setup(mine.name, mine.shows, values, mine.timing)


def _frozen(side: Performed) -> Setup:
    """The setup with its departures from steady, other than none, as the degrees they came to at the top."""
    setup = side.setup
    for key, entry in section_entries(PIECES_SECTION).items():
        value = setup.section(PIECES_SECTION).get(key)
        if isinstance(value, Departure) and value.plus_deg:
            setup = setup.changed(PIECES_SECTION, key, _amount(side, PIECES_SECTION, entry.name))
    return setup


def _amount(side: Performed, section: str, name: str) -> float:
    values = side.swing.asked if section == PIECES_SECTION else vars(side.swing.address)
    entry = next(e for e in section_entries(section).values() if e.name == name)
    number = float(np.ravel(values[name])[-1])
    return float(np.degrees(number)) if entry.quantity and entry.quantity.unit == "deg" else number * 100


def sentences(
    first: Performed, later: Performed, names: tuple[str, str], inches: bool = False, *, both: bool = True
) -> list[str]:
    """A few sentences: what the heads do, why, and what the trunk's inclination does.

    Args:
        first: the swing compared with.
        later: the swing compared.
        names: how the page calls them, first and later.
        inches: lengths in inches.
        both: also say what the body did not let the first swing do.
    """
    found = causes(first, later)
    if not found:
        return [f"{names[1]} was asked for just what {names[0]} was, so nothing differs at the top."]
    return [
        _heads(first, later, names, inches),
        _why(found, later, names, inches),
        *(_shortfall(first, names[0]) if both else []),
        *_shortfall(later, names[1]),
        _inclination(first, later, names),
    ]


def _heads(first: Performed, later: Performed, names: tuple[str, str], inches: bool) -> str:
    parts = [f"in {name} {_head(side.swing, inches)}" for side, name in zip((first, later), names, strict=True)]
    return f"{parts[0][0].upper()}{parts[0][1:]}; {parts[1]}."


def _head(swing: Swing, inches: bool) -> str:
    place = head_words(head_at_top(swing), inches)
    if strays(swing) > STILL_CM:
        return f"the head ends the backswing {place}"
    limit = f"{shown_length(STILL_CM, inches).lstrip('+')} {length_unit(inches)}"
    depth = abs(head_at_top(swing)[0]) >= NOTICEABLE_CM
    return f"the head stays still from face-on (within {limit})" + (f" and ends {place}" if depth else "")


def _why(found: list[Cause], later: Performed, names: tuple[str, str], inches: bool) -> str:
    least = max(NOTICEABLE_CM, SMALLEST_PART * found[0].accounts_for)
    telling = [cause for cause in found if cause.accounts_for >= least][:MOST_CAUSES]
    if not telling:
        tried = listed([cause.name for cause in found])
        return f"What was asked differently ({tried}) hardly moves the head at the top."
    parts = []
    for cause in telling:
        has = f" ({cause.amounts[0]} against {cause.amounts[1]})" if cause.amounts[0] else ""
        parts.append(
            f"{cause.name}{has}{_from_steady(later, cause.name)}: with that of {names[0]} and all else as it is, "
            f"its head would end {head_words(cause.left, inches)}"
        )
    lead = f"What sets {names[1]} apart is" if len(telling) == 1 else f"What sets {names[1]} apart is, one at a time,"
    return f"{lead} {'; and '.join(parts)}."


def _from_steady(side: Performed, piece: str) -> str:
    if piece not in side.swing.steady:
        return ""
    departure = float(np.degrees(side.swing.asked[piece][-1] - side.swing.steady[piece][-1]))
    if abs(departure) < NOTICEABLE_DEG:
        return ""
    return f", {abs(departure):.0f}° {'more' if departure > 0 else 'less'} than would keep this head still"


def _shortfall(side: Performed, name: str) -> list[str]:
    """What the body did not let the swing do, in one sentence, if anything."""
    parts = []
    for piece, asked in side.swing.asked.items():
        if piece.startswith("pelvis_") or piece.endswith("knee_flex"):
            continue  # The same as the pieces, in the room.
        length = piece in ("sway", "thrust", "lead_heel_rise")
        to_border: Callable[[Array], float] = (
            (lambda v: float(v[-1]) * 100) if length else (lambda v: float(np.degrees(v[-1])))
        )
        want, got = to_border(asked), to_border(side.swing.achieved[piece])
        if abs(want - got) >= (NOTICEABLE_CM if length else NOTICEABLE_DEG):
            unit = " cm" if length else "°"
            parts.append(f"{got:.1f}{unit} of {spoken(piece)} where {want:.1f}{unit} were asked")
    return [f"This body's ranges let {name} have {listed(parts)}."] if parts else []


def _inclination(first: Performed, later: Performed, names: tuple[str, str]) -> str:
    parts = []
    for side, name in zip((first, later), names, strict=True):
        seen = np.degrees(side.swing.measures.inclination_down_the_line)
        parts.append(f"from {seen[0]:.0f}° to {seen[-1]:.0f}° in {name}")
    return f"Seen down the line, the trunk's inclination goes {listed(parts)}."
