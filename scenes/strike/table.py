"""Strikes as tables in the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..delivery.measure_table import measure_table
from ..delivery.terminal import render
from ..words import cautions
from ..words.at_impact import SIGNS
from ..words.golfer import golfer_words
from ..words.pieces import ALL_ELSE_STAYS, NAMES, signed_amount
from .columns import OUTCOMES, cells, is_off, one_more, strikes
from .words import LEFT_OUT, held_words

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

    from .report import StrikeReport, StruckSwing


def strike_table(report: StrikeReport, inches: bool = False) -> str:
    """Each swing's strike beside the centred one, what each piece did, and a sentence or two.

    Args:
        report: the strikes.
        inches: lengths in inches.
    """
    from rich.text import Text

    parts: list[RenderableType] = []
    for swing in report.swings:
        shows = f": {swing.shows}" if swing.shows else ""
        parts += [
            Text(f"{swing.preset}{shows} ({golfer_words(swing.body, inches)})", style="bold"),
            Text(held_words(swing, inches), style="dim"),
            _strikes(swing, inches),
            Text(f"What each piece does at impact, {ALL_ELSE_STAYS}.", style="dim"),
            _pieces(swing, inches),
            Text(SIGNS, style="dim"),
            *(Text(line) for line in swing.sentences),
            Text(),
        ]
    return render(
        *parts,
        *(Text(line) for line in report.sentences),
        *(Text(f"Note: {line}", style="bold") for line in dict.fromkeys(report.warnings)),
        Text(LEFT_OUT, style="dim"),
        Text(cautions.ANGLE_ORDER, style="dim"),
        Text(" ".join(cautions.CAUTIONS), style="dim"),
    )


def _strikes(swing: StruckSwing, inches: bool) -> Table:
    table = measure_table(OUTCOMES, inches, "at the ball")
    for name, row in strikes(swing):
        table.add_row(name, *cells(row, inches))
    return table


def _pieces(swing: StruckSwing, inches: bool) -> Table:
    table = measure_table(OUTCOMES, inches, "piece", "off at\nimpact")
    for one in filter(is_off, swing.pieces_at_impact):
        table.add_row(NAMES[one.piece], signed_amount(one.beyond_centred, one.unit, inches), *cells(one.share, inches))
    table.add_section()
    for one in swing.pieces_at_impact:
        per, does = one_more(one, inches)
        table.add_row(f"{per} more {NAMES[one.piece]}", "", *does)
    return table
