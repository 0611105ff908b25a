"""One window off screen, kept open, that draws posed figures through calibrated cameras."""

from __future__ import annotations

from types import TracebackType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..model.arrays import Array, ArrayLike
from .camera import Camera
from .club import BALL_RADIUS_M
from .figure import Figure, Posed
from .layers import Layer, Layers, shrink
from .look import Look
from .opengl import require_opengl
from .scenery import scenery
from .vtk_camera import aim

SUPERSAMPLING = 2
KEPT_FIGURES = 4
SUN = np.array([0.30, -0.22, 1.0])
"""Where the shadow-casting light comes from, world; mirrored for a left-handed golfer."""


class Stage:
    """Draws figures; use it as a context manager so that the window closes.

    Args:
        look: the colours.

    Raises:
        OpenGLMissing: on entering, where no window can be opened.

    """

    def __init__(self, look: Look | None = None) -> None:
        self.look = look or Look()
        self._plotter: Any = None
        self._actors: dict[Figure, tuple[Any, Any]] = {}
        self._ball: Any = None

    def __enter__(self) -> Stage:
        require_opengl()
        import pyvista

        plotter: Any = pyvista.Plotter(off_screen=True, window_size=[64, 64], lighting="none")
        # Supersampling does the smoothing: multisampling is slower and no better here.
        plotter.render_window.SetMultiSamples(0)
        plotter.set_background("black")
        self._plotter = plotter
        self._light(pyvista)
        ball = pyvista.Sphere(radius=BALL_RADIUS_M, theta_resolution=24, phi_resolution=24)
        self._ball = plotter.add_mesh(ball, color=self.look.ball, ambient=0.45, diffuse=0.6, render=False)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._plotter is not None:
            self._plotter.close()
        self._plotter, self._actors = None, {}

    def _light(self, pyvista: Any) -> None:
        key = pyvista.Light(light_type="scene light", intensity=0.62)
        key.position, key.focal_point, key.positional = (3.0, -2.6, 5.0), (0.0, 0.0, 0.8), False
        fill = pyvista.Light(light_type="headlight", intensity=0.36)
        sky = pyvista.Light(light_type="scene light", intensity=0.20)
        sky.position, sky.focal_point, sky.positional = (-3.0, 3.0, 4.0), (0.0, 0.0, 0.8), False
        for light in (key, fill, sky):
            self._plotter.add_light(light)
        self._key, self._sky = key, sky

    def _actor(self, posed: Posed) -> tuple[Any, Any]:
        """The mesh and actor of a figure, made once, its points and normals changed in place."""
        import pyvista

        figure = posed.figure
        if figure not in self._actors:
            while len(self._actors) >= KEPT_FIGURES:
                self._plotter.remove_actor(self._actors.pop(next(iter(self._actors)))[1], render=False)
            surface: Any = pyvista.PolyData
            mesh = surface.from_regular_faces(posed.vertices.astype(np.float32), figure.faces)
            mesh.point_data["colour"] = figure.vertex_colours(self.look)
            mesh.point_data["Normals"] = figure.normals(posed.vertices).astype(np.float32)
            mesh.point_data.active_normals_name = "Normals"
            actor = self._plotter.add_mesh(
                mesh, scalars="colour", rgb=True, smooth_shading=False, ambient=0.34, diffuse=0.72,
                specular=0.06, specular_power=12, render=False, show_scalar_bar=False, reset_camera=False,
            )  # fmt: skip
            actor.prop.interpolation = "Phong"
            self._actors[figure] = (mesh, actor)
        return self._actors[figure]

    def _draw(self, camera: Camera, posed: Posed, vertices: Array, *, lit: bool, ball: bool) -> Layer:
        plotter = self._plotter
        if plotter is None:
            raise RuntimeError("a Stage draws only inside its with block")
        mesh, actor = self._actor(posed)
        mesh.points[:] = vertices
        if lit:
            mesh.point_data["Normals"][:] = posed.figure.normals(vertices)
        mesh.Modified()
        for other_mesh, other in self._actors.values():
            other.SetVisibility(other_mesh is mesh)
        actor.prop.lighting = lit
        self._ball.SetVisibility(ball)
        self._ball.SetPosition(*posed.ball)
        side = -1.0 if posed.figure.left_handed else 1.0
        self._key.position = (3.0, -2.6 * side, 5.0)
        self._sky.position = (-3.0, 3.0 * side, 4.0)
        fine = camera.scaled(SUPERSAMPLING)
        aim(plotter, fine)
        plotter.render()
        return shrink(_read(plotter), SUPERSAMPLING)

    def figure_layer(self, camera: Camera, posed: Posed, *, ball: bool = True) -> Layer:
        """The lit figure alone, ``(height, width, 4)``, colours multiplied by alpha."""
        return self._draw(camera, posed, posed.vertices, lit=True, ball=ball)

    def shadow(self, camera: Camera, posed: Posed) -> NDArray[np.float32]:
        """``(height, width)`` 0 to 1: how deep the figure's soft shadow lies on the ground."""
        from PIL import Image, ImageFilter

        side = np.array([1.0, -1.0 if posed.figure.left_handed else 1.0])
        flat = posed.vertices.copy()
        flat[:, :2] -= flat[:, 2:] * (SUN[:2] / SUN[2] * side)
        flat[:, 2] = 0.0
        mask = self._draw(camera, posed, flat, lit=False, ball=False)[..., 3]
        soft = Image.fromarray(np.uint8(255 * mask)).filter(ImageFilter.GaussianBlur(camera.height / 170))
        return np.asarray(soft, np.float32) * np.float32(1 / 255)

    def ground(self, camera: Camera, ball: ArrayLike, *, left_handed: bool = False) -> NDArray[np.float32]:
        """``(height, width, 3)`` 0 to 1: backdrop, ground and target line."""
        return scenery(camera, np.asarray(ball, float), self.look, left_handed=left_handed)

    def layers(self, camera: Camera, posed: Posed, ghost: Posed | None = None) -> Layers:
        """Everything a picture is composed of.

        Args:
            camera: where from.
            posed: the figure.
            ghost: another posture, to be drawn translucent.

        """
        ground = self.ground(camera, posed.ball, left_handed=posed.figure.left_handed)
        pale = None if ghost is None else self.figure_layer(camera, ghost, ball=False)
        return Layers(ground, self.shadow(camera, posed), self.figure_layer(camera, posed), pale)

    def picture(self, camera: Camera, posed: Posed, ghost: Posed | None = None) -> NDArray[np.uint8]:
        """``(height, width, 3)`` red, green, blue: a whole picture; arguments as for ``layers``."""
        return self.layers(camera, posed, ghost).compose()


def _read(plotter: Any) -> NDArray[np.uint8]:
    """``(h, w, 4)`` the window's pixels with coverage as alpha, top row first."""
    pixels = np.array(plotter.screenshot(None, return_img=True, transparent_background=True))
    # Where nothing was drawn the colour is the background's; black lets the colours be averaged.
    pixels[..., :3] *= pixels[..., 3:] // 255
    return pixels
