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
    found = np.empty(len(points))
    corners = [vertices[faces[:, i]] for i in range(3)]
    for k, point in enumerate(points):
        a, b, c = (corner - point for corner in corners)
        la, lb, lc = (np.sqrt(np.einsum("ij,ij->i", side, side)) for side in (a, b, c))
        over = np.einsum("ij,ij->i", a, np.cross(b, c))
        ab, ac, bc = (np.einsum("ij,ij->i", v, w) for v, w in ((a, b), (a, c), (b, c)))
        found[k] = np.arctan2(over, la * lb * lc + ab * lc + ac * lb + bc * la).sum() / (2 * np.pi)
    return found


def nearest_face(mesh: trimesh.Trimesh, point: Array) -> tuple[int, float]:
    """Which triangle of a surface is nearest to a point, and how far off it is, metres."""
    corners = np.asarray(mesh.triangles)
    nearest = trimesh.triangles.closest_point(corners, np.repeat(point[None], len(corners), axis=0))
    away = np.linalg.norm(nearest - point, axis=1)
    return int(np.argmin(away)), float(away.min())
