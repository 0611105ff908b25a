"""Soft seams: where parts of one cloth run into each other, light falls as over one surface."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

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

    own = normals.copy()
    trees = [cKDTree(vertices[a:b]) for a, b in ranges]
    for k, (a, b) in enumerate(ranges):
        for other, (c, _) in enumerate(ranges):
            if other == k:
                continue
            # Whatever is not even in a box round the other part needs no search.
            low, high = trees[other].mins - 2 * SEAM_M, trees[other].maxes + 2 * SEAM_M
            boxed = np.flatnonzero(((vertices[a:b] > low) & (vertices[a:b] < high)).all(axis=1))
            away, nearest = trees[other].query(vertices[a + boxed], distance_upper_bound=2 * SEAM_M)
            found = np.isfinite(away)
            near, away, there = boxed[found], away[found], c + nearest[found]
            # Height over the other surface, by the plane at its nearest vertex.
            height = np.einsum("ij,ij->i", vertices[a + near] - vertices[there], own[there])
            share = (1 - smoothstep(np.abs(height) / SEAM_M)) * (1 - smoothstep(away / SEAM_M - 1))
            # Surfaces that face each other, as in an armpit, make a fold and not a seam.
            alike = np.einsum("ij,ij->i", own[a + near], own[there])
            share *= smoothstep((alike + 0.1) / 0.6)
            normals[a + near] += share[:, None] * own[there]
    for a, b in ranges:
        normals[a:b] /= np.linalg.norm(normals[a:b], axis=1, keepdims=True)
