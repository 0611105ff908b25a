"""What a camera's sensor and codec make of a picture."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ..stage.areas import Area
from .colours import Picture
from .sensor import Sensor

GAMMA = 2.2
"""Of the picture's numbers against light: close to the sRGB curve (IEC 61966-2-1; from memory)."""
GRAIN = 28
"""Steps of an sd in the random numbers that noise is made of, so that they are bytes up to four and a half sd."""
STARTS = 1 << 18
"""A picture takes its noise out of a row of random numbers that is kept, beginning at one of so many places."""
_GREY = np.uint8(128)


def tone(exposure: float) -> float:
    """How many times a picture's numbers become by so many times the right light."""
    return float(exposure ** (1 / GAMMA))


def toned(colour: Picture, times: float) -> Picture:
    """A picture ``(h, w, 3)`` with numbers so many times as large; what is over white is lost."""
    import cv2

    if times == 1:
        return colour
    changed: Picture = cv2.convertScaleAbs(np.ascontiguousarray(colour), alpha=times)
    return changed


class Readout:
    """Pictures as the sensor reads them out that are alike but for an area.

    The noise has the same sd from dark to light: photons scatter by the root of their number, and the curve of a
    picture's numbers, steep where it is dark, evens that out (root against a power of 1/2.2).

    Args:
        still: ``(h, w, 3)`` red, green, blue, exposed: what is alike.
        sd: of the noise, on a scale of 0 to 255.
    """

    def __init__(self, still: Picture, sd: float) -> None:
        self._still, self._sd = _about_grey(_blue_first(still)), sd

    def noisy(self, area: Area, there: Picture, rng: np.random.Generator) -> Picture:
        """One of the pictures, **blue, green, red** as codecs take it.

        Args:
            area: where it is not as the others are.
            there: its colours in the area, red first.
            rng: of the noise; one number is drawn from it, none without noise.
        """
        import cv2

        own, size = _about_grey(_blue_first(there)), self._still.size
        if self._sd > 0:
            row, times = _scaled(size + STARTS, self._sd)
            first = int(rng.integers(STARTS))
            noise = row[0, first : first + size].reshape(self._still.shape)
            # An addition that stops at black and at white, which signed bytes do as well as others.
            picture = cv2.add(self._still, noise)
            own = cv2.add(own, noise[area])
            for _ in range(times - 1):
                cv2.add(picture, noise, dst=picture)
                cv2.add(own, noise[area], dst=own)
        else:
            picture = self._still.copy()
        picture[area] = own
        bytes_of: Picture = picture.view(np.uint8)
        return np.bitwise_xor(bytes_of, _GREY, out=bytes_of)


def _blue_first(colour: Picture) -> Picture:
    import cv2

    swapped: Picture = cv2.cvtColor(np.ascontiguousarray(colour), cv2.COLOR_RGB2BGR)
    return swapped


def _about_grey(numbers: NDArray[np.uint8]) -> NDArray[np.int8]:
    """Bytes less 128."""
    return (numbers ^ _GREY).view(np.int8)


@lru_cache(maxsize=1)
def _normal(count: int) -> NDArray[np.uint8]:
    """``(1, count)`` normal random numbers in steps of an sd, and 128."""
    steps = np.random.default_rng(0).standard_normal(count, np.float32) * np.float32(GRAIN)
    return np.clip(np.rint(steps) + 128, 1, 255).astype(np.uint8)[None]


@lru_cache(maxsize=1)
def _scaled(count: int, sd: float) -> tuple[NDArray[np.int8], int]:
    """``(1, count)`` the same in whole numbers of a picture, of which a tripod's pictures all have one sd, and how many
    times they are to be added, since a signed byte holds no more than a few sd of strong noise.
    """
    import cv2

    times = int(np.ceil(sd / GRAIN))
    by = sd / GRAIN / times
    return _about_grey(cv2.convertScaleAbs(_normal(count), alpha=by, beta=128 * (1 - by))), times


def encoded(blue_first: Picture, sensor: Sensor) -> tuple[bytes, Literal["jpg", "png"]]:
    """A picture ``(h, w, 3)``, blue, green, red, as a file's bytes, and how the file's name ends."""
    import cv2

    if sensor.jpeg_quality is None:
        return cv2.imencode(".png", blue_first)[1].tobytes(), "png"
    quality = [cv2.IMWRITE_JPEG_QUALITY, sensor.jpeg_quality]
    return cv2.imencode(".jpg", blue_first, quality)[1].tobytes(), "jpg"
