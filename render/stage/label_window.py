"""A window that draws what each pixel shows and how far away it is, instead of how it looks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.films.camera import Camera
from ..figure.club import BALL_RADIUS_M
from ..figure.figure import Figure, Posed
from ..figure.segments import SEGMENT_ID
from .depth import depth_of_zbuffer, planes_around
from .part_ids import BALL_ID, NOTHING_ID, ids_of_pixels, part_id_colours
from .vtk_camera import aim, seen_box
from .vtk_pixels import read_pixels, read_zbuffer

KEPT_FIGURES = 6


def with_ball(posed: Posed) -> Array:
    """``(V + 2, 3)`` metres, world: a figure's vertices and two corners of the box round its ball."""
    round_ball = posed.ball + BALL_RADIUS_M * np.array([[1.0, 1.0, 1.0], [-1.0, -1.0, -1.0]])
    return np.concatenate([posed.vertices, round_ball])


@dataclass(frozen=True)
class Labels:
    """What the pixels of a box show; outside it nothing of golfer, club and ball is seen.

    Attributes:
        segments: ``(h, w)`` ids of ``segments.SEGMENTS``, 0 where none is seen.
        depth: ``(h, w)`` metres along the optical axis, infinite where nothing is seen.
        left: column of the box's first pixels in the picture.
        top: row of the box's first pixels in the picture.
    """

    segments: NDArray[np.uint8]
    depth: NDArray[np.float32]
    left: int
    top: int

    @property
    def place(self) -> tuple[slice, slice]:
        """Rows and columns of the picture that the box takes."""
        height, width = self.depth.shape
        return slice(self.top, self.top + height), slice(self.left, self.left + width)


class LabelWindow:
    """Draws figures in flat colours that are ids, one sample in the middle of each pixel; opened by the first asking.

    Ids and depths are read from one drawing, so that both tell of the same triangle. Nothing is smoothed: a mean of
    two ids or of two depths is neither.
    """

    def __init__(self) -> None:
        self._plotter: Any = None
        self._ball: Any = None
        # A figure with its mesh, its actor, and the posture and camera the mesh is in.
        self._figures: dict[Figure, tuple[Any, Any, list[Any]]] = {}
        self._shown: tuple[Camera, Posed, bool] | None = None
        self._box = (0, 0, 1, 1)

    def close(self) -> None:
        """Close the window."""
        if self._plotter is not None:
            self._plotter.close()
        self._plotter, self._ball, self._figures, self._shown = None, None, {}, None

    def forget(self, figure: Figure) -> None:
        """Let go of a figure that is drawn no more."""
        if figure in self._figures:
            _, actor, _ = self._figures.pop(figure)
            self._plotter.remove_actor(actor, render=False)
            self._shown = None

    def labels(self, camera: Camera, posed: Posed, *, ball: bool = True) -> Labels:
        """See ``Stage.labels``."""
        self._draw(camera, posed, ball)
        pixels = read_pixels(self._plotter, self._box)
        depth = depth_of_zbuffer(read_zbuffer(self._plotter, self._box), *self._plotter.camera.GetClippingRange())
        return Labels(pixels[..., 2].copy(), depth, self._box[0], self._box[1])

    def part_ids(self, camera: Camera, posed: Posed, *, ball: bool = True) -> NDArray[np.uint16]:
        """``(height, width)``; see ``Stage.part_ids``."""
        self._draw(camera, posed, ball)
        ids = np.full((camera.height, camera.width), NOTHING_ID, np.uint16)
        left, top, right, bottom = self._box
        ids[top:bottom, left:right] = ids_of_pixels(read_pixels(self._plotter, self._box))
        return ids

    def depth(self, camera: Camera, posed: Posed, *, ball: bool = True) -> NDArray[np.float32]:
        """``(height, width)`` metres; see ``Stage.depth``."""
        self._draw(camera, posed, ball)
        depth = np.full((camera.height, camera.width), np.inf, np.float32)
        left, top, right, bottom = self._box
        planes = self._plotter.camera.GetClippingRange()
        depth[top:bottom, left:right] = depth_of_zbuffer(read_zbuffer(self._plotter, self._box), *planes)
        return depth

    def _draw(self, camera: Camera, posed: Posed, ball: bool) -> None:
        shown = self._shown
        if shown is not None and shown[0] is camera and shown[1] is posed and shown[2] == ball:
            return
        if self._plotter is None:
            self._open()
        self._shown = None
        wanted = self._actor(camera, posed)
        for _, actor, _ in self._figures.values():
            actor.SetVisibility(actor is wanted)
        self._ball.SetVisibility(ball)
        self._ball.SetPosition(*camera.bent(posed.ball))
        points = camera.bent(with_ball(posed) if ball else posed.vertices)
        aim(self._plotter, camera, planes_around(camera, points))
        self._plotter.render_window.Render()
        self._box = seen_box(camera, points)
        self._shown = camera, posed, ball

    def _open(self) -> None:
        import pyvista

        plotter: Any = pyvista.Plotter(off_screen=True, window_size=[64, 64], lighting="none")
        plotter.render_window.SetMultiSamples(0)
        plotter.set_background("black")
        self._plotter = plotter
        sphere = pyvista.Sphere(radius=BALL_RADIUS_M, theta_resolution=24, phi_resolution=24)
        self._ball = self._add(sphere, np.full(sphere.n_cells, BALL_ID - 1), SEGMENT_ID["ball"])

    def _add(self, mesh: Any, parts: NDArray[Any], segments: NDArray[Any] | int) -> Any:
        """Colours belong to the triangles: on the vertices they would be mixed across an edge."""
        mesh.cell_data["id"] = part_id_colours(parts, segments)
        return self._plotter.add_mesh(
            mesh, scalars="id", rgb=True, preference="cell", lighting=False, render=False, show_scalar_bar=False,
            reset_camera=False,
        )  # fmt: skip

    def _actor(self, camera: Camera, posed: Posed) -> Any:
        """The actor of a figure, made once, its points changed in place."""
        import pyvista

        figure = posed.figure
        if figure not in self._figures:
            while len(self._figures) >= KEPT_FIGURES:
                self.forget(next(iter(self._figures)))
            surface: Any = pyvista.PolyData
            mesh = surface.from_regular_faces(posed.vertices.astype(np.float32), figure.faces)
            self._figures[figure] = mesh, self._add(mesh, figure.part_of_face, figure.segment_of_face), [None, None]
        mesh, actor, standing = self._figures[figure]
        lens = camera if camera.distortion else None
        if standing[0] is not posed or standing[1] is not lens:
            mesh.points[:] = camera.bent(posed.vertices)
            mesh.Modified()
            standing[:] = posed, lens
        return actor
