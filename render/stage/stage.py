"""One window off screen, kept open, that draws posed figures through calibrated cameras."""

from __future__ import annotations

from collections.abc import Sequence
from types import TracebackType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.chain.skeleton import Skeleton
from ...model.films.camera import Camera
from ..body.body_surface import MeasuredBody
from ..figure.club import BALL_RADIUS_M
from ..figure.figure import Figure, Posed
from ..figure.look import Look
from .label_drawing import LabelDrawing, Labels
from .layers import Layer, Layers, Patch, Samples, shrink
from .light import BALL_MATTER, FIGURE_MATTER, Light
from .opengl import require_opengl
from .scenery import scenery
from .shadow import Shadows, soft_patch, softness_px
from .surface import Surface
from .vtk_camera import Extent, extent
from .window import SUPERSAMPLING, Window

KEPT_FIGURES = 6
LIT_FROM = (0.0, 0.0, 0.8)
"""Metres, world: lamps shine toward here."""


def _load() -> None:
    """Load what draws; it takes as long as finding out whether anything can be drawn."""
    import pyvista

    # Named, since it loads its plotting when it is asked for.
    _ = pyvista.Plotter


KEPT_GROUNDS = 3
"""Of a stage: one for each view."""


class Stage:
    """Draws figures; use it as a context manager so that the window closes.

    Args:
        look: what golfers look like for whom nothing else is asked; each body's usual by default. A figure keeps
            the look it was made with.

    Raises:
        OpenGLMissing: on entering, where no window can be opened.

    """

    def __init__(self, look: Look | None = None) -> None:
        self.look = look
        self._window = Window()
        self._figures: dict[tuple[bytes, Look], Figure] = {}
        self._actors: dict[Figure, tuple[Surface, Any]] = {}
        self._grounds: dict[tuple[object, ...], NDArray[np.float32]] = {}
        self._standing: dict[Figure, tuple[Posed, Camera | None]] = {}
        self._shadows = Shadows(self._window)
        self._labels = LabelDrawing(self._window)
        self._ball: Any = None

    def __enter__(self) -> Stage:
        require_opengl(meanwhile=_load)
        import pyvista

        self._window.open()
        self._add_lights(pyvista)
        ball = pyvista.Sphere(radius=BALL_RADIUS_M, theta_resolution=24, phi_resolution=24)
        self._ball = self._window.add(ball, matter=BALL_MATTER)
        self._ball.GetProperty().SetInterpolationToFlat()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._window.close()
        self._shadows, self._labels = Shadows(self._window), LabelDrawing(self._window)
        self._actors, self._standing = {}, {}

    def figure(
        self, body: MeasuredBody, address: Skeleton, *, left_handed: bool = False, look: Look | None = None
    ) -> Figure:
        """The figure of a body, made once for all swings from the same address; arguments as for ``Figure``.

        Without a look it has the stage's.
        """
        look = look or self.look or Look.usual(float(body.female))
        measures = [*body.shape.values(), body.female, left_handed, *address.joints.values(), *address.frames.values()]
        key = b"".join(np.asarray(value, float).tobytes() for value in (*measures, address.spine)), look
        if key not in self._figures:
            while len(self._figures) >= KEPT_FIGURES:
                del self._figures[next(iter(self._figures))]
            self._figures[key] = Figure(body, address, left_handed=left_handed, look=look)
        return self._figures[key]

    def _add_lights(self, pyvista: Any) -> None:
        self._lamps = {}
        for name, toward, _ in Light().lamps():
            lamp = pyvista.Light(light_type="headlight" if toward is None else "scene light")
            if toward is not None:
                lamp.focal_point, lamp.positional = LIT_FROM, False
            self._lamps[name] = lamp
            self._window.plotter.add_light(lamp)

    def _shine(self, light: Light, left_handed: bool) -> None:
        """Set all lamps, so that none keeps what it was in the last picture."""
        side = -1.0 if left_handed else 1.0
        for name, toward, strength in light.lamps():
            if toward is not None:
                x, y, z = toward
                self._lamps[name].position = (LIT_FROM[0] + x, LIT_FROM[1] + y * side, LIT_FROM[2] + z)
            self._lamps[name].intensity = strength

    def _actor(self, posed: Posed) -> tuple[Surface, Any]:
        """The surface and actor of a figure, made once."""
        figure = posed.figure
        if figure not in self._actors:
            while len(self._actors) >= KEPT_FIGURES:
                self._forget(next(iter(self._actors)))
            self._actors[figure] = self._new_actor(posed)
        return self._actors[figure]

    def _placed(self, camera: Camera, posed: Posed) -> tuple[Surface, Any]:
        """The same, points and normals changed in place where they are not as posed or not as the lens bends them."""
        surface, actor = self._actor(posed)
        lens = camera if camera.distortion else None
        standing, bent_by = self._standing.get(posed.figure, (None, None))
        if standing is not posed:
            surface.shade(posed.normals)
        if standing is not posed or bent_by is not lens:
            surface.move(self._window.seen(camera, posed)[1])
            self._standing[posed.figure] = posed, lens
        return surface, actor

    def _new_actor(self, posed: Posed) -> tuple[Surface, Any]:
        surface = Surface(posed)
        colours = posed.figure.vertex_colours()[surface.which]
        surface.shade(np.zeros_like(posed.vertices))
        actor = self._window.add(surface.mesh, colours=colours, matter=FIGURE_MATTER)
        actor.GetProperty().SetInterpolationToPhong()
        return surface, actor

    def _forget(self, figure: Figure) -> None:
        surface, actor = self._actors.pop(figure)
        self._standing.pop(figure, None)
        self._window.remove(actor)
        self._shadows.forget(surface)
        self._labels.forget(figure)

    def figure_patch(
        self, camera: Camera, posed: Posed, *, ball: bool = True, light: Light | None = None, one_sided: bool = False
    ) -> Patch:
        """The lit figure alone, where it is; arguments as for ``figure_samples``."""
        return _patch(self.figure_samples(camera, posed, ball=ball, light=light, one_sided=one_sided))

    def figure_samples(
        self, camera: Camera, posed: Posed, *, ball: bool = True, light: Light | None = None, one_sided: bool = False
    ) -> Samples:
        """The lit figure alone, where it is, as it was drawn: colours multiplied by alpha; arguments as for
        ``figure_layer``.

        ``one_sided`` leaves out triangles seen from behind, which is a third faster: a closed surface shows none but
        where skin folds over, in a few pixels.
        """
        _, actor = self._placed(camera, posed)
        actor.GetProperty().SetBackfaceCulling(one_sided)
        self._ball.SetPosition(*camera.bent(posed.ball))
        self._window.paint(self._ball, posed.figure.look.ball)
        self._shine(light or Light(), posed.figure.left_handed)
        drawn = [actor, self._ball] if ball else [actor]
        return self._drawn(camera, drawn, self._window.seen(camera, posed)[0])

    def figure_layer(self, camera: Camera, posed: Posed, *, ball: bool = True, light: Light | None = None) -> Layer:
        """The lit figure alone, ``(height, width, 4)``, colours multiplied by alpha.

        Args:
            camera: where from.
            posed: the figure.
            ball: whether the ball is there.
            light: what lights it, the usual by default.

        """
        return self.figure_patch(camera, posed, ball=ball, light=light).whole(camera.height, camera.width)

    def silhouette(self, camera: Camera, posed: Posed) -> Patch:
        """How much of each pixel the body covers, without arms and club, one channel, where it is."""
        import pyvista

        surface: Any = pyvista.PolyData
        mesh = surface.from_regular_faces(camera.bent(posed.vertices).astype(np.float32), posed.figure.body_faces)
        # Drawn once for a film, so that it is worth no place among the figures that are kept.
        actor = self._window.add(mesh)
        pixels = _patch(self._drawn(camera, [actor], extent(camera, camera.bent(posed.vertices))))
        self._window.remove(actor)
        return Patch(pixels.pixels[..., 3:], pixels.left, pixels.top)

    def _drawn(self, camera: Camera, actors: Sequence[Any], seen: Extent) -> Samples:
        """What actors look like that are in a part of the picture."""
        box, planes = seen
        fine = self._window.draw(camera, actors, box, planes, samples=SUPERSAMPLING)
        return Samples(fine, SUPERSAMPLING, box[0], box[1])

    def shadow(self, camera: Camera, posed: Posed, *, light: Light | None = None) -> NDArray[np.float32]:
        """``(height, width)`` 0 to 1: how deep the figure's soft shadow lies on the ground."""
        return self.shadow_patch(camera, posed, light=light).whole(camera.height, camera.width)[..., 0]

    def shadow_patch(self, camera: Camera, posed: Posed, *, light: Light | None = None) -> Patch:
        """The same, one channel, where it is."""
        light = light or Light()
        return soft_patch(self.shadow_samples(camera, posed, light=light), softness_px(camera, light))

    def shadow_samples(self, camera: Camera, posed: Posed, *, light: Light) -> Samples:
        """Where the figure's shadow lies on the ground before its edge is softened, in white."""
        if camera.distortion:
            # The shadow puts points of its own into the mesh.
            surface, _ = self._actor(posed)
            self._standing.pop(posed.figure, None)
        else:
            surface, _ = self._placed(camera, posed)
        return self._shadows.samples(camera, surface, posed, light)

    def labels(self, camera: Camera, posed: Posed, *, ball: bool = True) -> Labels:
        """Segments and depth of what the middles of the pixels show, in the figure's box, from one drawing.

        Arguments as for ``part_ids``.
        """
        return self._labels.labels(camera, posed, self._placed(camera, posed)[0], ball=ball)

    def part_ids(self, camera: Camera, posed: Posed, *, ball: bool = True) -> NDArray[np.uint16]:
        """What each pixel shows.

        Args:
            camera: where from.
            posed: the figure.
            ball: whether the ball is there.

        Returns:
            ``(height, width)``: k + 1 where the middle of the pixel shows ``figure.parts[k]``,
            ``part_ids.BALL_ID`` the ball, and 0 neither. The colour picture is smoothed over a pixel; this is not.

        """
        return self._labels.part_ids(camera, posed, self._placed(camera, posed)[0], ball=ball)

    def depth(self, camera: Camera, posed: Posed, *, ball: bool = True) -> NDArray[np.float32]:
        """``(height, width)`` metres along the optical axis to what the middle of each pixel shows.

        Infinite where neither figure nor ball is seen: the ground is painted and has no depth. Arguments as for
        ``part_ids``; of one moment, one camera and one ball both come from one drawing.
        """
        return self._labels.depth(camera, posed, self._placed(camera, posed)[0], ball=ball)

    def ground(self, camera: Camera, posed: Posed) -> NDArray[np.float32]:
        """``(height, width, 3)`` 0 to 1: backdrop, ground and target line of a figure's look, at its ball.

        The last few are kept, one a view, since swings that are compared stand on the same; they are read-only.
        """
        look, left_handed = posed.figure.look, posed.figure.left_handed
        places = (camera.K, camera.R, camera.t, posed.ball)
        size = camera.width, camera.height, camera.distortion
        key = tuple(np.asarray(place, float).tobytes() for place in places), size, look, left_handed
        kept = self._grounds.pop(key, None)
        if kept is None:
            kept = scenery(camera, posed.ball, look, left_handed=left_handed)
            kept.flags.writeable = False
        self._grounds[key] = kept
        while len(self._grounds) > KEPT_GROUNDS:
            del self._grounds[next(iter(self._grounds))]
        return kept

    def layers(self, camera: Camera, posed: Posed, ghost: Posed | None = None) -> Layers:
        """Everything a picture is composed of.

        Args:
            camera: where from.
            posed: the figure.
            ghost: another posture, to be drawn as an outline of its body.

        """
        ground = self.ground(camera, posed)
        outline = None if ghost is None else self.silhouette(camera, ghost).whole(camera.height, camera.width)[..., 0]
        return Layers(ground, self.shadow(camera, posed), self.figure_layer(camera, posed), outline)

    def picture(self, camera: Camera, posed: Posed, ghost: Posed | None = None) -> NDArray[np.uint8]:
        """``(height, width, 3)`` red, green, blue: a whole picture; arguments as for ``layers``."""
        return self.layers(camera, posed, ghost).compose()


def _patch(samples: Samples) -> Patch:
    return Patch(shrink(samples.pixels, samples.factor), samples.left, samples.top)
