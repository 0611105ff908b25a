"""Films read, as one page: everything of a diagnosis' page, and the fitted golfer over the films' keypoints."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..diagnose.page import shown_of
from ..paper.frame import rendered
from ..words.golfer import golfer_words
from . import drawing
from .words import film_lines

if TYPE_CHECKING:
    from .report import ReadReport


def read_page(report: ReadReport, inches: bool = False) -> str:
    """The whole page.

    Args:
        report: of films.
        inches: lengths in inches.
    """
    shown = shown_of(report, inches)
    shown["who"] = f"{golfer_words(report.body, inches)}; read off where a pose detector saw the golfer"
    return rendered(
        "read/page.html",
        **shown,
        films=film_lines(report, inches),
        panels=drawing.panels(report),
        film_style=drawing.style(),
    )
