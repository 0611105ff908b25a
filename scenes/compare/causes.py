"""What two swings were asked differently, and what each such thing does to the head.

It is found by trying: each thing asked differently is put back, alone, to what the first swing has, the swing is
simulated again, and what that does to the head at the top is what the thing accounts for. Meanwhile the trunk stays: a
tilt or extension asked for as steady keeps its degrees, or it would follow what was put back and hide it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.swing.swing import Swing
from ..setups import quantities
from ..setups.perform import FEWEST_FRAMES, Performed, Simulation, centred_preset, swing_of
from ..setups.plain_numbers import amount_at_top, in_plain_numbers
from ..setups.presets import Setup
from ..setups.quantities import Entry, Value, section_entries
from ..words.cautions import spoken

_BODY = "the body"
_BODY_SECTIONS = (quantities.BODY_SECTION, quantities.LENGTHS_SECTION, quantities.RANGES_SECTION)


@dataclass(frozen=True)
class Cause:
    """Something two swings were asked differently.

    Attributes:
        name: the piece or quantity in plain words.
        amounts: what the later and the first swing have, and what the later one was given instead when the first
            one's was put back: the same number, or what is steady there. None for the body.
        unit: of the amounts, ``deg`` or ``cm``.
        left: ``(3,)`` cm, where the later swing's head would be at the top with the first one's amount.
        accounts_for: cm by which the head's place at the top changes with it.
    """

    name: str
    amounts: tuple[float, float, float] | None
    unit: str
    left: Array
    accounts_for: float


def head_at_top(swing: Swing) -> Array:
    """``(3,)`` cm since address: toward ball, toward target, up."""
    place: Array = np.asarray(swing.measures.head_moved, float)[-1] * 100
    return place


def causes(first: Performed, later: Performed, by: Simulation | None = None) -> list[Cause]:
    """What was asked differently, by how much of the head's place at the top it accounts for.

    Args:
        first: what is compared with.
        later: what differs from it.
        by: as of `swing_of`.
    """
    there = head_at_top(later.swing)
    found = []
    for entry, trial in _swaps(first, later):
        swing = swing_of(trial, FEWEST_FRAMES, by)
        left = head_at_top(swing)
        amounts = None
        if entry is not None:
            has, had = (amount_at_top(side.swing, entry) for side in (later, first))
            amounts = (has, had, amount_at_top(swing, entry))
        name = spoken(entry.name) if entry else _BODY
        unit = entry.quantity.unit if entry and entry.quantity else ""
        found.append(Cause(name, amounts, unit, left, float(np.linalg.norm(there - left))))
    return sorted(found, key=lambda cause: -cause.accounts_for)


def _swaps(first: Performed, later: Performed) -> Iterator[tuple[Entry | None, Setup]]:
    """Each thing asked differently (no entry for the body), and the later setup with the first one's."""
    mine, other = later.setup, first.setup
    for section in (quantities.PIECES_SECTION, quantities.ADDRESS_SECTION):
        for key, entry in section_entries(section).items():
            value = _given(other, section, key)
            if value != _given(mine, section, key) and entry.quantity:
                yield entry, in_plain_numbers(later).changed(section, key, value)
    if _another_body(first, later):
        own = {section: other.section(section) for section in _BODY_SECTIONS}
        yield None, Setup(mine.name, mine.shows, {**in_plain_numbers(later).values, **own}, mine.timing)


def _given(setup: Setup, section: str, key: str) -> Value | None:
    """What a setup has of a piece or of the address; where it says nothing, the centred preset's amount acts, and with
    the club the one that fits.
    """
    return setup.section(section).get(key, centred_preset().section(section).get(key))


def _another_body(first: Performed, later: Performed) -> bool:
    mine, other = later.swing.body, first.swing.body
    sizes = ((mine.stature, other.stature), (mine.mass, other.mass), (mine.female, other.female))
    named = [(mine.lengths[n], other.lengths[n]) for n in mine.lengths]
    named += [(mine.ranges[n], other.ranges[n]) for n in mine.ranges]
    return not all(np.allclose(a, b, rtol=0.0, atol=1e-9) for a, b in (*sizes, *named))
