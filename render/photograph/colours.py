"""From a number a pixel to a colour a pixel, in whole numbers and quickly."""

from __future__ import annotations

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

    steps = (np.arange(256) / 85 - 1)[:, None]
    table = np.clip(np.array(first) * (1 - steps) + np.array(second) * steps + 0.5, 0, 255).astype(np.uint8)
    level = byte(share, 85.0, 85.5)
    painted: Picture = cv2.LUT(cv2.merge([level, level, level]), table[:, None, :])
    return painted


def byte(values: Plane, scale: float, shift: float) -> NDArray[np.uint8]:
    """``(h, w)`` whole numbers below ``values * scale + shift``, from 0 to 255."""
    return np.clip(values * np.float32(scale) + np.float32(shift), 0, 255).astype(np.uint8)


def mixed(below: Picture, above: Picture, share: Plane) -> Picture:
    """``above`` where the share ``(h, w)`` is 1, ``below`` where it is 0."""
    weight = share[..., None]
    return (below + (above.astype(np.float32) - below) * weight + np.float32(0.5)).astype(np.uint8)


def darker(colour: Colour, by: float) -> Colour:
    """A colour with ``by`` times its brightness, at most white."""
    red, green, blue = (min(255, round(by * part)) for part in colour)
    return red, green, blue


def blended(first: Colour, second: Colour, share: float) -> Colour:
    """The colour that lies that share of the way to the second."""
    red, green, blue = (round(a + share * (b - a)) for a, b in zip(first, second, strict=True))
    return red, green, blue
