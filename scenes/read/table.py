"""Films read, as tables in the terminal: the films' moments and cameras, then the diagnosis."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...model.films.film_sides import IN_WORDS
from ..delivery.terminal import render
from ..diagnose.table import diagnose_table
from ..words.pieces import NAMES
from ..words.units import CM_PER_INCH, length_unit, shown_length

if TYPE_CHECKING:
    from .report import ReadReport


def read_table(report: ReadReport, inches: bool = False) -> str:
    """The films, the pieces as fitted, and the diagnosis.

    Args:
        report: of films.
        inches: lengths in inches.
    """
    from rich import box
    from rich.table import Table

    films = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)
    unit = length_unit(inches)
    headings = (
        "film",
        "address\nframe",
        "top\nframe",
        "sd\nms",
        "off\nsquare °",
        f"distance\n{unit}",
        f"off by\n{unit}",
    )
    for k, heading in enumerate(headings):
        films.add_column(heading, justify="left" if k == 0 else "right", no_wrap=True)
    for view, moment in report.moments.items():
        camera = report.cameras[view]
        films.add_row(
            IN_WORDS[view], f"{moment.address_frame:.0f}", f"{moment.top_frame:.1f}",
            f"{1e3 * moment.top_sd_s:.0f}", f"{camera.off_square_deg:+.0f}", _plain(camera.distance_cm, inches),
            _plain(camera.off_by_cm, inches),
        )  # fmt: skip
    pieces = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)
    for k, heading in enumerate(("piece as fitted", "amount", "sd", "")):
        pieces.add_column(heading, justify="left" if k in (0, 3) else "right", no_wrap=True)
    for one in report.pieces_fitted:
        length = one.unit == "cm"
        amount = shown_length(one.value, inches) if length else f"{one.value:.1f}"
        sd = _plain(one.sd, inches) if length else f"{one.sd:.1f}"
        pieces.add_row(NAMES[one.piece], amount, sd, unit if length else "°")
    return render(films, pieces) + diagnose_table(report, inches)


def _plain(length_cm: float, inches: bool) -> str:
    """A length that has no direction."""
    return f"{length_cm / CM_PER_INCH if inches else length_cm:.1f}"
