"""What the ground is covered with, in world coordinates, so that it stays where it is from any tripod."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from ...model.arrays import Array
from ..palette import Colour
from .colours import Picture, between, blended, darker, mixed
from .noise import noise, scattered, seen_share
from .place import GroundKind, Place
from .sights import Plane

# All sizes by looking.
SLAB_M, JOINT_M = 0.50, 0.012
MAT_M = (-0.55, 1.30, -0.90, 0.90)
"""Back, front, and both ends of a mat, world."""
MAT_EDGE_M = 0.05
CONCRETE = (172, 169, 162)
"""What a mat lies on."""


def ground_picture(place: Place, x: Plane, y: Plane, footprint: Plane) -> Picture:
    """``(h, w, 3)``: the covered ground.

    Args:
        place: what with.
        x: world places on the ground, metres.
        y: the same.
        footprint: how much ground a pixel takes there, metres.

    """
    return COVERS[place.ground](place, x, y, footprint)


def plain_ground(place: Place, far: Plane, fade_m: float) -> Picture:
    """``(h, w, 3)``: smooth ground that changes its colour with the distance from the ball, ``far`` in metres."""
    return between(np.minimum(far / np.float32(fade_m), 1), place.ground_colour, place.ground_other)


def _grass(place: Place, x: Plane, y: Plane, footprint: Plane) -> Picture:
    seed, strength = place.texture_seed, np.float32(place.contrast)
    # Mown to and fro in bands, worn in patches, and blades that are longer than broad.
    share: Plane = np.sin(y * np.float32(2 * np.pi / 2.4) + np.float32(seed % 7))
    share *= np.float32(3)
    np.clip(share, -1, 1, out=share)
    share *= np.float32(0.16)
    for layer, cell, deep in ((0, 0.55, 0.42), (1, 0.09, 0.45), (2, 0.022, 0.55)):
        more = noise(seed + layer, x, y, cell, footprint)
        more *= np.float32(deep)
        share += more
    share *= strength
    share += np.float32(0.5)
    return between(share, place.ground_colour, place.ground_other)


def _rough(seed: int, contrast: float, x: Plane, y: Plane, footprint: Plane, colour: Colour) -> Picture:
    """Concrete or a woven surface: one colour with fine specks and faint stains."""
    specks = noise(seed + 3, x, y, 0.012, footprint)
    stains = noise(seed + 4, x, y, 0.4, footprint)
    share = np.float32(contrast) * (np.float32(0.34) * specks + np.float32(0.30) * stains)
    return between(share, colour, darker(colour, 0.6))


def _mat(place: Place, x: Plane, y: Plane, footprint: Plane) -> Picture:
    back, front, low, high = MAT_M
    inside = np.minimum(np.minimum(x - back, front - x), np.minimum(y - low, high - y))
    share = _covered(inside, footprint)
    floor = _rough(place.texture_seed, place.contrast, x, y, footprint, CONCRETE)
    columns = np.flatnonzero(share.max(axis=0) > 0)
    if len(columns):
        # The mat takes a small part of what is seen, and only there it is worked out.
        on = slice(int(columns[0]), int(columns[-1]) + 1)
        mat = _on_mat(place, x[:, on], y[:, on], inside[:, on], footprint[:, on])
        floor[:, on] = mixed(floor[:, on], mat, share[:, on])
    return floor


def _on_mat(place: Place, x: Plane, y: Plane, inside: Plane, footprint: Plane) -> Picture:
    pile = noise(place.texture_seed + 5, x, y, 0.016, footprint) + noise(place.texture_seed + 6, x, y, 0.25, footprint)
    share = np.float32(0.5) + np.float32(place.contrast * 0.7) * pile
    mat = between(share, place.ground_colour, place.ground_other)
    rim = between(share, darker(place.ground_colour, 0.55), darker(place.ground_colour, 0.4))
    return mixed(rim, mat, _covered(inside - np.float32(MAT_EDGE_M), footprint))


def _paving(place: Place, x: Plane, y: Plane, footprint: Plane) -> Picture:
    seed = place.texture_seed
    # Laid askew, since a joint that ran at the target would be a second target line.
    turn = np.float32(np.deg2rad(20 + seed % 5 * 10))
    along, across = x * np.cos(turn) + y * np.sin(turn), y * np.cos(turn) - x * np.sin(turn)
    row = np.floor(along / np.float32(SLAB_M)).astype(np.int32)
    # Each row begins half a slab on.
    shifted = across / np.float32(SLAB_M) + np.float32(0.5) * (row & 1)
    column = np.floor(shifted).astype(np.int32)
    middle = np.float32(0.5)
    off = np.maximum(np.abs(along / np.float32(SLAB_M) - row - middle), np.abs(shifted - column - middle))
    joint = _covered(off * np.float32(SLAB_M) - np.float32(0.5 * (SLAB_M - JOINT_M)), footprint)
    joint = joint * seen_share(3 * JOINT_M, footprint) * np.float32(0.2 + 0.8 * place.contrast)
    stone = np.float32(0.5) + np.float32(place.contrast) * (
        np.float32(0.5) * scattered(seed, row, column)
        + np.float32(0.35) * noise(seed + 7, x, y, 0.10, footprint)
        + np.float32(0.30) * noise(seed + 8, x, y, 0.012, footprint)
    )
    slabs = between(stone, place.ground_colour, place.ground_other)
    gap = np.empty_like(slabs)
    gap[:] = darker(blended(place.ground_colour, place.ground_other, 0.5), 0.5)
    return mixed(slabs, gap, joint)


def _covered(inside: Plane, footprint: Plane) -> Plane:
    """0 to 1: how much of a pixel lies within an edge that is ``inside`` metres away."""
    share: Plane = np.clip(inside / footprint + np.float32(0.5), 0, 1)
    return share


COVERS: dict[GroundKind, Callable[[Place, Plane, Plane, Plane], Picture]] = {
    "grass": _grass,
    "mat": _mat,
    "paving": _paving,
}


def from_ball(x: Plane, y: Plane, ball: Array) -> Plane:
    """``(h, w)`` metres along the ground from between golfer and ball."""
    ahead, aside = x - np.float32(0.5 * ball[0]), y - np.float32(ball[1])
    far: Plane = np.sqrt(ahead * ahead + aside * aside)
    return far
