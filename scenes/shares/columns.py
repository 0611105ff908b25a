"""The columns that shares are shown in, on the page and in the terminal: heading, number and unit together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..words.measures import MEASURES, Measure
from ..words.pieces import told_amount

if TYPE_CHECKING:
    from .report import PieceShare, SharedOutcome

OUTCOMES: tuple[Measure, ...] = tuple(
    MEASURES[key] for key in ("head_toward_target_cm", "head_toward_ball_cm", "head_up_cm", "inclination_deg")
)
"""What is shared out, in the order it is shown."""
ONE_MORE = {"deg": "degree", "cm": "cm"}
"""What a sensitivity is for, by the piece's unit."""


def cells(row: SharedOutcome, inches: bool, decimals: int = 1) -> list[str]:
    """A row's numbers as text under ``OUTCOMES``, each with its sign: they are changes."""
    return [one.signed(row, inches, decimals) for one in OUTCOMES]


def amounts(share: PieceShare, inches: bool) -> tuple[str, str]:
    """What the swing and what the reference asks of a piece, with the unit."""
    return told_amount(share.asked, share.unit, inches), told_amount(share.in_reference, share.unit, inches)
