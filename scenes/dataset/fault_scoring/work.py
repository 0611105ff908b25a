"""Scoring what a classifier said of a data set's swings."""

from __future__ import annotations

from pathlib import Path

from ...delivery.deliver import deliver
from ..layout.names import swing_of
from ..layout.reading import open_dataset
from ..scoring.outputs import NUMBERS_FILE, check_score_outputs
from ..scoring.page import page
from ..scoring.table import table
from .answers import read_answers
from .chart import reliability_chart
from .judged import Judged
from .report import FaultsReport
from .shown import tables
from .swings import swings_of


def score_faults_to(folder: str, results: str, *, split: str, json_file: str | None, out: str | None) -> None:
    """Score a table of answers on a split; print it, and write it as JSON and as a page where asked.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    check_score_outputs(folder, [results], json_file, out)
    report = score_faults(folder, results, split=split)
    title = f"{report.dataset}, {report.split}"
    deliver(
        report, lambda: faults_page(report), lambda: table(title, report, tables(report)),
        numbers_file=NUMBERS_FILE, json_file=json_file, out=out,
    )  # fmt: skip


def faults_page(report: FaultsReport) -> str:
    """The whole page of a classifier of faults."""
    chart = reliability_chart(report.reliability)
    title = f"{report.dataset}, {report.split}: what the classifier said"
    return page(title, report, tables(report), charts=[] if chart is None else [chart])


def score_faults(folder: str | Path, results: str | Path, *, split: str = "test") -> FaultsReport:
    """How well a classifier tells the faults of a data set's swings.

    Args:
        folder: the data set's.
        results: a CSV file: a column ``swing``, one of probabilities for each of ``DEPARTURES``, and ``none`` where a
            row is one distribution over no fault and each single fault.
        split: of which swings it is.

    Raises:
        TurnstillError: for a data set that is not whole, a split there is not, or answers that are none of it.
    """
    made = open_dataset(folder)
    swings = swings_of(made, split)

    def elsewhere(name: str) -> bool:
        return any(swing_of(key) == name for one in made.splits if one != split for key in made.keys(one))

    answers = read_answers(str(results), swings.names, elsewhere, split)
    return FaultsReport.of(Judged(swings, answers), str(made.request.get("name", "")), split)
