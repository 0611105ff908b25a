"""The frames of a film, one stage and one picture kept alive over all of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from types import TracebackType
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np
from numpy.typing import NDArray

from ...model.swing.swing import Swing
from ..views.framing import cameras_for
from ..views.shown_swing import shown_at
from .layout import Pane

if TYPE_CHECKING:
    from ...render.pictures.film_labels import Labels
    from ...render.pictures.picture import SwingView

Frame = NDArray[np.uint8]

PATH_STEP = 16
"""Of the many moments simulated, every so many are enough for a smooth path of the head."""
KEPT_BYTES = 300_000_000
"""Frames that are shown again are kept up to this, and drawn again beyond: memory stays flat in a long film."""


class Reel:
    """Draws whole frames; use it as a context manager so that its stage closes.

    Args:
        swings: of equally many moments, no batch axes.
        titles: their names.
        layout: the panes, all of one size.
        size: of the whole frame, pixels.
        labels: gives what is written in a pane.
        paper: red, green, blue of what no pane covers.

    Raises:
        OpenGLMissing: on entering, where no window can be opened.
    """

    def __init__(
        self,
        swings: Sequence[Swing],
        titles: Sequence[str],
        layout: Sequence[Pane],
        size: tuple[int, int],
        *,
        labels: Callable[[SwingView], Labels],
        paper: tuple[int, int, int] = (255, 255, 255),
    ) -> None:
        self._swings, self._titles, self._layout, self._labels = swings, titles, layout, labels
        self._frame = np.full((size[1], size[0], 3), paper, np.uint8)
        self._stage: Any = None
        self._figures: list[Any] = []
        self._views: list[Any] = []

    def __enter__(self) -> Reel:
        from ...render.figure.figure import Posed
        from ...render.pictures.film import FilmView
        from ...render.stage.stage import Stage

        cameras = cameras_for(self._swings, self._layout[0].width, self._layout[0].height)
        self._stage = Stage().__enter__()
        try:
            self._figures = [
                self._stage.figure(swing.body, swing.skeleton[0], left_handed=swing.left_handed)
                for swing in self._swings
            ]
            address = [
                Posed.of(figure, swing.skeleton[0]) for figure, swing in zip(self._figures, self._swings, strict=True)
            ]
            for pane in self._layout:
                shown = shown_at(self._swings[pane.swing], self._titles[pane.swing], pane.view)
                camera = cameras[pane.swing][pane.view]
                view = FilmView(self._stage, camera, address[pane.swing], shown, self._labels(shown))
                self._views.append(view)
        except BaseException:
            self._stage.__exit__(None, None, None)
            raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._stage.__exit__(kind, error, trace)

    def draw(self, moment: int) -> Frame:
        """``(height, width, 3)`` a frame with all swings at a moment; the next drawing overwrites it."""
        from ...render.figure.figure import Posed

        for index, swing in enumerate(self._swings):
            # One posture serves all its views, so that its surface is shaded and handed over once.
            posed = Posed.of(self._figures[index], swing.skeleton[moment])
            for pane, view in zip(self._layout, self._views, strict=True):
                if pane.swing == index:
                    shown = shown_at(swing, self._titles[index], pane.view, moment, PATH_STEP)
                    self._frame[pane.place] = view.draw(posed, shown)
        return self._frame


def legend(shown: SwingView) -> Labels:
    """Names, view and the lines' angles, as films have them."""
    from ...render.pictures.film_labels import Legend, LegendOfLines, words_at_address

    if len(shown.lines) > 1:
        planted = words_at_address(shown)
        return LegendOfLines(shown.title, shown.view, planted, len(shown.lines) - len(planted))
    ((word, angle),) = shown.angles.items()
    return Legend(shown.title, shown.view, word, angle.address_deg)


class Draws(Protocol):
    """What draws the frame of a moment, over the one before or not."""

    def draw(self, moment: int) -> Frame:
        """``(height, width, 3)`` the frame of a moment."""


def frames(reel: Draws, picks: Sequence[int], order: Sequence[int], kept_bytes: int = KEPT_BYTES) -> Iterator[Frame]:
    """The frames of a film in the order they are shown; each may be overwritten by the next.

    Args:
        reel: what draws them.
        picks: the moments.
        order: for each frame, which of ``picks`` it shows.
        kept_bytes: how much to keep of what is shown again.
    """
    left = {index: order.count(index) for index in set(order)}
    kept: dict[int, Frame] = {}
    held = 0
    for index in order:
        left[index] -= 1
        frame = kept.get(index)
        if frame is None:
            frame = reel.draw(picks[index])
            if left[index] and held + frame.nbytes <= kept_bytes:
                frame = kept[index] = frame.copy()
                held += frame.nbytes
        if not left[index] and index in kept:
            held -= kept.pop(index).nbytes
        yield frame
