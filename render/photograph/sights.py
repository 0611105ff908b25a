"""Where each pixel of a picture looks: what ground, backdrop, shade and occluders are all drawn from."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ...model.films.camera import Camera

Plane = NDArray[np.float32]
"""``(h, w)``: one number for each pixel."""
NOWHERE_M = np.float32(1e6)
"""How far a pixel looks that never meets what was asked for."""


@dataclass(frozen=True)
class Sights:
    """The lines of sight of a box of pixels, in single precision.

    Attributes:
        position: ``(3,)`` metres, world: the camera's.
        rays: three of ``(h, w)``, world: along each pixel's line of sight, one metre of depth long.
        pixel: how broad a pixel is at a depth of one metre, metres.

    """

    position: NDArray[np.float32]
    rays: tuple[Plane, Plane, Plane]
    pixel: float

    @classmethod
    def of(cls, camera: Camera) -> Sights:
        """Those of all pixels of a camera, its lens undone."""
        directions = np.moveaxis(camera.rays(), -1, 0)
        ahead = np.tensordot(camera.R[2], directions, 1)
        x, y, z = (np.ascontiguousarray(part / ahead, np.float32) for part in directions)
        return cls(camera.position.astype(np.float32), (x, y, z), float(1 / camera.K[1, 1]))

    def rows(self, first: int, end: int) -> Sights:
        """Those of some rows."""
        x, y, z = (part[first:end] for part in self.rays)
        return replace(self, rays=(x, y, z))

    def every_second(self, first: int, end: int) -> Sights:
        """Those of every second pixel each way of some rows."""
        x, y, z = (part[first:end:2, ::2] for part in self.rays)
        return replace(self, rays=(x, y, z), pixel=2 * self.pixel)

    def along(self, direction: NDArray[np.floating]) -> Plane:
        """``(h, w)`` how far a metre of depth leads in a world direction ``(3,)``."""
        x, y, z = (np.float32(part) for part in direction)
        led: Plane = self.rays[0] * x + self.rays[1] * y + self.rays[2] * z
        return led

    def places(self, depth: Plane) -> tuple[Plane, Plane, Plane]:
        """Three of ``(h, w)`` metres, world: what lies at a depth ``(h, w)``."""
        x, y, z = (at + depth * ray for at, ray in zip(self.position, self.rays, strict=True))
        return x, y, z

    def ground_depth(self) -> Plane:
        """``(h, w)`` metres of depth to the ground's plane z = 0; ``NOWHERE_M`` where it is not met."""
        down = np.minimum(self.rays[2], -self.position[2] / NOWHERE_M)
        depth: Plane = -self.position[2] / down
        return depth


def cropped(camera: Camera, box: tuple[int, int, int, int]) -> Camera:
    """The camera of a part of the picture: left, top, right, bottom in pixels, the last two not included."""
    left, top, right, bottom = box
    K = np.array(camera.K, float)
    K[:2, 2] -= left, top
    return replace(camera, K=K, width=right - left, height=bottom - top)
