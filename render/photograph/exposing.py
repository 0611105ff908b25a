"""What a camera's sensor and codec make of a picture."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from .colours import Picture
from .sensor import Sensor

GAMMA = 2.2
"""Of the picture's numbers against light: close to the sRGB curve (IEC 61966-2-1; from memory)."""
GRAIN = 32
"""Steps of an sd in the random numbers that noise is made of, so that they are bytes up to eight sd."""
STARTS = 1 << 20
"""A picture takes its noise out of a row of random numbers that is kept, beginning at one of so many places."""


def tone(exposure: float) -> NDArray[np.uint8] | None:
    """``(256,)`` what becomes of each number of a picture by so many times the right light; None for the right light.

    What is over white is lost.
    """
    if exposure == 1:
        return None
    steps = np.arange(256) / 255
    return np.clip(255 * steps * exposure ** (1 / GAMMA) + 0.5, 0, 255).astype(np.uint8)


def toned(colour: Picture, table: NDArray[np.uint8] | None) -> Picture:
    """A picture ``(h, w, 3)`` whose numbers are changed by a `tone`."""
    import cv2

    changed: Picture = colour if table is None else cv2.LUT(np.ascontiguousarray(colour), table)
    return changed


def noisy(colour: Picture, sd: float, rng: np.random.Generator) -> Picture:
    """The picture as the sensor reads it out.

    The noise has the same sd from dark to light: photons scatter by the root of their number, and the curve of a
    picture's numbers, steep where it is dark, evens that out (root against a power of 1/2.2).

    Args:
        colour: ``(h, w, 3)`` red, green, blue, exposed.
        sd: of the noise, on a scale of 0 to 255.
        rng: of the noise; one number is drawn from it, none without noise.

    """
    import cv2

    if sd <= 0:
        return colour
    row = _scaled(colour.size + STARTS, sd)
    first = int(rng.integers(STARTS))
    # One of the two is 0 everywhere. In bytes each takes a fifth of what one sum in 16 bits would.
    more, less = (part[0, first : first + colour.size].reshape(colour.shape) for part in row)
    brighter = cv2.add(colour, more)
    return cv2.subtract(brighter, less, dst=brighter)


@lru_cache(maxsize=1)
def _normal(count: int) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Twice ``(1, count)``: normal random numbers, what is above 0 of them and what is below, in steps of an sd."""
    steps = np.rint(np.random.default_rng(0).standard_normal(count, np.float32) * np.float32(GRAIN))[None]
    return np.clip(steps, 0, 255).astype(np.uint8), np.clip(-steps, 0, 255).astype(np.uint8)


@lru_cache(maxsize=1)
def _scaled(count: int, sd: float) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """The same in whole numbers of a picture, of which a tripod's pictures all have one sd."""
    import cv2

    more, less = (cv2.convertScaleAbs(part, alpha=sd / GRAIN) for part in _normal(count))
    return more, less


def encoded(colour: Picture, sensor: Sensor) -> tuple[bytes, Literal["jpg", "png"]]:
    """The picture ``(h, w, 3)`` as a file's bytes, and how the file's name ends."""
    import cv2

    blue_first = cv2.cvtColor(colour, cv2.COLOR_RGB2BGR)
    if sensor.jpeg_quality is None:
        return cv2.imencode(".png", blue_first)[1].tobytes(), "png"
    quality = [cv2.IMWRITE_JPEG_QUALITY, sensor.jpeg_quality]
    return cv2.imencode(".jpg", blue_first, quality)[1].tobytes(), "jpg"
