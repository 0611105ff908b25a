"""A map as a table, and in the terminal."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..delivery.terminal import render
from ..words import cautions
from ..words.cautions import capital, spoken
from ..words.golfer import golfer_words, held_words
from ..words.pieces import told_amount
from ..words.units import length_unit, shown_length
from .words import all_else_words, counted_words

if TYPE_CHECKING:
    from rich.table import Table

    from .report import MapAxis, MapReport

COLUMNS, ROWS = 5, 9
"""Places shown; files hold them all."""


@dataclass(frozen=True)
class Cell:
    """One place as it is shown.

    Attributes:
        text: the head toward the target and up.
        kind: ``still``, ``out`` where the joints do not allow it, or nothing.
    """

    text: str
    kind: str

    @property
    def marked(self) -> str:
        """With a star where it is still, brackets where it is not allowed, and room for them where neither."""
        return {"out": f"({self.text})", "still": f"*{self.text} "}.get(self.kind, f"{self.text} ")


@dataclass(frozen=True)
class Places:
    """Some places of a map, the highest row first.

    Attributes:
        corner: what goes upward and across.
        heads: amounts across.
        rows: an amount upward with its cells.
    """

    corner: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]


def some(count: int, most: int) -> list[int]:
    """Indices evenly spread over a map's side, both ends and the middle among them."""
    if count <= most:
        return list(range(count))
    return [round(k * (count - 1) / (most - 1)) for k in range(most)]


def places(report: MapReport, inches: bool = False) -> Places:
    """The places that are shown of a map.

    Args:
        report: the map.
        inches: lengths in inches.
    """

    def amount(axis: MapAxis, k: int) -> str:
        return told_amount(axis.values[k], axis.unit, inches)

    columns, rows = some(len(report.x.values), COLUMNS), some(len(report.y.values), ROWS)
    return Places(
        f"{spoken(report.y.piece)} \\ {spoken(report.x.piece)}",
        tuple(amount(report.x, column) for column in columns),
        tuple(
            (amount(report.y, row), tuple(_cell(report, row, column, inches) for column in columns))
            for row in reversed(rows)
        ),
    )


def _cell(report: MapReport, row: int, column: int, inches: bool) -> Cell:
    target, up = (
        shown_length(report.from_wanted(measure)[row, column], inches)
        for measure in ("head_toward_target_cm", "head_up_cm")
    )
    kind = "out" if not report.reached[row][column] else "still" if report.still[row][column] else ""
    return Cell(f"{target} {up}", kind)


def map_table(report: MapReport, inches: bool) -> str:
    """Some of the map's places, and what that means.

    Args:
        report: the map.
        inches: lengths in inches.
    """
    from rich.text import Text

    x, y = (spoken(axis.piece) for axis in report.axes)
    return render(
        Text(f"{report.preset}: {x} and {y} ({golfer_words(report.body, inches)})", style="bold"),
        Text(
            f"{capital(held_words(report.head_held, inches))}. The head at the top {counted_words(report)}: toward the "
            f"target and up, {length_unit(inches)}. Across {x}, upward {y}; "
            f"{all_else_words(report)}. * the head is still; (in brackets) the joints do not allow it.",
            style="dim",
        ),
        _table(places(report, inches)),
        *(Text(line) for line in report.sentences),
        Text(),
        *(Text(f"Note: {line}", style="bold") for line in report.warnings),
        Text(cautions.ANGLE_ORDER, style="dim"),
        Text(" ".join(cautions.CAUTIONS), style="dim"),
    )


def _table(shown: Places) -> Table:
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)
    for head in ("", *shown.heads):
        table.add_column(head, justify="right", no_wrap=True)
    for amount, cells in shown.rows:
        table.add_row(amount, *(cell.marked for cell in cells))
    return table
