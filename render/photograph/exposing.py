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
STARTS = 1 << 20
"""A picture takes its noise out of a row of random numbers that is kept, beginning at one of so many places."""


def exposed_picture(colour: Picture, sensor: Sensor, rng: np.random.Generator) -> Picture:
    """The picture as the sensor reads it out.

    What is over white is lost. The noise has the same sd from dark to light: photons scatter by the root of their
    number, and the curve of a picture's numbers, steep where it is dark, evens that out (root against a power of
    1/2.2).

    Args:
        colour: ``(h, w, 3)`` red, green, blue.
        sensor: its faults.
        rng: of the noise; one number is drawn from it, none without noise.

    """
    import cv2

    if sensor.exposure != 1:
        steps = np.arange(256) / 255
        table = np.clip(255 * steps * sensor.exposure ** (1 / GAMMA) + 0.5, 0, 255).astype(np.uint8)
        colour = cv2.LUT(colour, table)
    if sensor.noise > 0:
        count = colour.size
        grain = _grain(round(sensor.noise * 64), count + STARTS)
        first = int(rng.integers(STARTS))
        noise = grain[first : first + count].reshape(colour.shape)
        colour = cv2.add(colour, noise, dtype=cv2.CV_8U)
    return colour


@lru_cache(maxsize=1)
def _grain(sd_64ths: int, count: int) -> NDArray[np.int16]:
    """``(count,)`` normal random numbers, always the same ones for an sd in 64ths."""
    normal = _normal(count) * np.float32(sd_64ths / 64)
    grain: NDArray[np.int16] = np.rint(normal, out=normal).astype(np.int16)
    return grain


@lru_cache(maxsize=1)
def _normal(count: int) -> NDArray[np.float32]:
    return np.random.default_rng(0).standard_normal(count, np.float32)


def encoded(colour: Picture, sensor: Sensor) -> tuple[bytes, Literal["jpg", "png"]]:
    """The picture ``(h, w, 3)`` as a file's bytes, and how the file's name ends."""
    import cv2

    blue_first = cv2.cvtColor(colour, cv2.COLOR_RGB2BGR)
    if sensor.jpeg_quality is None:
        return cv2.imencode(".png", blue_first)[1].tobytes(), "png"
    quality = [cv2.IMWRITE_JPEG_QUALITY, sensor.jpeg_quality]
    return cv2.imencode(".jpg", blue_first, quality)[1].tobytes(), "jpg"
