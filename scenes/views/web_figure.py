"""Golfers for a page's own figure: every body once, what each swing does with it, and what is marked and said."""

from __future__ import annotations

import gzip
from base64 import b64encode
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ...model.swing.swing import Swing
from .web_marks import marks_of

if TYPE_CHECKING:
    from ...model.films.camera import Camera
    from ...render.figure.figure import Figure


@dataclass(frozen=True)
class WebFigure:
    """What a page's module (``render/web``) needs to draw some swings.

    Attributes:
        figures: base64 of gzip, one a body and club.
        motions: base64 of gzip, one a swing, with its ``marks`` and, where there are any, its ``words``.
        data: ready for JSON: ``settings`` of the drawing, and for each swing of ``swings`` its ``figure`` (an index)
            and its ``cameras`` by view.
    """

    figures: tuple[str, ...]
    motions: tuple[str, ...]
    data: dict[str, Any]


def web_figure(
    swings: Sequence[Swing],
    figures: Sequence[Figure],
    cameras: Sequence[Mapping[str, Camera]],
    words: Sequence[Mapping[str, Sequence[str]]],
) -> WebFigure:
    """Put swings into a page.

    Args:
        swings: no batch axes.
        figures: of each swing; one that serves several is sent once.
        cameras: of each swing, by view.
        words: of each swing, by view, what is said at each moment.
    """
    from ...render.web.payload import figure_bytes, motion_bytes
    from ...render.web.settings import drawing_settings

    own = list(dict.fromkeys(figures))
    motions = [
        motion_bytes(figure, swing.skeleton, {"marks": marks_of(swing), "words": dict(said)})
        for swing, figure, said in zip(swings, figures, words, strict=True)
    ]
    told = [
        {"figure": own.index(figure), "cameras": {view: camera_numbers(camera) for view, camera in places.items()}}
        for figure, places in zip(figures, cameras, strict=True)
    ]
    return WebFigure(
        tuple(_base64(figure_bytes(figure)) for figure in own),
        tuple(_base64(gzip.compress(motion, 6, mtime=0)) for motion in motions),
        {"settings": drawing_settings(), "swings": told},
    )


def camera_numbers(camera: Camera) -> dict[str, Any]:
    """A camera as ``camera.js`` takes it."""
    return {
        "K": camera.K.tolist(), "R": camera.R.tolist(), "t": camera.t.tolist(),
        "width": camera.width, "height": camera.height,
    }  # fmt: skip


def _base64(content: bytes) -> str:
    return b64encode(content).decode("ascii")
