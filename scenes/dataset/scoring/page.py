"""A score as one page that needs no network and no second file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...paper.frame import rendered
from .shown import bias_table, tables

if TYPE_CHECKING:
    from .report import ScoreReport


def score_page(report: ScoreReport) -> str:
    """The whole page."""
    return rendered(
        "dataset/scoring/page.html",
        title=f"{report.dataset}, {report.split}: what the detector found",
        sentences=report.sentences,
        notes=report.warnings,
        tables=tables(report),
        bias=bias_table(report),
    )
