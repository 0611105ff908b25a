"""Drawing what each pixel shows and how far away it is, instead of how it looks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ...model.films.camera import Camera
from ..figure.club import BALL_RADIUS_M
from ..figure.figure import Figure, Posed
from ..figure.segments import SEGMENT_ID
from .depth import depth_of_zbuffer
from .part_ids import BALL_ID, NOTHING_ID, ids_of_pixels, part_id_colours
from .surface import Surface
from .vtk_camera import extent
from .window import Window


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


class LabelDrawing:
    """Draws figures in flat colours that are ids, one sample in the middle of each pixel.

    Ids and depths are read from one drawing, so that both tell of the same triangle. Nothing is smoothed: a mean of
    two ids or of two depths is neither.

    Args:
        window: to draw in.
    """

    def __init__(self, window: Window) -> None:
        self._window = window
        self._ball: Any = None
        self._actors: dict[Figure, Any] = {}
        self._last: tuple[Camera, Posed, bool, _Read] | None = None

    def forget(self, figure: Figure) -> None:
        """Let go of a figure that is drawn no more."""
        if figure in self._actors:
            self._window.remove(self._actors.pop(figure))
            self._last = None

    def labels(self, camera: Camera, posed: Posed, surface: Surface, *, ball: bool = True) -> Labels:
        """See ``Stage.labels``; ``surface`` is the figure's, as posed and as the lens bends it."""
        read = self._drawn(camera, posed, surface, ball)
        return Labels(read.pixels[..., 2].copy(), read.depth.copy(), read.box[0], read.box[1])

    def part_ids(self, camera: Camera, posed: Posed, surface: Surface, *, ball: bool = True) -> NDArray[np.uint16]:
        """``(height, width)``; see ``Stage.part_ids``."""
        read = self._drawn(camera, posed, surface, ball)
        ids = np.full((camera.height, camera.width), NOTHING_ID, np.uint16)
        left, top, right, bottom = read.box
        ids[top:bottom, left:right] = ids_of_pixels(read.pixels)
        return ids

    def depth(self, camera: Camera, posed: Posed, surface: Surface, *, ball: bool = True) -> NDArray[np.float32]:
        """``(height, width)`` metres; see ``Stage.depth``."""
        read = self._drawn(camera, posed, surface, ball)
        depth = np.full((camera.height, camera.width), np.inf, np.float32)
        left, top, right, bottom = read.box
        depth[top:bottom, left:right] = read.depth
        return depth

    def _drawn(self, camera: Camera, posed: Posed, surface: Surface, ball: bool) -> _Read:
        last = self._last
        if last is not None and last[0] is camera and last[1] is posed and last[2] == ball:
            return last[3]
        actors = [self._actor(posed.figure, surface)]
        if ball:
            actors.append(self._placed_ball(camera, posed))
        box, planes = self._window.seen(camera, posed)[0] if ball else extent(camera, camera.bent(posed.vertices))
        pixels = self._window.draw(camera, actors, box, planes, samples=1)
        read = _Read(pixels, depth_of_zbuffer(self._window.zbuffer(), *planes), box)
        self._last = camera, posed, ball, read
        return read

    def _placed_ball(self, camera: Camera, posed: Posed) -> Any:
        import pyvista

        if self._ball is None:
            sphere = pyvista.Sphere(radius=BALL_RADIUS_M, theta_resolution=24, phi_resolution=24)
            self._ball = self._added(sphere, np.full(sphere.n_points, BALL_ID - 1), SEGMENT_ID["ball"])
        self._ball.SetPosition(*camera.bent(posed.ball))
        return self._ball

    def _added(self, mesh: Any, parts: NDArray[Any], segments: NDArray[Any] | int) -> Any:
        return self._window.add(mesh, colours=part_id_colours(parts, segments))

    def _actor(self, figure: Figure, surface: Surface) -> Any:
        """The actor of a figure, made once; its points are those of the lit figure."""
        if figure not in self._actors:
            self._actors[figure] = self._added(surface.same_points(), surface.part, surface.segment)
        return self._actors[figure]


class _Read(NamedTuple):
    """What was read after a drawing: ``(h, w, 4)`` colours, ``(h, w)`` metres, and of which box."""

    pixels: NDArray[np.uint8]
    depth: NDArray[np.float32]
    box: tuple[int, int, int, int]
