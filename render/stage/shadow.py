"""The figure's soft shadow on the ground, drawn in a small window of its own."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.films.camera import Camera
from ..figure.figure import Posed
from .layers import Patch
from .light import Direction, Light
from .vtk_camera import aim, seen_box
from .vtk_pixels import read_pixels

SAMPLES = 2
"""Samples a pixel each way: with one, the shadow of the shaft breaks up."""


def flattening(sun: Direction, left_handed: bool) -> NDArray[np.float64]:
    """``(4, 4)`` what lays every point of the world down along the sun's rays onto the ground."""
    flat = np.eye(4)
    flat[:2, 2] = -np.array(sun[:2]) / sun[2]
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

    def _actor(self, mesh: Any) -> Any:
        import pyvista

        if self._plotter is None:
            self._plotter = pyvista.Plotter(off_screen=True, window_size=[64, 64], lighting="none")
            self._plotter.render_window.SetMultiSamples(0)
            self._plotter.set_background("black")
        if id(mesh) not in self._actors:
            # The mesh is kept beside its actor, so that its id is not given to another.
            actor = self._plotter.add_mesh(mesh, color="white", lighting=False, render=False, reset_camera=False)
            actor.mapper.scalar_visibility = False
            # A closed body laid flat covers every place from both sides: one side does, in less time.
            actor.prop.culling = "back"
            self._actors[id(mesh)] = (mesh, actor)
        return self._actors[id(mesh)][1]

    def mask(self, camera: Camera, mesh: Any, posed: Posed, light: Light) -> Patch:
        """How deep the shadow lies.

        Args:
            camera: where from.
            mesh: the figure's surface, its points as posed.
            posed: the figure.
            light: where the sun stands, and how soft its shadow is.

        Returns:
            One channel, 0 to 1.

        """
        from PIL import Image, ImageFilter

        wanted = self._actor(mesh)
        for _, actor in self._actors.values():
            actor.SetVisibility(actor is wanted)
        flat = flattening(light.sun, posed.figure.left_handed)
        laid = posed.vertices @ flat[:3, :3].T
        points = camera.bent(laid)
        if camera.distortion:
            # The lens bends what lies on the ground and not what stands on it: the mesh takes the shadow's own points.
            mesh.points[:] = points
            mesh.Modified()
            flat = np.eye(4)
        wanted.user_matrix = flat
        aim(self._plotter, camera.scaled(SAMPLES))
        self._plotter.render_window.Render()
        sd = camera.height * light.shadow_softness
        box = seen_box(camera, points, margin=3 * sd + 2)
        mask = Image.fromarray(read_pixels(self._plotter, [edge * SAMPLES for edge in box])[..., 3]).reduce(SAMPLES)
        soft = mask.filter(ImageFilter.GaussianBlur(sd))
        return Patch(np.asarray(soft, np.float32)[..., None] * np.float32(1 / 255), box[0], box[1])
