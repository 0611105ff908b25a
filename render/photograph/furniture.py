"""What may stand before a golfer on a practice ground, put together from simple solids: our own designs, no words."""

from __future__ import annotations

import numpy as np

from ...model.arrays import Array
from ..palette import Colour
from .colours import blended, darker
from .place import Occluder
from .solids import Ball, Block, Cone, Solid, upright

METAL: Colour = (168, 172, 178)
WHITE: Colour = (238, 238, 232)
DARK: Colour = (44, 46, 50)
UP = np.array([0.0, 0.0, 1.0])
# Shapes by looking.
BAG_LEAN = 0.10
CLUBS = ((-0.45, -0.4, 0.95, True), (0.35, -0.45, 0.60, False), (-0.2, 0.5, 0.78, True), (0.5, 0.3, 0.5, False))
"""Of each club in a bag: where it comes out, in radii; how far, of the height left; whether its head is covered."""


def solids_of(thing: Occluder) -> list[Solid]:
    """The solids of one thing, in the world."""
    return {"bag": _bag, "bucket": _bucket, "post": _post, "board": _board}[thing.kind](thing)


def _bag(thing: Occluder) -> list[Solid]:
    """A bag of clubs that leans a little: body, pocket, bands, strap, and four clubs that look out of it."""
    turned = upright(thing.turn, BAG_LEAN)
    foot, long, broad = np.array([*thing.at, 0.02]), 0.74 * thing.height_m, 0.5 * thing.breadth_m
    colour, shade = thing.colour, darker(thing.colour, 0.62)

    def placed(x: float, y: float, z: float) -> Array:
        place: Array = foot + turned @ [x, y, z]
        return place

    solids: list[Solid] = [
        Cone(placed(0, 0, 0), turned, 0.10 * long, 0.82 * broad, 0.84 * broad, DARK),
        Cone(placed(0, 0, 0.10 * long), turned, 0.76 * long, 0.80 * broad, 0.88 * broad, colour),
        Cone(placed(0, 0, 0.86 * long), turned, 0.14 * long, 0.96 * broad, broad, shade),
        Cone(placed(0, 0, 0.58 * long), turned, 0.03 * long, 0.89 * broad, 0.89 * broad, WHITE),
        Block(
            placed(-0.62 * broad, 0, 0.32 * long), turned, np.array([0.42 * broad, 0.58 * broad, 0.17 * long]), shade
        ),
        Block(placed(0, 0.80 * broad, 0.70 * long), turned, np.array([0.20 * broad, 0.22 * broad, 0.12 * long]), shade),
        Block(placed(0, -0.92 * broad, 0.50 * long), turned, np.array([0.12 * broad, 0.08 * broad, 0.30 * long]), DARK),
    ]
    rest = thing.height_m - long
    for x, y, share, covered in CLUBS:
        up, side = share * rest, (x * broad, y * broad)
        solids.append(Cone(placed(*side, 0.9 * long), turned, 0.1 * long + up, 0.007, 0.006, METAL))
        if covered:
            sock, radius = blended(colour, WHITE, 0.45), 0.22 * broad
            solids.append(Cone(placed(*side, long + 0.45 * up), turned, 0.45 * up, 0.5 * radius, radius, sock))
            solids.append(Ball(placed(*side, long + 0.92 * up), radius, sock))
        else:
            head = turned @ upright(3 * x, 0.5)
            solids.append(Block(placed(*side, long + up), head, np.array([0.22, 0.04, 0.11]) * broad, METAL))
    return solids


def _bucket(thing: Occluder) -> list[Solid]:
    """A bucket heaped with balls."""
    turned = upright(thing.turn)
    foot, high, broad = np.array([*thing.at, 0.0]), 0.86 * thing.height_m, 0.5 * thing.breadth_m
    rim = 0.07 * high
    solids: list[Solid] = [
        Cone(foot, turned, high - rim, 0.76 * broad, 0.94 * broad, thing.colour),
        Cone(foot + 0.45 * high * UP, turned, 0.05 * high, 0.88 * broad, 0.89 * broad, darker(thing.colour, 0.7)),
        Cone(foot + (high - rim) * UP, turned, rim, broad, broad, darker(thing.colour, 0.8)),
    ]
    radius = 0.0214  # Of a golf ball, 42.7 mm across at least: the rules of golf, from memory.
    for ring, count in ((0.74, 12), (0.42, 7), (0.0, 1)):
        angles = thing.turn + ring + 2 * np.pi * np.arange(count) / count
        up = high + (1 - ring) * (thing.height_m - high - radius) - 0.3 * radius
        for angle in angles:
            aside = ring * broad * np.array([np.cos(angle), np.sin(angle), 0.0])
            solids.append(Ball(foot + aside + up * UP, radius, WHITE))
    return solids


def _post(thing: Occluder) -> list[Solid]:
    """A round post with two light bands and a cap."""
    turned = upright(thing.turn)
    foot, high, broad = np.array([*thing.at, 0.0]), thing.height_m, 0.5 * thing.breadth_m
    return [
        Cone(foot, turned, 0.96 * high, 0.9 * broad, 0.9 * broad, thing.colour),
        Cone(foot, turned, 0.03 * high, 1.6 * broad, 1.2 * broad, DARK),
        Cone(foot + 0.62 * high * UP, turned, 0.06 * high, 0.95 * broad, 0.95 * broad, WHITE),
        Cone(foot + 0.76 * high * UP, turned, 0.06 * high, 0.95 * broad, 0.95 * broad, WHITE),
        Cone(foot + 0.96 * high * UP, turned, 0.04 * high, broad, 0.5 * broad, darker(thing.colour, 0.6)),
    ]


def _board(thing: Occluder) -> list[Solid]:
    """A board on two legs: a frame, and three plain bars where words would be."""
    turned = upright(thing.turn)
    foot, high, broad = np.array([*thing.at, 0.0]), thing.height_m, 0.5 * thing.breadth_m
    low, rim, thick = 0.22 * high, 0.05 * broad, 0.012

    def slab(y: float, bottom: float, top: float, half: float, deep: float, colour: Colour) -> Solid:
        centre = foot + turned @ [0.0, y, (bottom + top) / 2]
        return Block(centre, turned, np.array([deep, half, (top - bottom) / 2]), colour)

    pale = blended(thing.colour, WHITE, 0.72)
    solids = [
        slab(-0.7 * broad, 0.0, high, 0.045 * broad, 0.022, DARK),
        slab(0.7 * broad, 0.0, high, 0.045 * broad, 0.022, DARK),
        slab(0.0, low, high, broad, thick + 0.014, darker(thing.colour, 0.6)),
        slab(0.0, low + rim, high - rim, broad - rim, thick + 0.018, thing.colour),
    ]
    for share, length in ((0.76, 0.62), (0.56, 0.44), (0.36, 0.54)):
        middle = low + share * (high - low)
        solids.append(
            slab(
                (0.72 - length) * broad,
                middle - 0.035 * high,
                middle + 0.035 * high,
                length * broad,
                thick + 0.021,
                pale,
            )
        )
    return solids
