"""What stands far behind the golfer: painted on an upright wall across the view, at a distance of its own."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from .colours import Picture, between, blended, darker, mixed
from .noise import noise, noise_most, scattered, seen_share, wrapped
from .place import BackdropKind, Place
from .sights import Plane

BEHIND_M: dict[BackdropKind, float] = {"trees": 24.0, "wall": 7.5, "net": 10.0, "hills": 90.0}
"""How far behind the world's origin each stands (by looking)."""
SKY_LOW, SKY_HIGH = (222, 230, 236), (152, 188, 222)
# All sizes by looking.
BRICK_M, COURSE_M, MORTAR_M = 0.42, 0.20, 0.014
MORTAR = (202, 198, 190)
MESH_M, CORD_M, POLE_M, POLES_APART_M = 0.12, 0.010, 0.06, 3.2
HEDGE = ((58, 78, 50), (98, 120, 80))
TREES = ((7.6, 2.2, 0.40), (5.4, 1.8, 0.18), (3.2, 1.1, 0.0))
"""Height, how much it goes up and down, and share of air before it, of each row from the farthest."""
HILLS = ((17.0, 9.0, 34.0, 0.68), (11.0, 6.0, 22.0, 0.42), (4.5, 3.0, 13.0, 0.12))
"""The same, with how far apart the tops lie before the air."""
WALL_HEIGHT_M, COPING_M = 3.4, 0.16


def backdrop_picture(place: Place, along: Plane, height: Plane, footprint: Plane) -> Picture:
    """``(h, w, 3)``: what stands behind.

    Args:
        place: which, and its colours.
        along: places on the upright wall, metres to the picture's right.
        height: the same, metres above the ground.
        footprint: how much of that wall a pixel takes, metres.

    """
    return PAINTED[place.backdrop](place, along, height, footprint)


def _sky(height: Plane, reach: float) -> Picture:
    """Paler toward the ground, as air is."""
    return between(np.clip(height / np.float32(reach), 0, 1), SKY_LOW, SKY_HIGH)


def _over(edge: Plane, height: Plane, footprint: Plane) -> Plane:
    """0 to 1: how much of a pixel is below an outline ``edge``."""
    share: Plane = np.clip((edge - height) / footprint + np.float32(0.5), 0, 1)
    return share


def _skyline(seed: int, along: Plane, cell: float) -> Plane:
    """-1 to 1: an outline that goes up and down along the wall."""
    return noise(seed, along, np.zeros_like(along), cell)


def _trees(place: Place, along: Plane, height: Plane, footprint: Plane) -> Picture:
    seed, strength = place.texture_seed, np.float32(place.contrast)
    edges: dict[int, Plane] = {}
    mottles: dict[int, Plane] = {}

    # Three rows of crowns, the nearest lowest and darkest; air lies between them.
    def covered(row: int) -> Plane:
        (top, swell, _), number = TREES[row], seed + 20 * row
        leaf = noise(number + 11, along, height, 0.34, footprint)
        bough = noise(number + 12, along, height, 1.3, footprint)
        ragged = np.float32(0.30) * leaf + np.float32(0.5) * bough
        edges[row] = np.float32(top) + np.float32(swell) * _skyline(number + 13, along, 2.6) + ragged
        mottles[row] = strength * (np.float32(0.4) * leaf + np.float32(0.5) * bough)
        return _over(edges[row], height, footprint)

    def painted(row: int) -> Picture:
        top, _, air = TREES[row]
        shade, lit = (blended(colour, SKY_LOW, air) for colour in (place.backdrop_low, place.backdrop_high))
        # Crowns are lit from above.
        deep = np.clip((edges[row] - height) / np.float32(top), 0, 1)
        return between(np.float32(0.75) - deep * np.float32(0.8) + mottles[row], shade, lit)

    return _in_rows(lambda: _sky(height, 16.0), painted, covered, len(TREES))


def _in_rows(
    behind: Callable[[], Picture], painted: Callable[[int], Picture], covered: Callable[[int], Plane], count: int
) -> Picture:
    """What stands in rows one before the other, the farthest first, of which only what is seen is worked out.

    Args:
        behind: paints what is behind all rows.
        painted: paints one of them, once it was asked what it covers.
        covered: of one of them ``(h, w)``, 0 to 1, how much of a pixel it covers.
        count: of rows.

    """
    shares: list[Plane] = []
    for row in reversed(range(count)):
        shares.append(covered(row))
        if shares[-1].min() >= 1:
            scene = painted(row)
            break
    else:
        row, scene = -1, behind()
    for before in range(row + 1, count):
        if shares[count - 1 - before].max() > 0:
            scene = mixed(scene, painted(before), shares[count - 1 - before])
    return scene


def _hills(place: Place, along: Plane, height: Plane, footprint: Plane) -> Picture:
    seed, strength = place.texture_seed, np.float32(place.contrast)

    def sky() -> Picture:
        # Air takes the hills' colour over into the sky's.
        pale = blended(place.backdrop_high, (255, 255, 255), 0.5)
        high = blended(place.backdrop_high, SKY_HIGH, 0.4)
        return between(np.clip(height / np.float32(60.0), 0, 1), pale, high)

    def covered(row: int) -> Plane:
        (top, swell, cell, _), number = HILLS[row], seed + 20 * row
        # Far above and far below the tops it is known without working them out.
        reach = np.float32(swell * noise_most(number + 14) + 0.35 * noise_most(number + 15)) + footprint.max()
        if height.min() > np.float32(top) + reach or height.max() < np.float32(top) - reach:
            return np.full_like(height, height[0, 0] < top)
        edge = np.float32(top) + np.float32(swell) * _skyline(number + 14, along, cell)
        edge += np.float32(0.35) * noise(number + 15, along, np.zeros_like(along), 1.1)
        return _over(edge, height, footprint)

    def painted(row: int) -> Picture:
        air, number = HILLS[row][3], seed + 20 * row
        slope = blended(place.backdrop_low, place.backdrop_high, air)
        woods = noise(number + 16, along, height * 3, 6.0, footprint)
        woods += np.float32(0.5) * noise(number + 17, along, height * 2, 1.4, footprint)
        return between(np.float32(0.35) + strength * np.float32(0.5) * woods, slope, darker(slope, 0.72))

    return _in_rows(sky, painted, covered, len(HILLS))


def _wall(place: Place, along: Plane, height: Plane, footprint: Plane) -> Picture:
    seed = place.texture_seed
    course = np.floor(height / np.float32(COURSE_M)).astype(np.int32)
    shifted = along / np.float32(BRICK_M) + np.float32(0.5) * (course & 1)
    brick = np.floor(shifted).astype(np.int32)
    middle = np.float32(0.5)
    across = (np.abs(shifted - brick - middle) - middle) * np.float32(BRICK_M)
    upward = (np.abs(height / np.float32(COURSE_M) - course - middle) - middle) * np.float32(COURSE_M)
    gap = np.clip((np.maximum(across, upward) + np.float32(MORTAR_M / 2)) / footprint + middle, 0, 1)
    share = np.float32(place.contrast) * (
        np.float32(0.45) * scattered(seed, course, brick)
        + np.float32(0.3) * noise(seed + 9, along, height, 0.05, footprint)
        + np.float32(0.3) * noise(seed + 10, along, height, 1.1, footprint)
    )
    bricks = between(np.float32(0.5) + share, place.backdrop_low, place.backdrop_high)
    joint = blended(blended(place.backdrop_low, place.backdrop_high, 0.5), MORTAR, 0.5 + 0.4 * place.contrast)
    mortar = between(share * np.float32(0.3), joint, darker(joint, 0.7))
    face = mixed(bricks, mortar, gap * seen_share(6 * MORTAR_M, footprint))
    coping = between(share * np.float32(0.3), darker(place.backdrop_low, 0.75), darker(place.backdrop_low, 0.5))
    top: Plane = np.full_like(height, WALL_HEIGHT_M)
    face = mixed(face, coping, _over(height, top - np.float32(COPING_M), footprint))
    return mixed(_sky(height, 14.0), face, _over(top, height, footprint))


def _net(place: Place, along: Plane, height: Plane, footprint: Plane) -> Picture:
    seed = place.texture_seed
    # Open field and a low hedge are seen through it.
    bushes = noise(seed + 18, along, height, 0.5, footprint)
    bushes += noise(seed + 21, along, height, 0.1, footprint) * np.float32(0.6)
    edge = _skyline(seed + 19, along, 1.9) * np.float32(0.45) + bushes * np.float32(0.15) + np.float32(1.7)
    share = np.float32(0.5) + np.float32(place.contrast) * np.float32(0.6) * bushes
    hedge = between(share, *HEDGE)
    scene = mixed(_sky(height, 14.0), hedge, _over(edge, height, footprint))
    # The net hangs in waves, and its cords run both ways aslant.
    hang = np.float32(0.05) * np.sin(along * np.float32(2 * np.pi / POLES_APART_M))
    cords = np.maximum(
        _line(along + height + hang, MESH_M, CORD_M, footprint), _line(along - height - hang, MESH_M, CORD_M, footprint)
    )
    net, pole = np.empty_like(scene), np.empty_like(scene)
    net[:], pole[:] = place.backdrop_high, place.backdrop_low
    scene = mixed(scene, net, np.float32(0.35 + 0.5 * place.contrast) * cords)
    return mixed(scene, pole, _line(along + np.float32(seed % 11 * 0.3), POLES_APART_M, POLE_M, footprint))


def _line(at: Plane, apart: float, breadth: float, footprint: Plane) -> Plane:
    """0 to 1: how much of a pixel is covered by lines that lie ``apart``, their mean where pixels are broader."""
    off = np.abs(wrapped(at, apart) - np.float32(apart / 2))
    breadth_seen = np.maximum(footprint, np.float32(breadth))
    share: Plane = np.clip((breadth_seen / 2 - off) / footprint + np.float32(0.5), 0, 1)
    mean: Plane = share * np.divide(np.float32(breadth), breadth_seen)
    return mean


PAINTED: dict[BackdropKind, Callable[[Place, Plane, Plane, Plane], Picture]] = {
    "trees": _trees,
    "wall": _wall,
    "net": _net,
    "hills": _hills,
}


def plain_backdrop(place: Place, height: int, width: int) -> Picture:
    """``(height, width, 3)``: from the upper colour at the top of the picture to the lower one at its foot."""
    import cv2

    down: NDArray[np.float32] = np.linspace(0, 1, height, dtype=np.float32)[:, None]
    column = between(down, place.backdrop_high, place.backdrop_low)
    painted: Picture = cv2.resize(column, (width, height), interpolation=cv2.INTER_NEAREST)
    return painted
