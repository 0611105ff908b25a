"""Which piece a sheet is about, and by how much it is to change.

Where nobody names one it is the piece that did most of where the head went, by the shares of its departures
(`model.questions.shares`), and it is to come to what holds the head: tilt and extension to what keeps the head still in
this very turn, any other piece to the centred turn's amount.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ...model.chain.steady import STILL_M
from ...model.errors import TurnstillError
from ...model.golfer.pieces import DEPARTURES, MAY_BE_STEADY, PIECES
from ...model.questions.felt import felt
from ...model.questions.shares import shares
from ..setups.perform import Performed
from ..setups.quantities import IMPACT_SECTION, PIECES_SECTION, echo, nearest, read_number, to_border, to_model
from ..setups.settings import find
from ..words.cautions import NOTICEABLE_CM, NOTICEABLE_DEG
from ..words.pieces import NAMES, told_amount
from .words import IMPACT_ELSEWHERE

_LEAST = {"deg": NOTICEABLE_DEG, "cm": NOTICEABLE_CM}
"""A change below this is none."""
_WITH_A_FEEL = "turnstill sheet with a piece"
"""Whoever makes a sheet out of a page has no such option there, so the command is named with it."""
ENOUGH = 0.5
"""So much of what a piece cost the head it must bring back alone to be the one to feel (our choice)."""


@dataclass(frozen=True)
class Choice:
    """What is to change.

    Attributes:
        piece: of ``DEPARTURES``.
        change: how much more of it, rad or m; less where it is negative.
        by_head: whether the head says so, and nobody named the piece.
        to_what_holds: whether it changes to what holds the head, and nobody named an amount.
    """

    piece: str
    change: float
    by_head: bool
    to_what_holds: bool = True


def chosen_by_head(performed: Performed) -> Choice:
    """The piece that cost the head most, of those that bring back at least half of that when put right alone.

    Where several pieces depart, one put right alone may do little: the others still act, and turn what it does about.

    Raises:
        TurnstillError: where no departure moved the head noticeably, or none alone brings it back.
    """
    found = shares(performed.swing, timing=performed.setup.timing or None)
    total = found.total[-1, :3]
    moved = float(np.linalg.norm(total))
    name = echo(performed.setup.name)
    if moved <= STILL_M:
        on = f" ({IMPACT_ELSEWHERE})" if performed.setup.section(IMPACT_SECTION) else ""
        raise TurnstillError(
            f"No piece of {name} moves the head enough to be felt at the top, which is all that a sheet knows{on}; for "
            f"one all the same run {_WITH_A_FEEL} and an amount, such as --feel extension=8."
        )
    cost = found.share[-1, :, :3] @ (total / moved)
    for k in np.argsort(-cost):
        piece, change = DEPARTURES[k], to_what_holds(performed, DEPARTURES[k])
        if cost[k] >= NOTICEABLE_CM / 100.0 and _noticeable(piece, change):
            left = float(np.linalg.norm(total + felt(performed.swing, piece, change).head))
            if moved - left >= ENOUGH * cost[k]:
                return Choice(piece, change, by_head=True)
    raise TurnstillError(
        f"No piece of {name} brings the head back to where it belongs at the top when it alone is put right; see "
        f"turnstill shares for what each did, and run {_WITH_A_FEEL}, such as --feel extension."
    )


def chosen_by_name(performed: Performed, given: Sequence[str]) -> Choice:
    """The piece named, such as ``extension`` or ``extension=8``.

    Raises:
        TurnstillError: for more than one, an unknown piece, an amount that cannot be, or none where there is nothing to
            put right.
    """
    if len(given) != 1:
        raise TurnstillError(f"--feel was given {len(given)} times, but a sheet has one feel; make a sheet of each.")
    name, equals, amount = given[0].partition("=")
    piece = _piece(name)
    unit = PIECES[piece].unit
    if equals:
        change = to_model(unit, _amount("--feel", amount, unit))
    else:
        change = to_what_holds(performed, piece)
        if not _noticeable(piece, change):
            raise TurnstillError(
                f"{NAMES[piece].capitalize()} is already what holds the head, so say how much to change it: --feel "
                f"{piece}={'8' if unit == 'deg' else '3'}."
            )
    quantity = PIECES[piece]
    asked = to_border(unit, performed.swing.asked[piece][-1] + change)
    if not quantity.low <= asked <= quantity.high:
        raise TurnstillError(
            f"--feel would take {NAMES[piece]} to {told_amount(asked, unit)}, but it must stay between "
            f"{quantity.low:g} and {quantity.high:g} {unit}; give a smaller amount."
        )
    return Choice(piece, change, by_head=False, to_what_holds=not equals)


def to_what_holds(performed: Performed, piece: str) -> float:
    """How much more of a piece there would have to be at the top, rad or m."""
    held = performed.swing.steady[piece] if piece in MAY_BE_STEADY else performed.centred.asked[piece]
    return float(held[-1] - performed.swing.asked[piece][-1])


def read_felt(text: str, choice: Choice) -> float:
    """What is to be felt, rad or m, the same way as the change.

    Raises:
        TurnstillError: for what is no such amount.
    """
    unit = PIECES[choice.piece].unit
    felt = to_model(unit, _amount("--felt", text, unit))
    if felt * choice.change < 0.0:
        way = "more" if choice.change > 0.0 else "less"
        raise TurnstillError(
            f"--felt was {echo(text)}, but {NAMES[choice.piece]} is to become {way}; give --felt the sign of --feel."
        )
    return felt


def _piece(name: str) -> str:
    """A piece by its name, with or without its unit.

    Raises:
        TurnstillError: for another name.
    """
    try:
        entry = find(name)
    except TurnstillError:
        entry = None
    if entry is None or entry.section != PIECES_SECTION or entry.name not in DEPARTURES:
        cleaned = name.strip().lower().replace("-", "_")
        raise TurnstillError(
            f"--feel was {echo(name)}, but must be one of {', '.join(DEPARTURES)}, or one with an amount such as "
            f"extension=8.{nearest(cleaned, DEPARTURES)}"
        )
    return entry.name


def _amount(option: str, text: str, unit: str) -> float:
    """An amount in its unit at the border, not so little that nobody would notice it.

    Raises:
        TurnstillError: for what is none.
    """
    amount = read_number(option, text, unit)[0]
    if not (_LEAST[unit] <= abs(amount) <= _MOST[unit]):
        raise TurnstillError(
            f"{option} was {echo(text)}, but must be from {_LEAST[unit]:g} to {_MOST[unit]:g} {unit}, with a minus for "
            "less of the piece."
        )
    return amount


_MOST = {"deg": 60.0, "cm": 20.0}
"""A change beyond this is a slip of the hand (our choice)."""


def _noticeable(piece: str, change: float) -> bool:
    unit = PIECES[piece].unit
    return abs(to_border(unit, change)) >= _LEAST[unit]
