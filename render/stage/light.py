"""How a scene is lit: where the light comes from and how strong it is, as data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

Direction = tuple[float, float, float]


@dataclass(frozen=True)
class Stripes:
    """Hard shade of something upright and out of the picture: bars of shadow over golfer and ground.

    Attributes:
        width_m: of each bar and of each gap, measured across the light.
        turn: rad, of the bars about the light's direction.
        offset_m: how far the pattern is moved across the light.
        depth: 0 to 1, how much of the key light a bar takes.
    """

    width_m: float
    turn: float
    offset_m: float
    depth: float


class Lamp(NamedTuple):
    """One light, so far away that all its rays are parallel.

    Attributes:
        name: what it stands for.
        toward: toward it, world, a right-hander's; None for the one that the camera carries.
        strength: 1 the brightest.
    """

    name: str
    toward: Direction | None
    strength: float


class Matter(NamedTuple):
    """How a surface throws light back: parts of its colour in any light and in light that falls square, and gloss."""

    ambient: float
    diffuse: float
    specular: float = 0.0
    power: int = 1


GLOSS = (173, 216, 230)
"""Colour of what is thrown back as by a mirror: a pale sky (by looking)."""
FIGURE_MATTER, BALL_MATTER = Matter(0.34, 0.72, 0.06, 12), Matter(0.45, 0.6)
"""By looking."""


@dataclass(frozen=True)
class Light:
    """What lights a scene; the defaults are the stage's own. All directions are world, a right-hander's.

    Attributes:
        key: toward the light that models the figure.
        key_strength: of that light, 1 the brightest.
        fill_strength: of what comes from the camera.
        sky_strength: of what comes from behind and above.
        ground_strength: of what the ground throws back.
        sun: toward the light that casts the shadow on the ground; the key by looking, but steeper.
        shadow_depth: 0 to 1, how dark that shadow is.
        shadow_softness: sd of the blur of its edge, as a share of the picture's height.
        stripes: hard shade over everything, or None.
    """

    key: Direction = (3.0, -2.6, 4.2)
    key_strength: float = 0.62
    fill_strength: float = 0.36
    sky_strength: float = 0.20
    ground_strength: float = 0.34
    sun: Direction = (0.30, -0.22, 1.0)
    shadow_depth: float = 0.34
    shadow_softness: float = 1 / 170
    stripes: Stripes | None = None

    def lamps(self) -> tuple[Lamp, ...]:
        """All that shines on the figure."""
        return (
            Lamp("key", self.key, self.key_strength),
            Lamp("fill", None, self.fill_strength),
            Lamp("sky", (-3.0, 3.0, 3.2), self.sky_strength),
            # What the ground throws back: a face that looks down at the ball is not left in the dark.
            Lamp("ground", (1.5, 0.0, -3.8), self.ground_strength),
        )
