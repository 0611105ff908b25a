"""The columns that strikes are shown in, on the page and in the terminal: heading, number and unit together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..words.measures import Measure

if TYPE_CHECKING:
    from .report import StrikeOutcome, StrikePiece, StruckSwing

OUTCOMES: tuple[Measure, ...] = (
    Measure("low_point_ahead_cm", "low point past the ball", ("low", "point", "past")),
    Measure("low_point_up_cm", "low point up", ("low", "point", "up")),
    Measure("club_up_at_ball_cm", "club up at the ball", ("club", "up at", "ball")),
    Measure("club_out_at_ball_cm", "club out at the ball", ("club", "out at", "ball")),
    Measure("descent_deg", "going down there", ("goes", "down")),
    Measure("outward_deg", "going off the line, outward", ("goes", "out-", "ward")),
)
"""What a strike comes to, in the order it is shown."""


SAME = 1e-4
"""Degrees or cm at impact beyond the centred swing that count as none."""


def strikes(swing: StruckSwing) -> list[tuple[str, StrikeOutcome]]:
    """The strike, and those that it is held against."""
    rows: list[tuple[str, StrikeOutcome]] = [("this swing", swing.strike), ("centred swing", swing.centred)]
    return rows if swing.from_address is None else [*rows, ("head as at address", swing.from_address)]


def is_off(piece: StrikePiece) -> bool:
    """Whether a piece is off at impact."""
    return abs(piece.beyond_centred) > SAME


def cells(row: StrikeOutcome, inches: bool, decimals: int = 1) -> list[str]:
    """A row's numbers as text under `OUTCOMES`, each with its sign; a number that is not there is a dash."""
    return [one.signed(row, inches, decimals) for one in OUTCOMES]
