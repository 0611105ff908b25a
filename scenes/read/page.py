"""Films read, as one page: the films with the fitted golfer over them, and everything of a diagnosis' page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ..diagnose.page import shown_of
from ..paper.frame import rendered
from ..words.golfer import golfer_words
from . import drawing
from .residuals import residual_table
from .words import film_lines, whose_pictures

if TYPE_CHECKING:
    from .panel_pictures import PanelPicture
    from .report import ReadReport


def read_page(
    report: ReadReport,
    pictures: Mapping[tuple[str, str], PanelPicture],
    inches: bool = False,
    go_on: Sequence[tuple[str, str]] = (),
) -> str:
    """The whole page.

    Args:
        report: of films.
        pictures: by view and moment, what lies behind the drawings.
        inches: lengths in inches.
        go_on: what one may do next, and the command that does it.
    """
    shown = shown_of(report, inches, go_on)
    shown["who"] = f"{golfer_words(report.body, inches)}; read off where a pose detector saw the golfer"
    return rendered(
        "read/page.html",
        **shown,
        films=film_lines(report, inches),
        panels=drawing.panels(report, pictures),
        residuals=residual_table(report),
        whose_pictures=whose_pictures([view for view, _ in pictures if pictures[view, "top"].film]),
        film_style=drawing.style(),
    )
