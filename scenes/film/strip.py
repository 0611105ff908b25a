"""The ``strip`` command's work: moments of one or two swings side by side as one picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from ...model.errors import TurnstillError
from ...model.swing.swing import Swing
from ..delivery.outputs import check_outputs
from ..delivery.progress import Progress
from ..delivery.terminal import tell
from ..delivery.writing import new_file
from ..setups.naming import default_folder
from ..setups.options import TOP, goes_through_impact
from ..views.names import chosen_views
from ..views.shown_swing import shown_at
from ..words.moments import moment_name
from .asked import asked_swings, simulated, tell_notes
from .layout import Pane
from .reel import Frame, Reel
from .timing import DENSE, TO_IMPACT

if TYPE_CHECKING:
    from ...render.pictures.film_labels import Labels
    from ...render.pictures.picture import SwingView

FEWEST_MOMENTS, MOST_MOMENTS = 2, 9
WIDTH, HEIGHT = 360, 450
GAP = 4
ROOM, LINE = 76, 58
"""Height of a band with one line of words, and of each line more."""
TEXT = 100
"""Height of every word on a sheet in 720ths of a column's width: 11 pixels where five columns are 390 wide."""
EDGE = 12
PAPER = (251, 250, 247)
SUFFIX = ".png"


def strip_to(
    names: Sequence[str],
    settings: list[str],
    *,
    moments: int,
    views: str | None,
    out: str | None,
    through: str = TOP,
) -> None:
    """Draw the sheet and write it.

    Raises:
        TurnstillError: for anything a user can mend; no half-written file is then left behind.
    """
    on = goes_through_impact(through)
    setups = asked_swings("strip", names, settings)
    if not FEWEST_MOMENTS <= moments <= MOST_MOMENTS:
        raise TurnstillError(f"--moments was {moments}, but must be a whole number {FEWEST_MOMENTS} to {MOST_MOMENTS}.")
    target = out if out is not None else default_folder(setups) + "-strip" + SUFFIX
    if not target.lower().endswith(SUFFIX):
        raise TurnstillError(f"The sheet is a picture; name a file that ends in {SUFFIX}.")
    seen = chosen_views(views)
    check_outputs({"--out": target})
    picks = picked(moments, on)
    with new_file(target) as part, Progress(len(setups) + moments + 1) as progress:
        swings = simulated(setups, progress, on)
        drawn = sheet(swings, [setup.name for setup in setups], seen, picks, progress)
        from PIL import Image

        with part.open("wb") as file:
            Image.fromarray(drawn).save(file, "PNG")
    tell_notes(setups, swings)
    tell(f"The sheet is {target}")


def picked(moments: int, through_impact: bool) -> list[int]:
    """Numbers of ``moments`` of the ``DENSE``, evenly spread; on through impact the nearest are impact and the top.

    Two are then the address and impact.
    """
    top = DENSE - 1
    ball = top + TO_IMPACT
    spread = np.round(np.linspace(0, ball + TO_IMPACT if through_impact else top, moments)).astype(int).tolist()
    if through_impact:
        # Of two that are as near, impact takes the later and the top the earlier.
        free = list(range(1, moments))
        impact = min(reversed(free), key=lambda k: abs(spread[k] - ball))
        spread[impact] = ball
        free.remove(impact)
        if free:
            spread[min(free, key=lambda k: abs(spread[k] - top))] = top
    return spread


def sheet(
    swings: Sequence[Swing], titles: Sequence[str], views: Sequence[str], picks: Sequence[int], progress: Progress
) -> Frame:
    """``(H, W, 3)``: a column for each moment, a row for each view of each swing, the rows of a view together.

    Args:
        swings: of ``DENSE`` moments.
        titles: their names.
        views: which views.
        picks: the moments.
        progress: told of each column.
    """
    rows = [(swing, view) for view in views for swing in range(len(swings))]
    across = len(picks) * (WIDTH + GAP) - GAP
    headings, layout, height = [], [], ROOM
    for swing, view in rows:
        headings.append(_heading(swings[swing], titles[swing], view, across - 2 * EDGE))
        height += ROOM + LINE * (len(headings[-1]) - 1)
        layout.append(Pane(swing, view, 0, height, WIDTH, HEIGHT))
        height += HEIGHT
    whole = np.full((height, across, 3), PAPER, np.uint8)
    with Reel(swings, titles, layout, (WIDTH, height), labels=_angle, paper=PAPER) as reel:
        for k, moment in enumerate(picks):
            progress.step("drawing")
            whole[:, k * (WIDTH + GAP) : k * (WIDTH + GAP) + WIDTH] = reel.draw(moment)
    return _written(whole, headings, layout, picks)


def _heading(swing: Swing, title: str, view: str, room: float) -> list[str]:
    """A row's words, in lines of at most ``room`` pixels: swing, view, and what the view tells of the address."""
    from ...render.pictures.film_labels import words_at_address
    from ...render.pictures.marks import Marks
    from ...render.pictures.picture import angle_text

    marks = Marks(np.zeros((1, 1, 3), np.uint8), whole_width=WIDTH)

    def fits(words: str) -> bool:
        return marks.text_size(words, size=TEXT)[0] <= room

    shown = shown_at(swing, title, view)
    parts = [shown.title, shown.view, *(angle_text(*told) for told in words_at_address(shown).items())]
    lines: list[str] = []
    for part in (_cut(part, fits) for part in parts):
        if lines and fits(f"{lines[-1]}, {part}"):
            lines[-1] += f", {part}"
        else:
            lines.append(part)
    return lines


def _cut(words: str, fits: Callable[[str], bool]) -> str:
    if fits(words):
        return words
    return next((cut for end in range(len(words) - 1, 0, -1) if fits(cut := f"{words[:end].rstrip()}…")), "…")


def _written(whole: Frame, headings: Sequence[Sequence[str]], layout: Sequence[Pane], picks: Sequence[int]) -> Frame:
    from ...render.palette import INK
    from ...render.pictures.marks import Marks

    with Marks(whole, whole_width=WIDTH) as marks:
        for k, moment in enumerate(picks):
            place = (k * (WIDTH + GAP) + WIDTH / 2, ROOM / 2)
            marks.text(place, _name(moment), INK, size=TEXT, bold=True, anchor="mm")
        for lines, pane in zip(headings, layout, strict=True):
            for k, words in enumerate(lines):
                # Lines stand next to the pictures that they name.
                down = pane.top - ROOM / 2 - LINE * (len(lines) - 1 - k)
                marks.text((EDGE, down), words, INK, size=TEXT)
    return np.asarray(marks.result)


def _angle(shown: SwingView) -> Labels:
    from ...render.pictures.film_labels import CornerAngle

    return CornerAngle(TEXT, shown.left_handed)


def _name(moment: int) -> str:
    top = DENSE - 1
    return moment_name(moment / top if moment <= top else 1.0 + (moment - top) / TO_IMPACT)
