"""A score as one page that needs no network and no second file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from ...paper.frame import rendered
from .shown import ShownTable, bias_table, tables

if TYPE_CHECKING:
    from markupsafe import Markup

    from ...setups.reports import ClosingReport
    from .report import ScoreReport


class ShownChart(NamedTuple):
    """A chart of a score.

    Attributes:
        caption: what it shows.
        svg: the chart.
        keys: how each of its lines is drawn, and what it is of.
    """

    caption: str
    svg: Markup
    keys: Sequence[tuple[Markup, str]]


def score_page(report: ScoreReport) -> str:
    """The whole page of a detector."""
    title = f"{report.dataset}, {report.split}: what the detector found"
    return page(title, report, tables(report), [bias_table(report)])


def page(
    title: str,
    report: ClosingReport,
    shown: Sequence[ShownTable],
    folded: Sequence[ShownTable] = (),
    charts: Sequence[ShownChart] = (),
) -> str:
    """A page of tables, then charts; tables that are long come last and are folded."""
    return rendered(
        "dataset/scoring/page.html",
        title=title,
        sentences=report.sentences,
        notes=report.warnings,
        tables=shown,
        folded=folded,
        charts=charts,
    )
