"""Shares as tables in the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..delivery.terminal import render
from ..words import cautions
from ..words.golfer import golfer_words
from ..words.pieces import ALL_ELSE_STAYS, NAMES
from .columns import ONE_MORE, OUTCOMES, amounts, cells
from .words import reference_words

if TYPE_CHECKING:
    from rich.table import Table

    from .report import SharesReport


def shares_table(report: SharesReport, inches: bool = False) -> str:
    """What each piece did, what a little more of it would do, and a sentence or two.

    Args:
        report: the shares.
        inches: lengths in inches.
    """
    from rich.text import Text

    shows = f": {report.shows}" if report.shows else ""
    return render(
        Text(f"{report.preset}{shows} ({golfer_words(report.body, inches)})", style="bold"),
        Text(f"Shares of the head's place at the top, against {reference_words(report)}.", style="dim"),
        _shares(report, inches),
        Text(f"How far the head goes for a little more of each piece from here, {ALL_ELSE_STAYS}.", style="dim"),
        _sensitivities(report, inches),
        *(Text(line) for line in report.sentences),
        Text(),
        *(Text(f"Note: {line}", style="bold") for line in report.warnings),
        Text(cautions.ANGLE_ORDER, style="dim"),
        Text(" ".join(cautions.CAUTIONS), style="dim"),
    )


def _table(inches: bool, *firsts: str) -> Table:
    """A table with columns of its own, then what is shared out."""
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1), pad_edge=False)
    for k, heading in enumerate(firsts):
        table.add_column(heading, justify="left" if k == 0 else "right", no_wrap=True)
    for one in OUTCOMES:
        lines = [*one.short, *[""] * (3 - len(one.short)), one.unit(inches, degree="deg")]
        table.add_column("\n".join(lines), justify="right", no_wrap=True)
    return table


def _shares(report: SharesReport, inches: bool) -> Table:
    table = _table(inches, "piece at the top", "this\nswing", "refer-\nence")
    for share in report.shares:
        table.add_row(NAMES[share.piece], *amounts(share, inches), *cells(share, inches))
    table.add_section()
    table.add_row("together", "", "", *cells(report.total, inches))
    return table


def _sensitivities(report: SharesReport, inches: bool) -> Table:
    table = _table(inches, "one more", "of")
    for row in report.sensitivities:
        table.add_row(ONE_MORE[row.per], NAMES[row.piece], *cells(row, inches, 2))
    return table
