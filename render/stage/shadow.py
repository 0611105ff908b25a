"""The figure's soft shadow on the ground, drawn in a small window of its own."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.films.camera import Camera
from ..figure.figure import Posed
from .layers import Patch
from .vtk_camera import aim, seen_box
from .vtk_pixels import read_pixels

SUN = np.array([0.30, -0.22, 1.0])
"""Where the shadow-casting light comes from, world; mirrored for a left-handed golfer."""
SAMPLES = 2
"""Samples a pixel each way: with one, the shadow of the shaft breaks up."""
SOFTNESS = 170
"""The shadow's edge is blurred by a Gaussian whose sd is the picture's height over this (by looking)."""


def flattening(left_handed: bool) -> NDArray[np.float64]:
    """``(4, 4)`` what lays every point of the world down along the sun's rays onto the ground."""
    flat = np.eye(4)
    flat[:2, 2] = -SUN[:2] / SUN[2]
    flat[2, 2] = 0.0
    if left_handed:
        flat[1, 2] *= -1.0
    return flat


class ShadowWindow:
    """Draws flattened figures black on white; opened by the first shadow.

    It shares the meshes of the lit figures, so that no point is moved or copied for a shadow.
    """

    def __init__(self) -> None:
        self._plotter: Any = None
        self._actors: dict[int, tuple[Any, Any]] = {}

    def close(self) -> None:
        """Close the window."""
        if self._plotter is not None:
            self._plotter.close()
        self._plotter, self._actors = None, {}

    def forget(self, mesh: Any) -> None:
        """Let go of a mesh that is drawn no more."""
        _, actor = self._actors.pop(id(mesh), (None, None))
        if actor is not None:
            self._plotter.remove_actor(actor, render=False)

    def _actor(self, mesh: Any, left_handed: bool) -> Any:
        import pyvista

        if self._plotter is None:
            self._plotter = pyvista.Plotter(off_screen=True, window_size=[64, 64], lighting="none")
            self._plotter.render_window.SetMultiSamples(0)
            self._plotter.set_background("black")
        if id(mesh) not in self._actors:
            # The mesh is kept beside its actor, so that its id is not given to another.
            actor = self._plotter.add_mesh(mesh, color="white", lighting=False, render=False, reset_camera=False)
            actor.mapper.scalar_visibility = False
            actor.user_matrix = flattening(left_handed)
            self._actors[id(mesh)] = (mesh, actor)
        return self._actors[id(mesh)][1]

    def mask(self, camera: Camera, mesh: Any, posed: Posed) -> Patch:
        """How deep the shadow lies.

        Args:
            camera: where from.
            mesh: the figure's surface, its points as posed.
            posed: the figure.

        Returns:
            One channel, 0 to 1.

        """
        from PIL import Image, ImageFilter

        wanted = self._actor(mesh, posed.figure.left_handed)
        for _, actor in self._actors.values():
            actor.SetVisibility(actor is wanted)
        aim(self._plotter, camera.scaled(SAMPLES))
        self._plotter.render_window.Render()
        sd = camera.height / SOFTNESS
        flat = flattening(posed.figure.left_handed)[:3, :3]
        box = seen_box(camera, posed.vertices @ flat.T, margin=3 * sd + 2)
        mask = Image.fromarray(read_pixels(self._plotter, [edge * SAMPLES for edge in box])[..., 3]).reduce(SAMPLES)
        soft = mask.filter(ImageFilter.GaussianBlur(sd))
        return Patch(np.asarray(soft, np.float32)[..., None] * np.float32(1 / 255), box[0], box[1])
