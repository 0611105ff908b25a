"""Parts of a figure as solids, and what lies inside of them."""

from __future__ import annotations

import numpy as np
import trimesh

from turnstill.model.arrays import Array
from turnstill.render.figure.clothing import Covering
from turnstill.render.figure.figure import Figure
from turnstill.render.shapes.solids import IntArray


def solid(figure: Figure, vertices: Array, name: str) -> trimesh.Trimesh:
    """A part of a posed figure ``(V, 3)``, vertices that are carried alike counted as one.

    A rim's vertices are there twice, to be shaded as an edge.
    """
    k = [part.name for part in figure.parts].index(name)
    part, (start, end) = figure.parts[k], figure.vertex_ranges[k]
    if isinstance(part, Covering):
        carried = part.places.reshape(part.count, -1)
    else:
        carried = np.column_stack([part.frame, part.local])
    rows = np.ascontiguousarray(carried).view(np.dtype((np.void, carried.itemsize * carried.shape[1])))
    one, number = np.unique(rows, return_index=True, return_inverse=True)[1:]
    faces = number.reshape(-1)[figure.faces[figure.part_of_face == k] - start]
    return trimesh.Trimesh(vertices[start:end][one], faces, process=False)


def vertices_of(figure: Figure, vertices: Array, name: str) -> Array:
    """``(..., N, 3)`` where a part's vertices are among ``vertices (..., V, 3)``."""
    start, end = figure.vertex_ranges[[part.name for part in figure.parts].index(name)]
    return vertices[..., start:end, :]


def winding(vertices: Array, faces: IntArray, points: Array) -> Array:
    """``(P,)`` how often a closed surface goes round points: 1 inside, 0 outside (van Oosterom & Strackee 1983)."""
    found = np.zeros(len(points))
    # Coordinates first: rows as long as the faces are many. It goes round nothing outside its box.
    corners = np.ascontiguousarray(vertices[faces].transpose(1, 2, 0))
    low, high = vertices[faces].min(axis=(0, 1)), vertices[faces].max(axis=(0, 1))
    for k in np.flatnonzero(((points >= low) & (points <= high)).all(axis=1)):
        a, b, c = corners - points[k][:, None]
        la, lb, lc, ab, ac, bc = (
            u[0] * v[0] + u[1] * v[1] + u[2] * v[2] for u, v in ((a, a), (b, b), (c, c), (a, b), (a, c), (b, c))
        )
        la, lb, lc = np.sqrt(la), np.sqrt(lb), np.sqrt(lc)
        over = (
            a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0])
        )
        found[k] = np.arctan2(over, la * lb * lc + ab * lc + ac * lb + bc * la).sum() / (2 * np.pi)
    return found


def nearest_face(mesh: trimesh.Trimesh, point: Array) -> tuple[int, float]:
    """Which triangle of a surface is nearest to a point, and how far off it is, metres."""
    corners = np.asarray(mesh.triangles)
    nearest = trimesh.triangles.closest_point(corners, np.repeat(point[None], len(corners), axis=0))
    away = np.linalg.norm(nearest - point, axis=1)
    return int(np.argmin(away)), float(away.min())
