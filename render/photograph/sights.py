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
        """Those of all pixels of a camera without skew, its lens undone; ``Camera.rays`` in a quarter of the time."""
        K = camera.K
        aside = ((np.arange(camera.width) - K[0, 2]) / K[0, 0]).astype(np.float32)[None, :]
        down = ((np.arange(camera.height) - K[1, 2]) / K[1, 1]).astype(np.float32)[:, None]
        straight: tuple[Plane, Plane] = aside, down
        if camera.distortion:
            straight = _straightened(aside, down, camera)
        x, y, z = (
            straight[0] * right + (straight[1] * below + ahead) for right, below, ahead in camera.R.T.astype(np.float32)
        )
        return cls(camera.position.astype(np.float32), (x, y, z), float(1 / K[1, 1]))

    def looking_down(self) -> slice:
        """The rows in which any pixel may see ground; the others are all sky."""
        rows = np.flatnonzero((self.rays[2] < 0).any(axis=1))
        return slice(int(rows[0]), int(rows[-1]) + 1) if len(rows) else slice(0, 0)

    def rows(self, rows: slice) -> Sights:
        """Those of some rows."""
        x, y, z = (part[rows] for part in self.rays)
        return replace(self, rays=(x, y, z))

    def every_second(self) -> Sights:
        """Those of every second pixel each way."""
        x, y, z = (part[::2, ::2] for part in self.rays)
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

    def level_places(self, depth: Plane) -> tuple[Plane, Plane]:
        """X and y of the same."""
        x, y = (at + depth * ray for at, ray in zip(self.position[:2], self.rays[:2], strict=True))
        return x, y

    def ground_depth(self) -> Plane:
        """``(h, w)`` metres of depth to the ground's plane z = 0; ``NOWHERE_M`` where it is not met."""
        down = np.minimum(self.rays[2], -self.position[2] / NOWHERE_M)
        depth: Plane = -self.position[2] / down
        return depth


def _straightened(aside: Plane, down: Plane, camera: Camera) -> tuple[Plane, Plane]:
    """Where pinhole pixels lie that a lens shows at ``aside`` ``(1, w)`` and ``down`` ``(h, 1)``, normalised."""
    bent = aside * aside + down * down
    # A lens only scales about its axis: found for 2,000 distances from it, read off between them.
    distance = np.linspace(0, np.sqrt(float(bent.max())), 2000)
    scale = 1 / (1 + camera.distortion * camera.undone(distance) ** 2)
    by = np.interp(bent, distance**2, scale).astype(np.float32)
    return aside * by, down * by
