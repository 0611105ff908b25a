"""One picture with its label drawn over it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ....model.swing.phases import IMPACT, TOP
from ....render.palette import ADDRESS, INK, NOW, OVERSHOOT, PLUMB_LINE, SECOND_SWING
from ..layout.coco import BONES
from ..layout.sample import KEYPOINTS, SEEN

if TYPE_CHECKING:
    from PIL.Image import Image

TILE_PX = 420
"""Side of the square that a picture and its words are fitted into."""
WORDS_PX = 46
LEFT_COLOUR, RIGHT_COLOUR, MIDDLE_COLOUR, BOX_COLOUR, FOUND_COLOUR = NOW, SECOND_SWING, ADDRESS, PLUMB_LINE, OVERSHOOT
"""The golfer's own left and right, what is neither, the box, and what a detector found."""


def tile(
    picture: NDArray[np.uint8],
    ids: NDArray[np.uint8],
    label: Mapping[str, Any],
    found: Sequence[Sequence[float]] | None = None,
) -> Image:
    """A square with the picture: seen keypoints filled, covered ones as rings, segments' borders, bones and box.

    Args:
        picture: ``(h, w, 3)``.
        ids: ``(h, w)``.
        label: of the picture.
        found: ``(17, 2)`` pixels, what a detector says; drawn as crosses joined to what is true.
    """
    from PIL import Image, ImageDraw

    height, width = ids.shape
    scale = min(TILE_PX / width, (TILE_PX - WORDS_PX) / height)
    size = (max(round(width * scale), 1), max(round(height * scale), 1))
    bordered = picture.copy()
    bordered[_borders(ids)] = INK
    whole = Image.new("RGB", (TILE_PX, TILE_PX), (255, 255, 255))
    whole.paste(Image.fromarray(bordered).resize(size, Image.Resampling.LANCZOS), (0, 0))
    draw = ImageDraw.Draw(whole)

    def at(x: float, y: float) -> tuple[float, float]:
        return (x + 0.5) * scale, (y + 0.5) * scale

    left, top, across, down = label["bbox"]
    draw.rectangle([*at(left - 0.5, top - 0.5), *at(left + across - 0.5, top + down - 0.5)], outline=BOX_COLOUR)
    points = dict(zip(KEYPOINTS, label["keypoints"], strict=True))
    for one, other in BONES:
        if points[one][2] and points[other][2]:
            draw.line([at(*points[one][:2]), at(*points[other][:2])], fill=_colour(one, other), width=2)
    for name, (x, y, v) in points.items():
        if v:
            u, w = at(x, y)
            circle = [u - 4, w - 4, u + 4, w + 4]
            draw.ellipse(circle, fill=_colour(name, name) if v == SEEN else None, outline=_colour(name, name), width=2)
    for (x, y, v), (a, b) in zip(label["keypoints"], found or [], strict=bool(found)):
        if v:
            u, w = at(a, b)
            draw.line([at(x, y), (u, w)], fill=FOUND_COLOUR, width=1)
            draw.line([(u - 4, w - 4), (u + 4, w + 4)], fill=FOUND_COLOUR, width=2)
            draw.line([(u - 4, w + 4), (u + 4, w - 4)], fill=FOUND_COLOUR, width=2)
    head = label["head_cm"]
    words = (
        f"{label['key']}   {_when(label['progress'])}",
        f"{', '.join(name.replace('_', ' ') for name in label['faults']) or 'no fault'}",
        f"head {head['toward_target']:+.1f} target, {head['toward_ball']:+.1f} ball, {head['up']:+.1f} up (cm)",
    )
    for row, line in enumerate(words):
        draw.text((4, TILE_PX - WORDS_PX + 2 + 14 * row), line, fill=INK)
    return whole


def _when(progress: float) -> str:
    """What the moment is called, of `swing.progress`."""
    if progress <= TOP:
        return f"{progress:.0%} of the backswing"
    if progress < IMPACT:
        return f"{progress - TOP:.0%} of the way down"
    return "impact" if progress == IMPACT else "past the ball"


def _borders(ids: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """``(h, w)`` where a pixel shows another segment than the one right of it or below."""
    edge = np.zeros(ids.shape, bool)
    edge[:, :-1] |= ids[:, :-1] != ids[:, 1:]
    edge[:-1] |= ids[:-1] != ids[1:]
    return edge


def _colour(one: str, other: str) -> tuple[int, int, int]:
    sides = {name.partition("_")[0] for name in (one, other)}
    return LEFT_COLOUR if sides == {"left"} else RIGHT_COLOUR if sides == {"right"} else MIDDLE_COLOUR
