"""The one window off screen that everything is drawn in: an OpenGL context of its own for each kind of drawing costs
more than the drawing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.films.camera import Camera
from .vtk_camera import FAR_M, NEAR_M, aim
from .vtk_pixels import read_pixels, read_zbuffer

SUPERSAMPLING = 2
"""The window has so many pixels each way for one of a picture: what is drawn with one sample a pixel takes a corner."""


class Window:
    """Draws some of its actors at a time through calibrated cameras, on black.

    Attributes:
        plotter: pyvista's, without multisampling; None before it is opened and once it is closed.
    """

    def __init__(self) -> None:
        self.plotter: Any = None
        self._shown: Sequence[Any] = ()
        self._height = 0

    def open(self) -> None:
        """Open it."""
        import pyvista

        self.plotter = pyvista.Plotter(off_screen=True, window_size=[64, 64], lighting="none")
        # Supersampling does the smoothing: multisampling is slower and no better here.
        self.plotter.render_window.SetMultiSamples(0)
        self.plotter.set_background("black")

    def close(self) -> None:
        """Close it, where it is open."""
        if self.plotter is not None:
            self.plotter.close()
        self.plotter, self._shown = None, ()

    def add(self, mesh: Any, **how: Any) -> Any:
        """An actor of a mesh, out of sight until it is drawn; ``how`` as pyvista's ``add_mesh`` takes it.

        Raises:
            RuntimeError: while it is closed.
        """
        if self.plotter is None:
            raise RuntimeError("a Stage draws only inside its with block")
        actor = self.plotter.add_mesh(mesh, render=False, reset_camera=False, show_scalar_bar=False, **how)
        actor.SetVisibility(False)
        return actor

    def remove(self, actor: Any) -> None:
        """Let go of an actor."""
        self._shown = [one for one in self._shown if one is not actor]
        self.plotter.remove_actor(actor, render=False)

    def draw(
        self, camera: Camera, actors: Sequence[Any], planes: tuple[float, float] = (NEAR_M, FAR_M), *, samples: int
    ) -> None:
        """Draw these actors and nothing else.

        Args:
            camera: where from; it is taken for a pinhole.
            actors: of this window.
            planes: near and far clipping plane, metres along the optical axis.
            samples: a pixel each way, 1 or ``SUPERSAMPLING``.
        """
        for actor in self._shown:
            actor.SetVisibility(False)
        for actor in actors:
            actor.SetVisibility(True)
        self._shown = actors
        share = samples / SUPERSAMPLING
        self.plotter.renderer.SetViewport(0.0, 0.0, share, share)
        whole = camera.width * SUPERSAMPLING, camera.height * SUPERSAMPLING
        aim(self.plotter, camera.scaled(samples), planes, window=whole)
        self.plotter.render_window.Render()
        self._height = camera.height * samples

    def pixels(self, box: Sequence[int]) -> NDArray[np.uint8]:
        """What was drawn last: see ``read_pixels``; a box in samples."""
        return read_pixels(self.plotter.render_window, box, self._height)

    def zbuffer(self, box: Sequence[int]) -> NDArray[np.float32]:
        """How deep it lies: see ``read_zbuffer``; a box in samples."""
        return read_zbuffer(self.plotter.render_window, box, self._height)


def put_points(mesh: Any, points: Array) -> None:
    """Move a mesh's points ``(V, 3)`` in place; all meshes move that share them."""
    mesh.points[:] = points
    # Others look at the points alone.
    mesh.GetPoints().GetData().Modified()
    mesh.GetPoints().Modified()
    mesh.Modified()
