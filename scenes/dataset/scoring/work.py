"""Scoring what was made of a data set's pictures."""

from __future__ import annotations

from pathlib import Path

from ...delivery.deliver import deliver
from ..checking.sound import sound_labels
from ..layout.reading import open_dataset
from .judged import Judged
from .outputs import NUMBERS_FILE, check_score_outputs
from .precision import SIGMAS, precision, require_coco
from .report import ScoreReport
from .results import best_of_each, read_results, read_sigmas
from .truth import Truth


def score_to(
    folder: str, results: str, *, split: str, json_file: str | None, out: str | None, sigmas: str | None = None
) -> None:
    """Score a results file on a split; print it, and write it as JSON and as a page where asked.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    from .page import score_page
    from .table import score_table

    check_score_outputs(folder, [results, *([sigmas] if sigmas is not None else [])], json_file, out)
    report = score_keypoints(folder, results, split=split, sigmas=sigmas)
    deliver(
        report, lambda: score_page(report), lambda: score_table(report), numbers_file=NUMBERS_FILE,
        json_file=json_file, out=out,
    )  # fmt: skip


def score_keypoints(
    folder: str | Path, results: str | Path, *, split: str = "test", sigmas: str | Path | None = None
) -> ScoreReport:
    """How near a pose detector came.

    Args:
        folder: the data set's.
        results: COCO keypoint results, JSON.
        split: of which pictures they are.
        sigmas: a JSON file of own sigmas for the average precision: all seventeen keypoints' names to numbers.

    Raises:
        TurnstillError: for a data set that is not whole, a split there is not, or results that are none of it.
    """
    require_coco()
    own = read_sigmas(str(sigmas)) if sigmas is not None else dict(SIGMAS)
    made = open_dataset(folder)
    labels = sound_labels(made, split)
    found = read_results(str(results), len(labels))
    best = best_of_each(found)
    judged = Judged.of(Truth.of(labels), best)
    name = str(made.request.get("name", ""))
    return ScoreReport.of(judged, precision(labels, found, own), len(found) - len(best), own, name, split)
