"""What is said of a swing that was set otherwise than the preset it comes from: it need not show what that shows."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING

from ...model.golfer.arm_swing import ArmSwing
from ...model.golfer.impact import IMPACT, Impact
from ...model.golfer.pieces import PIECES, departs, plain
from ..words.cautions import listed, spoken
from .quantities import (
    ARMS_SECTION,
    BODY_SECTION,
    HEAD_SECTION,
    IMPACT_SECTION,
    LENGTHS_SECTION,
    RANGES_SECTION,
    Departure,
    Entry,
    Value,
    entries,
    section_entries,
    to_border,
)

if TYPE_CHECKING:
    from .presets import Setup

MOST_NAMED = 4
_OF_THE_GOLFER = (BODY_SECTION, LENGTHS_SECTION, RANGES_SECTION)
"""Who swings is told beside the swing, and is no other swing."""


def set_otherwise(setup: Setup, base: Setup) -> str:
    """What of a swing is not as in the base, for example ``with extension and hip turn changed``; empty if nothing is.

    Args:
        setup: the swing.
        base: what it was before it was changed.
    """
    names = [
        _called(entry)
        for entry in entries()
        if entry.section not in _OF_THE_GOLFER
        and any(entry.key in one.section(entry.section) for one in (setup, base))
        and _value(setup, entry) != _value(base, entry)
    ]
    names += ["timing"] if setup.timing != base.timing else []
    if not names:
        return ""
    rest = len(names) - MOST_NAMED
    return f"with {listed([*names[:MOST_NAMED], *([f'{rest} more'] if rest > 0 else [])])} changed"


@cache
def usual_at_impact() -> Mapping[str, Value]:
    """What is asked at impact where nothing is said of it, by key; of the head nothing."""
    usual, found = Impact(), {}
    for key, entry in section_entries(IMPACT_SECTION).items():
        if entry.quantity is None or entry.bare not in (*PIECES, *IMPACT):
            continue
        value = getattr(usual if entry.bare in IMPACT else usual.pieces, entry.bare)
        found[key] = Departure() if departs(value) else round(to_border(entry.quantity.unit, plain(value)), 6)
    return found


def given_at_impact(setup: Setup) -> dict[str, float | str]:
    """What a swing is asked at impact, by key, as it is written; what it does not name is the centred golfer's."""
    said = setup.section(IMPACT_SECTION)
    values = {key: said.get(key, usual) for key, usual in usual_at_impact().items()}
    return {key: value if isinstance(value, int | float) else str(value) for key, value in values.items()}


def _value(setup: Setup, entry: Entry) -> Value | None:
    return setup.section(entry.section).get(entry.key, _usual(setup, entry))


def _usual(setup: Setup, entry: Entry) -> Value | None:
    """What stands for a quantity of which a swing says nothing; the head is wanted at impact where it is at the top."""
    if entry.section == HEAD_SECTION:
        return 0.0
    if entry.section == IMPACT_SECTION and (of_head := entry.key.removeprefix("head_")) != entry.key:
        return setup.section(HEAD_SECTION).get(of_head, 0.0)
    if entry.section == ARMS_SECTION and entry.quantity is not None:
        return round(to_border(entry.quantity.unit, plain(getattr(ArmSwing(), entry.bare))), 6)
    return usual_at_impact().get(entry.key) if entry.section == IMPACT_SECTION else None


def _called(entry: Entry) -> str:
    name = spoken(entry.bare)
    if entry.section == IMPACT_SECTION:
        return f"{name} at impact"
    return f"head {name}" if entry.section == HEAD_SECTION else name
