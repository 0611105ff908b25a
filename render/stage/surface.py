"""A figure's mesh as it is drawn: every vertex belongs to one id, so that colours and ids are all told of vertices."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ..figure.figure import Posed
from ..shapes.solids import IntArray


class Surface:
    """A mesh that is moved in place.

    VTK draws triangles with a colour each in half again the time that it takes for vertices with a colour each. So
    where two segments meet, their common vertices are there twice.

    Attributes:
        mesh: pyvista's; whatever shares its points moves with it.
        which: ``(W,)`` the figure's vertex that each of the mesh's is.
        part: ``(W,)`` index into the figure's ``parts``.
        segment: ``(W,)`` ids of ``segments.SEGMENTS``.
    """

    def __init__(self, posed: Posed) -> None:
        import pyvista

        figure = posed.figure
        ids = figure.part_of_face.astype(np.int64) * 256 + figure.segment_of_face
        self.which, of_vertex, faces = split(figure.faces, ids, len(posed.vertices))
        self.part, self.segment = of_vertex >> 8, (of_vertex & 255).astype(np.uint8)
        polydata: Any = pyvista.PolyData
        self.mesh = polydata.from_regular_faces(posed.vertices[self.which].astype(np.float32), faces)
        self._points = np.asarray(self.mesh.points)
        self._normals: NDArray[np.float32] | None = None
        # Those of the figure's vertices that are there twice; the others stand as they do in the figure.
        self._twins = self.which[len(posed.vertices) :]

    def same_points(self) -> Any:
        """Another mesh of the same triangles, for colours of its own."""
        import pyvista

        other: Any = pyvista.PolyData()
        other.SetPoints(self.mesh.GetPoints())
        other.SetPolys(self.mesh.GetPolys())
        return other

    def shade(self, normals: Array) -> None:
        """Give the figure's vertices their normals ``(V, 3)``."""
        if self._normals is None:
            self.mesh.point_data["Normals"] = np.zeros((len(self.which), 3), np.float32)
            self.mesh.point_data.active_normals_name = "Normals"
            self._normals = np.asarray(self.mesh.point_data["Normals"])
        self._fill(self._normals, normals)
        self.mesh.GetPointData().GetNormals().Modified()

    def move(self, vertices: Array) -> None:
        """Put the figure's vertices ``(V, 3)`` where they are now."""
        self._fill(self._points, vertices)
        # Meshes that share the points look at these alone.
        self.mesh.GetPoints().GetData().Modified()
        self.mesh.GetPoints().Modified()
        self.mesh.Modified()

    def _fill(self, rows: NDArray[np.float32], of_figure: Array) -> None:
        """Take ``(V, 3)`` of the figure over into ``(W, 3)`` of the mesh, in place."""
        rows[: len(of_figure)] = of_figure
        rows[len(of_figure) :] = of_figure[self._twins]


def split(faces: IntArray, ids: IntArray, count: int) -> tuple[IntArray, IntArray, NDArray[np.int64]]:
    """A mesh whose vertices each belong to triangles of one id.

    Args:
        faces: ``(F, 3)`` vertex numbers.
        ids: ``(F,)`` below 2¹⁶, of the triangles.
        count: of vertices.

    Returns:
        ``(W,)`` the vertex that each is, those there are first; ``(W,)`` its id; ``(F, 3)`` faces.
    """
    of_vertex = np.zeros(count, np.int64)
    of_vertex[faces] = ids[:, None]
    other = of_vertex[faces] != ids[:, None]
    twins, number = np.unique((faces * (1 << 16) + ids[:, None])[other], return_inverse=True)
    changed = faces.astype(np.int64)
    changed[other] = count + number
    which = np.concatenate([np.arange(count), twins >> 16])
    return which, np.concatenate([of_vertex, twins & 0xFFFF]), changed
