"""A body's shape: its members and how they run into each other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ..shapes.signed_distance import Field, Solid, smooth_union
from . import limb_shape, trunk_shape

SIDES = ("lead", "trail")
CELLS_ABOUT = 4
"""So many cells off the surface values still count: contour, relaxing and the slope there look at most three away."""


@dataclass(frozen=True)
class Member:
    """A member and how softly it joins those before it.

    Attributes:
        name: what it is; the limb chains are ``leg_lead`` and so on.
        solid: its signed distance.
        reach_m: of the smooth union with all before it.
    """

    name: str
    solid: Solid
    reach_m: float


def members(shape: Mapping[str, float], rest: Skeleton, female: float) -> list[Member]:
    """The members of a body in the order in which they are joined.

    Args:
        shape: breadths, depths and girths, metres (``survey.SHAPE``).
        rest: the resting skeleton.
        female: 0 or 1.
    """
    trunk = trunk_shape.trunk(shape, rest, female)
    found = [Member(f"leg_{side}", limb_shape.leg(side, shape, rest, female), 0.030) for side in SIDES]
    found.append(Member("trunk", trunk, 0.060))
    found += [Member("buttocks", solid, 0.050) for solid in trunk_shape.buttocks(shape, rest)]
    if female:
        found += [Member("bosom", solid, 0.050) for solid in trunk_shape.bosom(shape, rest, trunk)]
    found += [Member("shoulders", solid, 0.050) for solid in trunk_shape.shoulders(shape, rest)]
    found += [Member(f"arm_{side}", limb_shape.arm(side, shape, rest), 0.038) for side in SIDES]
    found.append(Member("neck", trunk_shape.neck(shape, rest), 0.045))
    found.append(Member("head", trunk_shape.skull(shape, rest), 0.020))
    found += [Member(f"foot_{side}", limb_shape.foot(side, shape, rest), 0.030) for side in SIDES]
    return found


def distance_grid(body: list[Member], spacing_m: float) -> tuple[Field, Array]:
    """The body's signed distance on a grid.

    Each member is worked out only in its own box, as far as its blends reach.

    Args:
        body: from ``members``.
        spacing_m: between grid points, metres.

    Returns:
        ``(X, Y, Z)`` metres, negative inside, and the place ``(3,)`` of its first point.
    """
    margin = 2.5 * spacing_m + 0.03
    boxes = [np.stack(member.solid.bounds()) for member in body]
    low = np.min([box[0] for box in boxes], axis=0) - margin
    high = np.max([box[1] for box in boxes], axis=0) + margin
    # A grid point row never lies on the plane of symmetry, where the legs' crease is.
    low[1] = -spacing_m * (np.ceil(-low[1] / spacing_m) + 0.5)
    counts = np.ceil((high - low) / spacing_m).astype(int) + 1
    grid = np.full(counts, 0.2, np.float32)
    for member, box in zip(body, boxes, strict=True):
        # Farther off than its blend reaches from the few cells about the surface it changes nothing there.
        reach = max(min(margin, member.reach_m + CELLS_ABOUT * spacing_m), member.reach_m + spacing_m)
        first = np.maximum(((box[0] - reach - low) / spacing_m).astype(int), 0)
        last = np.minimum(((box[1] + reach - low) / spacing_m).astype(int) + 2, counts)
        axes = [(low[k] + spacing_m * np.arange(first[k], last[k])).astype(np.float32) for k in range(3)]
        part = grid[tuple(slice(a, b) for a, b in zip(first, last, strict=True))]
        part[...] = smooth_union(part, member.solid.distance(*np.ix_(*axes)), member.reach_m)
    return grid, low
