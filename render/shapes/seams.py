"""Soft seams: where parts of one cloth run into each other, light falls as over one surface."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from .carriers import smoothstep

SEAM_M = 0.010
"""Half width of the stretch whose shading is mixed: more, and shading runs round the bend of a wrist (by looking)."""


def soften_seams(vertices: Array, normals: Array, ranges: Sequence[tuple[int, int]]) -> None:
    """Mix the normals of neighbouring closed parts near the lines where they cut each other, in place.

    On the cut itself both parts get the mean of both normals, so that no crease shows; away from it each
    keeps its own.

    Args:
        vertices: ``(V, 3)`` metres, world.
        normals: ``(V, 3)`` outward unit normals, changed.
        ranges: first and one past the last vertex of each part of one cloth.

    """
    from scipy.spatial import cKDTree

    own = [normals[a:b].copy() for a, b in ranges]
    # Of whole parts: where two vertices are in one place, which of them is found depends on all in the tree.
    trees = [cKDTree(vertices[a:b]) for a, b in ranges]
    for k, (a, b) in enumerate(ranges):
        for other, (c, _) in enumerate(ranges):
            if other == k:
                continue
            # Whatever is not even in a box round the other part needs no search.
            boxed = _within(vertices[a:b], trees[other].mins - 2 * SEAM_M, trees[other].maxes + 2 * SEAM_M)
            away, nearest = trees[other].query(vertices[a + boxed], distance_upper_bound=2 * SEAM_M)
            found = np.isfinite(away)
            near, away, there = boxed[found], away[found], nearest[found]
            # Height over the other surface, by the plane at its nearest vertex.
            height = np.einsum("ij,ij->i", vertices[a + near] - vertices[c + there], own[other][there])
            share = (1 - smoothstep(np.abs(height) / SEAM_M)) * (1 - smoothstep(away / SEAM_M - 1))
            # Surfaces that face each other, as in an armpit, make a fold and not a seam.
            alike = np.einsum("ij,ij->i", own[k][near], own[other][there])
            share *= smoothstep((alike + 0.1) / 0.6)
            normals[a + near] += share[:, None] * own[other][there]
    for a, b in ranges:
        normals[a:b] /= np.linalg.norm(normals[a:b], axis=1, keepdims=True)


def _within(places: Array, low: Array, high: Array) -> NDArray[np.intp]:
    """Which of ``places (N, 3)`` lie in a box, its lower and its upper corner ``(3,)``."""
    inside = (places[:, 0] > low[0]) & (places[:, 0] < high[0])
    for axis in (1, 2):
        inside &= (places[:, axis] > low[axis]) & (places[:, axis] < high[axis])
    return np.flatnonzero(inside)
