"""Shares as tables in the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..delivery.measure_table import measure_table
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


def _shares(report: SharesReport, inches: bool) -> Table:
    table = measure_table(OUTCOMES, inches, "piece at the top", "this\nswing", "refer-\nence")
    for share in report.shares:
        table.add_row(NAMES[share.piece], *amounts(share, inches), *cells(share, inches))
    table.add_section()
    table.add_row("together", "", "", *cells(report.total, inches))
    return table


def _sensitivities(report: SharesReport, inches: bool) -> Table:
    table = measure_table(OUTCOMES, inches, "one more", "of")
    for row in report.sensitivities:
        table.add_row(ONE_MORE[row.per], NAMES[row.piece], *cells(row, inches, 2))
    return table
