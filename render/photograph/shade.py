"""Hard stripes of shade over golfer and ground, as something upright out of the picture casts them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ..stage.light import Light
from .noise import wrapped
from .sights import Plane, Sights

TAKEN = 0.68
"""How much of a picture's brightness a bar takes that takes all of the key light: what is left comes from the sky (by
looking)."""
SOFT_M = 0.012
"""How broad the edge of a bar is, metres across the light (by looking)."""


def toward_key(light: Light, left_handed: bool) -> Array:
    """``(3,)`` unit, world: toward the light that models the figure, mirrored for a left-hander."""
    direction = np.array(light.key, float)
    if left_handed:
        direction[1] *= -1
    unit: Array = direction / np.linalg.norm(direction)
    return unit


@dataclass(frozen=True)
class Bars:
    """Stripes of shade in the world: a place's shade depends only on where it lies across the light.

    Attributes:
        across: ``(3,)`` unit, world, perpendicular to the light: the way from bar to bar.
        width_m: of a bar and of a gap.
        offset_m: where the first bar begins.
        darkest: 0 to 1, what a bar leaves of a picture's brightness.

    """

    across: Array
    width_m: float
    offset_m: float
    darkest: float

    @classmethod
    def of(cls, light: Light, left_handed: bool) -> Bars | None:
        """Those of a light, where it has any."""
        stripes = light.stripes
        if stripes is None or stripes.depth <= 0:
            return None
        toward = toward_key(light, False)
        level = np.cross([0.0, 0.0, 1.0], toward)
        # Straight from above no way across the light is the level one.
        level = level / np.linalg.norm(level) if np.linalg.norm(level) > 1e-9 else np.array([0.0, 1.0, 0.0])
        across = np.cos(stripes.turn) * level + np.sin(stripes.turn) * np.cross(toward, level)
        if left_handed:
            across[1] *= -1
        return cls(across, stripes.width_m, stripes.offset_m, 1 - TAKEN * stripes.depth)

    def left(self, places: Array) -> Plane:
        """``(...)`` 0 to 1: what the bars leave of the brightness of world places ``(..., 3)``."""
        return self._left((places @ self.across).astype(np.float32))

    def left_seen(self, sights: Sights, depth: Plane, led: Plane) -> Plane:
        """``(h, w)`` the same, of what lies at some depth along lines of sight.

        Args:
            sights: the lines.
            depth: ``(h, w)`` metres along the optical axis; finite.
            led: ``(h, w)`` their ``sights.along(across)``.

        """
        return self._left(np.float32(sights.position @ self.across) + depth * led)

    def _left(self, at: Plane) -> Plane:
        # How far from the middle of the nearest bar: bars begin every two widths.
        width = np.float32(self.width_m)
        inside = width / 2 - np.abs(wrapped(at + (width / 2 - np.float32(self.offset_m)), 2 * self.width_m) - width)
        share = np.clip(inside * np.float32(1 / SOFT_M) + np.float32(0.5), 0, 1)
        left: Plane = 1 - np.float32(1 - self.darkest) * share
        return left
