"""The columns that strikes are shown in, on the page and in the terminal: heading, number and unit together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..words.measures import Measure
from ..words.units import CM_PER_INCH, length_unit

if TYPE_CHECKING:
    from .report import NeckMove, StrikeOutcome, StrikePart, StrikePiece, StruckSwing

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


def one_more(piece: StrikePiece, inches: bool) -> tuple[str, list[str]]:
    """How much more of a piece is counted by, in words, and its cells."""
    if piece.unit == "deg":
        return "1°", cells(piece.one_more, inches, 2)
    return one_length(inches), cells(_of_one_length(piece.one_more, inches), inches, 2)


def neck_cells(move: NeckMove, inches: bool) -> list[str]:
    """Cells of what `one_length` of the neck's base does."""
    return cells(_of_one_length(move.adds, inches), inches, 2)


def one_length(inches: bool) -> str:
    """The length that lengths are counted by."""
    return f"1 {length_unit(inches)}"


def _of_one_length(row: StrikePart, inches: bool) -> StrikePart:
    """What one inch does, of what one centimetre does."""
    if not inches:
        return row
    per_inch = {key: value if value is None else CM_PER_INCH * value for key, value in row}
    return row.replaced(**per_inch)


def cells(row: StrikePart, inches: bool, decimals: int = 1) -> list[str]:
    """A row's numbers as text under `OUTCOMES`, each with its sign; a number that is not there is a dash."""
    return [one.signed(row, inches, decimals) for one in OUTCOMES]
