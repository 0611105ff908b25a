"""An experiment as tables in the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..delivery.terminal import render
from ..words import cautions
from ..words.golfer import golfer_words, held_words
from .shown import AVAILABLE, NOT_ADVICE, OWN_TURN, ROOM_WORDS, SHOWN, STRAIN_WORDS, TABLE, text_of
from .words import limit_words

if TYPE_CHECKING:
    from rich.table import Table

    from .report import ExperimentReport, TopReport


def experiment_table(report: ExperimentReport, inches: bool = False) -> str:
    """The hip turn there is and what stops it, the swing at the top, and what that means.

    Args:
        report: the experiment.
        inches: lengths in inches.
    """
    from rich.text import Text

    tried = report.experiment
    means = f" ({tried.means})" if tried.means else ""
    who = golfer_words(report.body, inches)
    return render(
        Text(f"{tried.words}{means}, tried in {report.preset} ({who})", style="bold"),
        Text(f"The most hip turn available beside this swing's. {ROOM_WORDS}", style="dim"),
        _room(report),
        Text(
            f"The swing itself, at the top; head and pelvis since address; {held_words(report.head_held, inches)}.",
            style="dim",
        ),
        _measures(report, inches),
        *(Text(line) for line in report.sentences),
        Text(),
        *(Text(f"Note: {line}", style="bold") for line in report.warnings),
        Text(" ".join((NOT_ADVICE, *cautions.CAUTIONS)), style="dim"),
        Text(f"{STRAIN_WORDS} {cautions.ANGLE_ORDER}", style="dim"),
    )


def rows(report: ExperimentReport) -> list[tuple[str, TopReport]]:
    """Every step under its setting, and the swing as it was given last, under its preset's name and own setting."""
    given = report.as_given
    return [*((step.setting, step) for step in report.steps), (f"{report.preset}: {given.setting}", given)]


def _table() -> Table:
    from rich import box
    from rich.table import Table

    return Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)


def _room(report: ExperimentReport) -> Table:
    from rich.text import Text

    table = _table()
    table.add_column(report.experiment.words, no_wrap=True)
    for measure in (AVAILABLE, OWN_TURN):
        table.add_column(" ".join(measure.short), justify="right", no_wrap=True)
    table.add_column("the most is stopped by")
    for label, row in rows(report):
        if row is report.as_given:
            table.add_section()
        turns = (f"{measure.text(row, decimals=0)}°" for measure in (AVAILABLE, OWN_TURN))
        table.add_row(Text(label), *turns, limit_words(row.limited_by))
    return table


def _measures(report: ExperimentReport, inches: bool) -> Table:
    from rich.text import Text

    table = _table()
    table.add_column("\n\n\nat")
    shown = [SHOWN[key] for key in TABLE]
    for measure in shown:
        heading = [*measure.short, *[""] * (3 - len(measure.short)), measure.unit(inches, degree="deg")]
        table.add_column("\n".join(heading), justify="right", no_wrap=True)
    for label, row in rows(report):
        given = row is report.as_given
        if given:
            table.add_section()
        name = Text(report.preset if given else label, overflow="ellipsis", no_wrap=True)
        table.add_row(name, *(text_of(measure, row, inches) for measure in shown))
    return table
