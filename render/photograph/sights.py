"""Where each pixel of a picture looks: what ground, backdrop, shade and occluders are all drawn from."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

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
        aside: ``(1, w)`` or ``(h, w)``: how far to the picture's right a metre of depth leads.
        down: ``(h, 1)`` or ``(h, w)``: and down.
        turned: ``(3, 3)`` camera_to_world.
        pixel: how broad a pixel is at a depth of one metre, metres.

    """

    position: NDArray[np.float32]
    aside: Plane
    down: Plane
    turned: NDArray[np.float32]
    pixel: float

    @classmethod
    def of(cls, camera: Camera) -> Sights:
        """Those of all pixels of a camera without skew, its lens undone; ``Camera.rays`` in a quarter of the time."""
        K = camera.K
        aside = ((np.arange(camera.width) - K[0, 2]) / K[0, 0]).astype(np.float32)[None, :]
        down = ((np.arange(camera.height) - K[1, 2]) / K[1, 1]).astype(np.float32)[:, None]
        if camera.distortion:
            aside, down = _straightened(aside, down, camera)
        return cls(camera.position.astype(np.float32), aside, down, camera.R.T.astype(np.float32), float(1 / K[1, 1]))

    @cached_property
    def rays(self) -> tuple[Plane, Plane, Plane]:
        """Three of ``(h, w)``, world: along each pixel's line of sight, one metre of depth long.

        Worked out where they are asked for: of a few rows they stay near the processor, as all planes of a picture do
        not.
        """
        x, y, z = (self._ray(axis) for axis in range(3))
        return x, y, z

    def _ray(self, axis: int) -> Plane:
        right, below, ahead = self.turned[axis]
        ray: Plane = self.aside * right + (self.down * below + ahead)
        return ray

    def looking_down(self) -> slice:
        """The rows in which any pixel may see ground; the others are all sky."""
        rows = np.flatnonzero((self._ray(2) < 0).any(axis=1))
        return slice(int(rows[0]), int(rows[-1]) + 1) if len(rows) else slice(0, 0)

    def rows(self, rows: slice) -> Sights:
        """Those of some rows."""
        aside = self.aside[rows] if len(self.aside) > 1 else self.aside
        return replace(self, aside=aside, down=self.down[rows])

    def every_second(self) -> Sights:
        """Those of every second pixel each way."""
        return replace(self, aside=self.aside[::2, ::2], down=self.down[::2, ::2], pixel=2 * self.pixel)

    def along(self, direction: NDArray[np.floating]) -> Plane:
        """``(h, w)`` how far a metre of depth leads in a world direction ``(3,)``."""
        # What is straight in the camera is straight in any direction.
        right, below, ahead = (np.asarray(direction, np.float32) @ self.turned).tolist()
        led: Plane = self.aside * np.float32(right) + (self.down * np.float32(below) + np.float32(ahead))
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
