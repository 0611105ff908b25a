"""A map as one page that needs no network and no second file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..paper.frame import rendered
from ..words.cautions import spoken
from ..words.golfer import golfer_words, held_words
from ..words.measures import MEASURES
from ..words.units import length_unit
from .drawing import drawing
from .legend import legend
from .table import places
from .words import all_else_words, counted_words, kept_words

if TYPE_CHECKING:
    from .report import MapReport

PANELS = ("head_toward_target_cm", "head_up_cm", "head_toward_ball_cm")
"""Grids of a report that are drawn."""


def map_page(report: MapReport, inches: bool = False) -> str:
    """The whole page.

    Args:
        report: the map.
        inches: lengths in inches.
    """
    over = " and ".join(spoken(axis.piece) for axis in report.axes)
    return rendered(
        "map/page.html",
        title=f"{report.preset}: the head over {over}",
        who=golfer_words(report.body, inches),
        held=held_words(report.head_held, inches),
        counted=counted_words(report),
        sentences=report.sentences,
        notes=report.warnings,
        pieces=over,
        signs=legend(report, inches),
        panels=[
            (f"{MEASURES[key].words} {counted_words(report, key)}", drawing(report, key, inches).encode())
            for key in PANELS
        ],
        unit=length_unit(inches),
        all_else=all_else_words(report),
        kept=kept_words(report, inches),
        places=places(report, inches),
    )
