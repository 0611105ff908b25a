"""A score as tables in the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...delivery.terminal import render
from .shown import ShownTable, tables

if TYPE_CHECKING:
    from rich.table import Table

    from ...setups.reports import ClosingReport
    from .report import ScoreReport


def score_table(report: ScoreReport) -> str:
    """All but where each joint is put, which page and JSON have."""
    return table(f"{report.dataset}, {report.split}", report, tables(report))


def table(title: str, report: ClosingReport, shown: Sequence[ShownTable]) -> str:
    """A score's sentences and tables."""
    from rich.text import Text

    return render(
        Text(title, style="bold"),
        *(Text(line) for line in report.sentences),
        *(item for one in shown for item in (Text(f"\n{one.caption}", style="dim"), _table(one))),
        *(Text(f"Note: {line}", style="bold") for line in report.warnings),
        Text(report.cautions[0], style="dim"),
    )


def _table(shown: ShownTable) -> Table:
    from rich import box
    from rich.table import Table

    made = Table(box=box.SIMPLE_HEAD, padding=(0, 1), pad_edge=False)
    for k, heading in enumerate(shown.headings):
        made.add_column(heading, justify="left" if k == 0 else "right")
    for row in shown.rows:
        made.add_row(*row)
    return made
