"""Soft seams: where parts of one cloth run into each other, light falls as over one surface."""

from __future__ import annotations

import itertools
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
    from scipy.spatial.distance import cdist

    parts, own = [vertices[a:b] for a, b in ranges], [normals[a:b].copy() for a, b in ranges]
    # Along rows, which numpy looks through many times as fast.
    rows = [np.ascontiguousarray(part.T) for part in parts]
    boxes = [(row.min(axis=1) - 2 * SEAM_M, row.max(axis=1) + 2 * SEAM_M) for row in rows]
    for one, other in itertools.combinations(range(len(parts)), 2):
        # Whatever is not even in a box round the other part needs no search.
        here, there = _within(rows[one], *boxes[other]), _within(rows[other], *boxes[one])
        if not len(here) or not len(there):
            continue
        square = cdist(parts[one][here], parts[other][there], "sqeuclidean")
        for k, near, l, far, apart in ((one, here, other, there, square), (other, there, one, here, square.T)):
            nearest = apart.argmin(axis=1)
            away = np.sqrt(apart[np.arange(len(near)), nearest])
            found = away < 2 * SEAM_M
            near, away, nearest = near[found], away[found], far[nearest[found]]
            normal = own[l][nearest]
            # Height over the other surface, by the plane at its nearest vertex.
            height = np.einsum("ij,ij->i", parts[k][near] - parts[l][nearest], normal)
            share = (1 - smoothstep(np.abs(height) / SEAM_M)) * (1 - smoothstep(away / SEAM_M - 1))
            # Surfaces that face each other, as in an armpit, make a fold and not a seam.
            share *= smoothstep((np.einsum("ij,ij->i", own[k][near], normal) + 0.1) / 0.6)
            normals[ranges[k][0] + near] += share[:, None] * normal
    for a, b in ranges:
        normals[a:b] /= np.sqrt(np.einsum("ij,ij->i", normals[a:b], normals[a:b]))[:, None]


def _within(rows: Array, low: Array, high: Array) -> NDArray[np.intp]:
    """Which of places, their coordinates ``(3, N)``, lie in a box, its lower and its upper corner ``(3,)``."""
    inside = (rows[0] > low[0]) & (rows[0] < high[0])
    for axis in (1, 2):
        inside &= (rows[axis] > low[axis]) & (rows[axis] < high[axis])
    return np.flatnonzero(inside)
