"""Cameras of phones, many at once, as seven numbers each that are never believed to be what they should be.

A camera stands ``distance`` from the middle between the feet, ``azimuth`` off square (toward the golfer's target side
face-on, toward the ball down the line), ``height`` above the ground; it looks back at the golfer's axis turned by
``pan``, down by ``pitch``, its picture turned by ``roll``. The lens is a pinhole with the picture's middle on its axis
(Hartley and Zisserman, Multiple View Geometry, 2nd ed 2004, eq. 6.7; from memory).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..arrays import Array
from .camera import Camera

NUMBERS: tuple[str, ...] = ("focal", "distance", "azimuth", "height", "pan", "pitch", "roll")
USUAL: Mapping[str, tuple[float, float]] = {
    "focal": (float(np.log(0.8)), 0.2),
    "distance": (float(np.log(3.5)), 0.35),
    "azimuth": (0.0, float(np.radians(10.0))),
    "height": (1.2, 0.35),
    "pan": (0.0, float(np.radians(8.0))),
    "pitch": (0.0, float(np.radians(5.0))),
    "roll": (0.0, float(np.radians(2.5))),
}
"""Mean and standard deviation before any film (assumptions): logarithms of the focal length, in longer sides of the
picture, and of the distance in m; rad; m. A phone's camera has about 0.7 to 0.9 of its longer side in a film."""
_MEAN = np.array([USUAL[name][0] for name in NUMBERS])
_SD = np.array([USUAL[name][1] for name in NUMBERS])


def placed(numbers: Array, view: int, longer: Array) -> tuple[Array, Array, Array]:
    """Where cameras are.

    Args:
        numbers: ``(..., 7)`` of ``NUMBERS``, in standard deviations from their means.
        view: 0 face-on, 1 down the line.
        longer: ``(...)`` pixels, the picture's longer side.

    Returns:
        focal lengths ``(...)`` pixels, world_to_camera ``(..., 3, 3)`` (x right, y down, z ahead), and places
        ``(..., 3)`` m.
    """
    log_focal, log_distance, azimuth, height, pan, pitch, roll = np.moveaxis(_MEAN + _SD * numbers, -1, 0)
    distance = np.exp(log_distance)
    # Azimuth turns what lies behind the camera, seen from above, from square: x face-on, -y down the line.
    square = 0.0 if view == 0 else -0.5 * np.pi
    stands = square + azimuth
    place = np.stack([distance * np.cos(stands), distance * np.sin(stands), height], axis=-1)
    looks = stands + np.pi + pan
    zero = np.zeros_like(looks)
    ahead = np.stack([np.cos(looks) * np.cos(pitch), np.sin(looks) * np.cos(pitch), -np.sin(pitch)], axis=-1)
    level = np.stack([np.sin(looks), -np.cos(looks), zero], axis=-1)
    below = np.cross(ahead, level)
    c, s = np.cos(roll)[..., None], np.sin(roll)[..., None]
    right, down = c * level + s * below, c * below - s * level
    return np.exp(log_focal) * longer, np.stack([right, down, ahead], axis=-2), place


def project(numbers: Array, view: int, size: Array, points: Array) -> Array:
    """Pixels ``(..., K, 2)``, centres at integers, of world points ``(..., K, 3)`` m.

    Args:
        numbers: ``(..., 7)`` in standard deviations, as of `placed`.
        view: 0 face-on, 1 down the line.
        size: ``(..., 2)`` width and height of the picture, pixels.
        points: ``(..., K, 3)`` m, world.
    """
    focal, to_camera, place = placed(numbers, view, size.max(axis=-1))
    seen = (points - place[..., None, :]) @ np.swapaxes(to_camera, -1, -2)
    # Nothing is nearer than a hand's breadth: a step of a fit may put a camera into its golfer.
    flat = seen[..., :2] / np.maximum(seen[..., 2:], 0.1)
    return np.asarray(flat * focal[..., None, None] + 0.5 * (size[..., None, :] - 1.0))


def camera(numbers: Array, view: int, width: int, height: int) -> Camera:
    """One of them as a `Camera`; ``numbers (7,)`` in standard deviations."""
    focal, to_camera, place = placed(numbers, view, np.asarray(float(max(width, height))))
    f = float(focal)
    K = np.array([[f, 0.0, 0.5 * (width - 1.0)], [0.0, f, 0.5 * (height - 1.0)], [0.0, 0.0, 1.0]])
    return Camera(K, to_camera, -to_camera @ place, width, height)


def told(numbers: Array) -> dict[str, Array]:
    """What ``numbers (..., 7)`` come to: focal length in longer sides, m, rad."""
    plain = np.moveaxis(_MEAN + _SD * numbers, -1, 0)
    return {name: np.exp(v) if name in ("focal", "distance") else v for name, v in zip(NUMBERS, plain, strict=True)}


def counted(plain: Mapping[str, float]) -> Array:
    """``(7,)`` in standard deviations: what `told` makes ``plain`` of, by the names of ``NUMBERS``."""
    own = [np.log(plain[name]) if name in ("focal", "distance") else plain[name] for name in NUMBERS]
    return np.asarray((np.array(own) - _MEAN) / _SD)
