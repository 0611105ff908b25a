"""The colours of the golfer and the place; what the colours of marks mean stands in ``render.palette``."""

from __future__ import annotations

from dataclasses import dataclass

from ..palette import Colour


@dataclass(frozen=True)
class Look:
    """Colours of figure and scene.

    Blue against orange is the one pair that every common colour blindness keeps apart (common practice), so
    clothes are blue under marks in orange; lightness alone also tells skin, shirt, trousers and shoes apart.
    """

    skin: Colour = (226, 176, 144)
    lips: Colour = (176, 100, 88)
    eye: Colour = (250, 250, 248)
    iris: Colour = (40, 34, 30)
    hair: Colour = (74, 52, 38)
    shirt: Colour = (72, 132, 184)
    collar: Colour = (232, 236, 240)
    trousers: Colour = (74, 80, 96)
    belt: Colour = (38, 30, 26)
    buckle: Colour = (208, 204, 190)
    shoes: Colour = (240, 240, 236)
    sole: Colour = (52, 52, 56)
    glove: Colour = (250, 248, 240)
    shaft: Colour = (150, 156, 164)
    grip: Colour = (36, 36, 40)
    clubhead: Colour = (120, 126, 136)
    ball: Colour = (255, 255, 252)
    ground: Colour = (122, 146, 112)
    ground_far: Colour = (158, 174, 150)
    target_line: Colour = (236, 236, 220)
    backdrop_low: Colour = (222, 226, 228)
    backdrop_high: Colour = (190, 202, 214)
