"""The ``strip`` command's work: moments of one or two swings side by side as one picture."""

from __future__ import annotations

from collections.abc import Sequence
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
from .asked import asked_swings, simulated, tell_notes
from .layout import Pane
from .reel import Frame, Reel
from .timing import DENSE, TO_IMPACT

if TYPE_CHECKING:
    from ...render.pictures.film_labels import Labels
    from ...render.pictures.marks import Marks
    from ...render.pictures.picture import SwingView

FEWEST_MOMENTS, MOST_MOMENTS = 2, 9
WIDTH, HEIGHT = 360, 450
GAP = 4
ROOM = 76
"""Height of the bands with words."""
TEXT_PER_WIDTH = 1 / 36
"""Text height in parts of the sheet's width: 11 pixels where the sheet is 390 wide."""
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
    last = DENSE - 1 + (2 * TO_IMPACT if on else 0)
    picks = np.round(np.linspace(0, last, moments)).astype(int).tolist()
    with new_file(target) as part, Progress(len(setups) + moments + 1) as progress:
        swings = simulated(setups, progress, on)
        drawn = sheet(swings, [setup.name for setup in setups], seen, picks, progress)
        from PIL import Image

        with part.open("wb") as file:
            Image.fromarray(drawn).save(file, "PNG")
    tell_notes(setups, swings)
    tell(f"The sheet is {target}")


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
    step = ROOM + HEIGHT
    layout = [Pane(swing, view, 0, ROOM + k * step + ROOM, WIDTH, HEIGHT) for k, (swing, view) in enumerate(rows)]
    height = ROOM + len(rows) * step
    whole = np.full((height, len(picks) * (WIDTH + GAP) - GAP, 3), PAPER, np.uint8)
    with Reel(swings, titles, layout, (WIDTH, height), labels=_angle, paper=PAPER) as reel:
        for k, moment in enumerate(picks):
            progress.step("drawing")
            whole[:, k * (WIDTH + GAP) : k * (WIDTH + GAP) + WIDTH] = reel.draw(moment)
    return _written(whole, swings, titles, layout, picks)


def _written(
    whole: Frame, swings: Sequence[Swing], titles: Sequence[str], layout: Sequence[Pane], picks: Sequence[int]
) -> Frame:
    from ...render.palette import INK
    from ...render.pictures.film_labels import words_at_address
    from ...render.pictures.marks import Marks
    from ...render.pictures.picture import angle_text

    # Sizes count in 720ths of the width.
    size = round(720 * TEXT_PER_WIDTH)
    with Marks(whole) as marks:
        for k, moment in enumerate(picks):
            left = k * (WIDTH + GAP)
            name = _name(moment)
            fits = _fitting(marks, name, size, WIDTH)
            marks.text((left + WIDTH / 2, ROOM / 2), name, INK, size=fits, bold=True, anchor="mm")
        for pane in layout:
            shown = shown_at(swings[pane.swing], titles[pane.swing], pane.view)
            planted = [angle_text(word, angle) for word, angle in words_at_address(shown).items()]
            words = ", ".join([shown.title, shown.view, *planted])
            marks.text((12, pane.top - ROOM / 2), words, INK, size=_fitting(marks, words, size, marks.width - 24))
    return np.asarray(marks.result)


def _fitting(marks: Marks, words: str, size: int, width: float) -> int:
    """The largest size up to ``size`` at which words are at most ``width`` pixels long."""
    return next((s for s in range(size, 1, -1) if marks.text_size(words, size=s, bold=True)[0] <= width), 1)


def _angle(shown: SwingView) -> Labels:
    from ...render.pictures.film_labels import CornerAngle

    return CornerAngle(100, shown.left_handed)


def _name(moment: int) -> str:
    """What a moment is called: of the backswing, of the way down, past the ball."""
    top, ball = DENSE - 1, DENSE - 1 + TO_IMPACT
    named = {0: "address", top: "top", ball: "impact", ball + TO_IMPACT: "past it"}
    if moment in named:
        return named[moment]
    if moment < top:
        return f"{100 * moment / top:.0f} %"
    return f"{100 * (moment - top) / TO_IMPACT:.0f} % down" if moment < ball else "through"
