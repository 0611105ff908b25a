"""A diagnosis as tables in the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..delivery.terminal import render
from ..words import cautions
from ..words.cautions import capital
from ..words.golfer import golfer_words, held_words
from ..words.pieces import NAMES
from ..words.units import percent
from .columns import FROM_CENTRED, FROM_HOLD, HIGH, LIKELY, LOW, read_columns
from .readings import KINDS
from .words import either_way, explanation, when

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

    from .report import DiagnosisReport, MomentDiagnosis


def diagnose_table(report: DiagnosisReport, inches: bool = False) -> str:
    """What was read at each moment, what it says of every piece, and the sentences.

    Args:
        report: the diagnosis.
        inches: lengths in inches.
    """
    from rich.text import Text

    moments: list[RenderableType] = []
    for one in report.diagnoses:
        held = Text(f"{capital(when(one).at)}: {held_words(one.head_held, inches)}.", style="dim")
        moments += [held, _readings(one, inches)]
        if one.fits:
            moments += [_pieces(one, inches), Text(_below(one), style="dim")]
        moments += [Text(), *(Text(line) for line in one.sentences), Text()]
    return render(
        Text(f"What moved the head ({golfer_words(report.body, inches)})", style="bold"),
        *moments,
        *(Text(f"Note: {line}", style="bold") for line in report.warnings),
        Text(" ".join(cautions.CAUTIONS), style="dim"),
    )


def _below(report: MomentDiagnosis) -> str:
    return (
        f"as explained: with {explanation(report)}, which these readings make likeliest. at fault: probability. if so: "
        "the departure if it is at fault, with 90 % between the two that follow. from hold: the departure as "
        "explained, from what holds the head for the turn that was made; from centred: the same from "
        f"{when(report).centred}. {when(report).signs}"
    ).rstrip()


def _table(*headings: str) -> Table:
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)
    for k, heading in enumerate(headings):
        table.add_column(heading, justify="left" if k == 0 else "right", no_wrap=True)
    return table


def _readings(report: MomentDiagnosis, inches: bool) -> Table:
    columns = read_columns(report)
    table = _table(f"read {when(report).at}", *(column.short for column in columns))
    for one in report.readings:
        table.add_row(KINDS[one.reading].words, *(column.text(one, inches) for column in columns))
    return table


def _pieces(report: MomentDiagnosis, inches: bool) -> Table:
    ends, counted = (LOW, HIGH), (FROM_HOLD, FROM_CENTRED)
    table = _table("piece", "at\nfault", *(column.short for column in (LIKELY, *ends, *counted)))
    departures = {one.piece: one for one in report.departures}
    for one in report.each_piece:
        likely = "either way" if either_way(one) else LIKELY.text(one, inches)
        cells = [column.text(one, inches) for column in ends]
        cells += [column.text(departures[one.piece], inches) for column in counted]
        table.add_row(NAMES[one.piece], percent(one.probability), likely, *cells)
    return table
