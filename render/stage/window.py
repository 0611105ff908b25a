"""The one window off screen that everything is drawn in: an OpenGL context of its own for each kind of drawing costs
more than the drawing.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.films.camera import Camera
from .vtk_camera import FAR_M, NEAR_M, aim
from .vtk_pixels import read_pixels, read_zbuffer

SUPERSAMPLING = 2
"""Samples a pixel each way of colours and shadows."""
STEP = 64
"""The window grows by so many samples at a time."""


class Window:
    """Draws some of its actors at a time through calibrated cameras, on black.

    Attributes:
        plotter: pyvista's, without multisampling; None before it is opened and once it is closed.
    """

    def __init__(self) -> None:
        self.plotter: Any = None
        self._shown: Sequence[Any] = ()
        self._picture = self._size = self._drawn = (0, 0)

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

    def zbuffer(self) -> NDArray[np.float32]:
        """How deep what was drawn last lies: see ``read_zbuffer``."""
        return read_zbuffer(self.plotter.render_window, *self._drawn)
