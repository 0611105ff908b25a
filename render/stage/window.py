"""The one window off screen that everything is drawn in: an OpenGL context of its own for each kind of drawing costs
more than the drawing.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.films.camera import Camera
from ..figure.club import BALL_RADIUS_M
from ..figure.figure import Posed
from ..palette import Colour
from .light import GLOSS, Matter
from .vtk_camera import FAR_M, NEAR_M, Extent, aim, extent_of_rows, in_rows
from .vtk_pixels import read_pixels, read_zbuffer

SUPERSAMPLING = 2
"""Samples a pixel each way of colours and shadows."""
STEP = 64
"""The window grows by so many samples at a time."""


_ROUND_BALL = BALL_RADIUS_M * np.array([[1.0, 1.0, 1.0], [-1.0, -1.0, -1.0]])
"""From a ball's centre, two corners of the box round it."""


class Window:
    """Draws some of its actors at a time through calibrated cameras, on black.

    Attributes:
        plotter: pyvista's, without multisampling; None before it is opened and once it is closed.
    """

    def __init__(self) -> None:
        self.plotter: Any = None
        self._shown: Sequence[Any] = ()
        self._seen: tuple[Camera, Posed, Extent, Array] | None = None
        self._rows: tuple[Posed, NDArray[np.float32]] | None = None
        self._picture = self._size = self._drawn = (0, 0)

    def open(self) -> None:
        """Open it."""
        import pyvista

        self.plotter = pyvista.Plotter(off_screen=True, window_size=[64, 64], lighting="none")
        # Supersampling does the smoothing: multisampling is slower and no better here.
        self.plotter.render_window.SetMultiSamples(0)
        # Nobody looks at the window itself: pixels are read before they would be copied there.
        self.plotter.render_window.SwapBuffersOff()
        self.plotter.set_background("black")
        # What is drawn is in sight: to ask how much of it would take the bounds of every mesh that has moved.
        self.plotter.renderer.GetCullers().RemoveAllItems()
        self.plotter.renderer.camera_set = True

    def close(self) -> None:
        """Close it, where it is open."""
        if self.plotter is not None:
            self.plotter.close()
        self.plotter, self._shown, self._seen, self._rows = None, (), None, None

    def add(self, mesh: Any, *, colours: NDArray[np.uint8] | None = None, matter: Matter | None = None) -> Any:
        """A VTK actor of a mesh, out of sight until it is drawn.

        VTK's own, since pyvista's asks Python at every drawing whether anything has changed.

        Args:
            mesh: what is drawn.
            colours: ``(V, 3)`` its vertices' red, green and blue; white by default.
            matter: how it throws light back; None for colours as they are, whatever the light.

        Raises:
            RuntimeError: while it is closed.
        """
        from vtkmodules.vtkRenderingCore import vtkActor, vtkPolyDataMapper

        if self.plotter is None:
            raise RuntimeError("a Stage draws only inside its with block")
        mapper, actor = vtkPolyDataMapper(), vtkActor()
        mapper.SetInputData(mesh)
        mapper.SetStatic(True)  # Points are moved in place: no filter is to be asked for them.
        mapper.SetScalarVisibility(colours is not None)
        if colours is not None:
            # With an alpha they are drawn as they are; without one they would be copied whenever the mesh moves.
            opaque = np.full((len(colours), 1), 255, np.uint8)
            mesh.point_data["colours"] = np.concatenate([colours, opaque], axis=1)
            mesh.GetPointData().SetActiveScalars("colours")
        actor.SetMapper(mapper)
        look = actor.GetProperty()
        look.SetLighting(matter is not None)
        if matter is not None:
            look.SetAmbient(matter.ambient)
            look.SetDiffuse(matter.diffuse)
            look.SetSpecular(matter.specular)
            look.SetSpecularPower(matter.power)
            look.SetSpecularColor(*(part / 255 for part in GLOSS))
        actor.SetVisibility(False)
        self.plotter.renderer.AddActor(actor)
        return actor

    def remove(self, actor: Any) -> None:
        """Let go of an actor."""
        self._shown = [one for one in self._shown if one is not actor]
        self.plotter.renderer.RemoveActor(actor)

    def rows(self, posed: Posed) -> NDArray[np.float32]:
        """``(3, V)`` metres, world: a figure's vertices coordinate by coordinate.

        Kept for the last one that was asked for, since shadows and all tripods ask.
        """
        if self._rows is None or self._rows[0] is not posed:
            self._rows = posed, in_rows(posed.vertices)
        return self._rows[1]

    def seen(self, camera: Camera, posed: Posed) -> tuple[Extent, Array]:
        """Where in a camera's picture a figure and its ball are, and ``(V, 3)`` metres, world, as the lens bends it.

        Kept for the last one that was asked for, since ids and colours both ask.
        """
        last = self._seen
        if last is None or last[0] is not camera or last[1] is not posed:
            bent = camera.bent(posed.vertices)
            rows = in_rows(bent) if camera.distortion else self.rows(posed)
            figure, ball = (
                extent_of_rows(camera, one) for one in (rows, in_rows(camera.bent(posed.ball + _ROUND_BALL)))
            )
            last = self._seen = camera, posed, figure.around(ball), bent
        return last[2], last[3]

    def draw(
        self,
        camera: Camera,
        actors: Sequence[Any],
        box: tuple[int, int, int, int],
        planes: tuple[float, float] = (NEAR_M, FAR_M),
        *,
        samples: int,
    ) -> NDArray[np.uint8]:
        """Draw these actors and nothing else.

        The box alone is drawn, in a corner of a window that is as large as the largest so far: no more is cleared and
        copied than is needed, and what is drawn depends on the box alone.

        Args:
            camera: where from; it is taken for a pinhole.
            actors: of this window.
            box: the part of the camera's picture that is wanted: left, top, right, bottom in pixels, the last two not
                included.
            planes: near and far clipping plane, metres along the optical axis.
            samples: a pixel each way.

        Returns:
            ``(h samples, w samples, 4)``: see ``read_pixels``.
        """
        for actor in self._shown:
            actor.SetVisibility(False)
        for actor in actors:
            actor.SetVisibility(True)
        self._shown = actors
        part = camera.cropped(box).scaled(samples)
        size = self._grown((camera.width, camera.height), (part.width, part.height))
        self.plotter.renderer.SetViewport(0.0, 0.0, part.width / size[0], part.height / size[1])
        aim(self.plotter, part, planes, window=size)
        self.plotter.render_window.Render()
        self._drawn = part.width, part.height
        return read_pixels(self.plotter.render_window, *self._drawn)

    def _grown(self, picture: tuple[int, int], needed: tuple[int, int]) -> tuple[int, int]:
        """A size that has room; from picture to picture of one size it never shrinks."""
        if picture != self._picture:
            self._picture, self._size = picture, (0, 0)
        width, height = (max(-(-more // STEP) * STEP, now) for more, now in zip(needed, self._size, strict=True))
        self._size = width, height
        return self._size

    @staticmethod
    def paint(actor: Any, colour: Colour) -> None:
        """Give an actor without colours of its own one colour."""
        actor.GetProperty().SetColor(*(part / 255 for part in colour))

    def zbuffer(self) -> NDArray[np.float32]:
        """How deep what was drawn last lies: see ``read_zbuffer``."""
        return read_zbuffer(self.plotter.render_window, *self._drawn)
