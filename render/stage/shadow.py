"""The figure's soft shadow on the ground."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.films.camera import Camera
from ..figure.figure import Posed
from .layers import Patch, Samples
from .light import Direction, Light
from .surface import Surface
from .vtk_camera import extent_of_rows, in_rows
from .window import SUPERSAMPLING, Window


def flattening(sun: Direction, left_handed: bool) -> NDArray[np.float64]:
    """``(4, 4)`` what lays every point of the world down along the sun's rays onto the ground."""
    flat = np.eye(4)
    flat[:2, 2] = -np.array(sun[:2]) / sun[2]
    flat[2, 2] = 0.0
    if left_handed:
        flat[1, 2] *= -1.0
    return flat


class Shadows:
    """Draws flattened figures in white.

    They share the meshes of the lit figures, so that no point is moved or copied for a shadow.

    Args:
        window: to draw in.
    """

    def __init__(self, window: Window) -> None:
        self._window = window
        self._actors: dict[Surface, Any] = {}

    def forget(self, surface: Surface) -> None:
        """Let go of a surface that is drawn no more."""
        if surface in self._actors:
            self._window.remove(self._actors.pop(surface))

    def _actor(self, surface: Surface) -> Any:
        if surface not in self._actors:
            actor = self._window.add(surface.mesh)
            # A closed body laid flat covers every place from both sides: one side does, in less time.
            actor.GetProperty().BackfaceCullingOn()
            self._actors[surface] = actor
        return self._actors[surface]

    def samples(self, camera: Camera, surface: Surface, posed: Posed, light: Light) -> Samples:
        """Where the shadow would lie if the sun were a point, with room around it for its soft edge.

        Args:
            camera: where from.
            surface: the figure's, as posed.
            posed: the figure.
            light: where the sun stands, and how soft its shadow is.

        Returns:
            White, as far as it is covered.

        """
        wanted = self._actor(surface)
        flat = flattening(light.sun, posed.figure.left_handed)
        rows = self._window.rows(posed)
        if camera.distortion:
            # The lens bends what lies on the ground and not what stands on it: the mesh takes the shadow's own points.
            points = camera.bent(posed.vertices @ flat[:3, :3].T)
            surface.move(points)
            rows, flat = in_rows(points), np.eye(4)
        wanted.SetUserMatrix(_matrix(flat))
        box = extent_of_rows(camera, rows, 3 * softness_px(camera, light) + 2, flat[:3, :3]).box
        # With one sample a pixel the shadow of the shaft breaks up.
        pixels = self._window.draw(camera, [wanted], box, samples=SUPERSAMPLING)
        return Samples(pixels, SUPERSAMPLING, box[0], box[1])


def _matrix(rows: NDArray[np.float64]) -> Any:
    """VTK's of ``(4, 4)``."""
    from vtkmodules.vtkCommonMath import vtkMatrix4x4

    matrix = vtkMatrix4x4()
    matrix.DeepCopy(rows.ravel().tolist())
    return matrix


def softness_px(camera: Camera, light: Light) -> float:
    """Sd of the blur of a shadow's edge, pixels."""
    return camera.height * light.shadow_softness


def softened(covered: NDArray[np.uint8], sd: float) -> NDArray[np.uint8]:
    """``(h, w)`` 0 to 255: how deep a shadow lies that covers so much of each pixel ``(h, w)``."""
    from PIL import Image, ImageFilter

    return np.asarray(Image.fromarray(covered).filter(ImageFilter.GaussianBlur(sd)))


def soft_patch(samples: Samples, sd: float) -> Patch:
    """How deep the shadow lies, one channel, 0 to 1."""
    from PIL import Image

    covered = np.asarray(Image.fromarray(np.ascontiguousarray(samples.pixels[..., 3])).reduce(samples.factor))
    depth = softened(covered, sd)[..., None].astype(np.float32) * np.float32(1 / 255)
    return Patch(depth, samples.left, samples.top)
