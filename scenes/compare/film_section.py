"""The film inside the comparison's page: one video of all swings and views, with a way to move it by hand."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ..delivery.progress import Progress
from ..film import film_file
from ..film.layout import GAP, grid
from ..film.reel import Reel, frames, legend
from ..film.timing import DENSE, timing
from ..setups.perform import swing_of
from ..setups.presets import Setup
from ..views.names import VIEW_TITLES, VIEWS, angles_told

FILM_FILE = "film.mp4"
PANE_WIDTH, PANE_HEIGHT = 400, 440
FILM_FRAMES, RATE = 36, 12.0
ENCODING = {"crf": "25", "g": "12"}
"""A whole picture every twelve frames, so that moving it by hand never waits for a long run of changes."""
LEAST_COLUMN = 170


@dataclass(frozen=True)
class PageFilm:
    """A film ready to be put into a page.

    Attributes:
        mp4: the film's file.
        still: the top of the backswing as a JPEG.
        order: for each frame, which moment it shows; the backswing's frames are its moments in order.
        progress: of each moment, 0 at address to 1 at the top.
        rate: frames a second.
        width, height: pixels.
        columns: swings side by side.
        views: of its rows, from the top.
    """

    mp4: bytes
    still: bytes
    order: tuple[int, ...]
    progress: tuple[float, ...]
    rate: float
    width: int
    height: int
    columns: int
    views: tuple[str, ...]

    @property
    def least_column(self) -> int:
        """CSS pixels a swing takes at least; more swings than fit are scrolled sideways."""
        return LEAST_COLUMN

    @property
    def rows_told(self) -> str:
        """Which views it shows, and where."""
        if self.views == VIEWS:
            return "face-on above, down the line below"
        rows = ", ".join(VIEW_TITLES[view].lower() for view in self.views)
        return rows if len(self.views) == 1 else f"row by row {rows}"

    @property
    def angles_told(self) -> str:
        """Which angles are written in it."""
        return angles_told(self.views)


def page_film(setups: Sequence[Setup], views: Sequence[str], folder: Path, progress: Progress) -> PageFilm:
    """Film the swings into ``folder``, a row for each view.

    Raises:
        TurnstillError: where no film can be drawn or encoded.
        OSError: where it cannot be written.
    """
    from PIL import Image

    count = len(setups)
    size = count * (PANE_WIDTH + GAP) - GAP, len(views) * (PANE_HEIGHT + GAP) - GAP
    when = timing(FILM_FRAMES / RATE, RATE)
    swings = [swing_of(setup, DENSE) for setup in setups]
    layout = grid([(swing, view) for view in views for swing in range(count)], count, size)
    file, still = folder / FILM_FILE, io.BytesIO()
    with Reel(swings, [setup.name for setup in setups], layout, size, labels=legend) as reel:
        shown = progress.over(frames(reel, when.picks, when.order), "filming")
        film_file.write_mp4(file, shown, size, when.rate, ENCODING)
        Image.fromarray(reel.draw(when.picks[-1])).save(still, "JPEG", quality=82)
    way = tuple(round(float(share), 4) for share in when.progress)
    return PageFilm(file.read_bytes(), still.getvalue(), when.order, way, when.rate, *size, count, tuple(views))
