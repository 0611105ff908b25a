"""From a number a pixel to a colour a pixel, in whole numbers and quickly."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ..palette import Colour
from .sights import Plane

Picture = NDArray[np.uint8]
"""``(h, w, 3)`` red, green, blue, 0 to 255."""


def between(share: Plane, first: Colour, second: Colour) -> Picture:
    """The first colour where the share is 0, the second where it is 1; beyond, both go on as far as a byte holds.

    Args:
        share: ``(h, w)``, -1 to 2.
        first: a colour.
        second: a colour.

    """
    import cv2

    painted: Picture = cv2.applyColorMap(byte(share, 85.0, 85.5), _table(first, second))
    return painted


@lru_cache(maxsize=64)
def _table(first: Colour, second: Colour) -> NDArray[np.uint8]:
    """``(256, 1, 3)`` the colours between two, by steps of a share from -1 to 2."""
    steps = (np.arange(256) / 85 - 1)[:, None]
    table = np.clip(np.array(first) * (1 - steps) + np.array(second) * steps + 0.5, 0, 255)
    return table.astype(np.uint8)[:, None]


def byte(values: Plane, scale: float, shift: float) -> NDArray[np.uint8]:
    """``(h, w)`` whole numbers below ``values * scale + shift``, from 0 to 255."""
    import cv2

    # What is half way to the next is rounded up or down, to the even one.
    whole: NDArray[np.uint8] = cv2.addWeighted(values, scale, values, 0.0, shift - 0.5, dtype=cv2.CV_8U)
    return whole


def mixed(below: Picture, above: Picture, share: Plane) -> Picture:
    """``above`` where the share ``(h, w)`` is 1, ``below`` where it is 0."""
    import cv2

    # Most bands of a picture have no edge in them; blending would come to the same there.
    if share.max() <= 0:
        return below
    if share.min() >= 1:
        return above
    weight = np.ascontiguousarray(share, np.float32)
    blended: Picture = cv2.blendLinear(above, np.ascontiguousarray(below), weight, 1 - weight)
    return blended


def darker(colour: Colour, by: float) -> Colour:
    """A colour with ``by`` times its brightness, at most white."""
    red, green, blue = (min(255, round(by * part)) for part in colour)
    return red, green, blue


def blended(first: Colour, second: Colour, share: float) -> Colour:
    """The colour that lies that share of the way to the second."""
    red, green, blue = (round(a + share * (b - a)) for a, b in zip(first, second, strict=True))
    return red, green, blue
