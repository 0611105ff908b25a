"""Numbers for what a pixel shows, and the colours that carry them through a window unharmed."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..shapes.solids import IntArray

NOTHING_ID = 0
"""Where neither figure nor ball is seen (the ground and the backdrop have no id)."""
BALL_ID = 65535
"""The ball's, which is no part of the figure; the largest number that fits, so that it is the same for every figure."""


def part_id_colours(parts: IntArray, segments: NDArray[Any] | int = 0) -> NDArray[np.uint8]:
    """``(F, 3)`` red, green, blue that stand for the ids of the parts ``(F,)`` and of the segments ``(F,)``.

    Part k has the id k + 1, in red and green; blue is the segment's id as it is.
    """
    ids = np.asarray(parts) + 1
    colours = np.zeros((*ids.shape, 3), np.uint8)
    colours[..., 0], colours[..., 1] = ids & 255, ids >> 8
    colours[..., 2] = segments
    return colours


def ids_of_pixels(pixels: NDArray[np.uint8]) -> NDArray[np.uint16]:
    """``(h, w)`` the ids that pixels ``(h, w, 3 or more)`` in those colours stand for; black is nothing."""
    low, high = pixels[..., 0].astype(np.uint16), pixels[..., 1].astype(np.uint16)
    ids: NDArray[np.uint16] = low + high * np.uint16(256)
    return ids
