"""From a body's signed distance to one closed mesh of well-shaped triangles."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ...model.arrays import Array
from ..shapes.signed_distance import Field
from ..shapes.solids import IntArray
from ..shapes.trilinear import trilinear
from .body_shape import Member, distance_grid
from .smoothing import smoothing

SPACING_M = 0.0125
"""Between grid points, metres."""
RELAXATIONS = 5


@dataclass(frozen=True)
class Mesh:
    """A closed triangle mesh.

    Attributes:
        vertices: ``(V, 3)`` metres.
        faces: ``(F, 3)`` vertex numbers, counter-clockwise seen from outside.
    """

    vertices: Array
    faces: IntArray

    def volume(self) -> float:
        """Enclosed volume, cubic metres."""
        return float(volumes(self.vertices, self.faces))

    def normals(self) -> Array:
        """``(V, 3)`` outward unit normals, made once; they are read-only."""
        return self._normals

    @cached_property
    def _normals(self) -> Array:
        area = vertex_areas(self.vertices, self.faces)
        unit: Array = area / np.maximum(np.linalg.norm(area, axis=-1, keepdims=True), 1e-12)
        unit.flags.writeable = False
        return unit


def volumes(vertices: Array, faces: IntArray) -> Array:
    """``(...)`` cubic metres enclosed by posed vertices ``(..., V, 3)`` (divergence theorem)."""
    a, b, c = (vertices[..., faces[:, k], :] for k in range(3))
    return np.asarray((a * np.cross(b, c)).sum(axis=(-1, -2)) / 6)


def vertex_areas(vertices: Array, faces: IntArray) -> Array:
    """``(V, 3)`` square metres: the area of the faces round each vertex, as an outward vector (a third each)."""
    corners = vertices[faces]
    area = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]) / 6
    total = np.empty_like(vertices)
    index = faces.ravel()
    for axis in range(3):
        total[:, axis] = np.bincount(index, np.repeat(area[:, axis], 3), len(vertices))
    return total


def body_mesh(body: list[Member], spacing_m: float = SPACING_M) -> Mesh:
    """The surface of a body's members.

    Args:
        body: from ``body_shape.members``.
        spacing_m: of the grid.
    """
    import pyvista

    grid, low = distance_grid(body, spacing_m)
    image = pyvista.ImageData(dimensions=grid.shape, spacing=[spacing_m] * 3, origin=low)
    image.point_data["distance"] = _off_zero(grid, spacing_m).ravel(order="F")
    found = image.contour([0.0], scalars="distance", method="flying_edges", compute_normals=False)
    vertices = np.asarray(found.points, float)
    faces = np.asarray(found.faces, np.int64).reshape(-1, 4)[:, 1:].copy()
    mesh = Mesh(vertices, faces)
    if mesh.volume() < 0:
        mesh = Mesh(vertices, faces[:, ::-1].copy())
    return _relaxed(mesh, grid, low, spacing_m)


def _off_zero(grid: Field, spacing_m: float) -> Field:
    """Values moved away from nought by a hundredth of the spacing or so: no edge is cut at its very end."""
    least = np.float32(0.06 * spacing_m)
    return np.where(np.abs(grid) < least, np.where(grid < 0, -least, least), grid)


def _relaxed(mesh: Mesh, grid: Field, low: Array, spacing_m: float) -> Mesh:
    """The same faces, every vertex moved toward the middle of its neighbours and back onto the surface.

    A contour's triangles are as thin as the grid cuts them; evened out, none turns over when the surface bends.
    """
    faces, vertices = mesh.faces, mesh.vertices
    step = smoothing(faces, len(vertices), own=0.3, dtype=float)
    fields = np.empty((*grid.shape, 4), np.float32)
    fields[..., 0] = grid
    for axis in range(3):
        fields[..., 1 + axis] = np.gradient(grid, spacing_m, axis=axis)
    for _ in range(RELAXATIONS):
        vertices = step @ vertices
        seen = trilinear(fields, (vertices - low) / spacing_m)
        value, slope = seen[:, 0], seen[:, 1:]
        square = np.maximum(np.einsum("ij,ij->i", slope, slope), 0.05)
        vertices -= np.clip(value / square, -spacing_m, spacing_m)[:, None] * slope
    return Mesh(vertices, faces)
