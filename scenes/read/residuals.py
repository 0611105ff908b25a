"""How far each keypoint of the films is from where the fitted golfer has it, as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...model.films.film_sides import IN_WORDS
from ..diagnose.page import ShownTable
from ..paper.tables import ShownRow
from .drawing import MOMENTS

if TYPE_CHECKING:
    from .report import ReadReport


def residual_table(report: ReadReport) -> ShownTable:
    """A row for each keypoint, a column for each film and moment."""
    columns = [(view, moment) for view in report.moments for moment in MOMENTS]
    off = {(one.keypoint, one.view, one.moment): one.off_sd for one in report.keypoints}
    names = list(dict.fromkeys(one.keypoint for one in report.keypoints))
    return ShownTable(
        "", "",
        ("keypoint", *(f"{IN_WORDS[view]}, {MOMENTS[moment]}" for view, moment in columns)),
        tuple(
            ShownRow(name.replace("_", " "), "", [_told(off.get((name, *column))) for column in columns])
            for name in names
        ),
    )  # fmt: skip


def _told(sd: float | None) -> str:
    return "none" if sd is None else f"{sd:.1f}"
