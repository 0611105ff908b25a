"""A calibrated pinhole camera as VTK wants it told."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.films.camera import Camera
from .depth import planes_between

NEAR_M, FAR_M = 1.0, 60.0


def aim(
    plotter: Any,
    camera: Camera,
    planes: tuple[float, float] = (NEAR_M, FAR_M),
    *,
    window: tuple[int, int] | None = None,
) -> None:
    """Give a plotter's window its size and the view of a camera, exactly.

    Args:
        plotter: a pyvista Plotter.
        camera: the camera; its axes must be perpendicular (no skew).
        planes: near and far clipping plane, metres along the optical axis.
        window: width and height, pixels, where the camera's picture is only a viewport of it; the camera's otherwise.

    """
    width, height = camera.width, camera.height
    if tuple(plotter.window_size) != (window or (width, height)):
        plotter.window_size = window or (width, height)
    fx, fy, cx, cy = camera.K[0, 0], camera.K[1, 1], camera.K[0, 2], camera.K[1, 2]
    view = plotter.camera
    position = camera.position
    view.SetPosition(*position)
    view.SetFocalPoint(*(position + camera.R[2]))
    view.SetViewUp(*(-camera.R[1]))
    view.SetViewAngle(float(np.degrees(2 * np.arctan(height / (2 * fy)))))
    # VTK counts from the window's edge, the camera from the centre of the first pixel: hence the half pixel.
    view.SetWindowCenter(-2 * (cx + 0.5 - width / 2) / width, 2 * (cy + 0.5 - height / 2) / height)
    view.SetUseExplicitAspectRatio(True)
    view.SetExplicitAspectRatio(width / height * fy / fx)
    view.SetClippingRange(*planes)
    if not plotter.renderer.camera_set:
        plotter.renderer.camera_set = True


class Extent(NamedTuple):
    """Where in a picture, and between which depths, world points lie.

    Attributes:
        box: left, top, right, bottom in pixels, the last two not included; never empty.
        planes: near and far clipping plane, metres along the optical axis: see ``depth.planes_between``.
    """

    box: tuple[int, int, int, int]
    planes: tuple[float, float]

    def around(self, other: Extent) -> Extent:
        """That of both."""
        (left, top, right, bottom), (x, y, end, foot) = self.box, other.box
        box = min(left, x), min(top, y), max(right, end), max(bottom, foot)
        return Extent(box, (min(self.planes[0], other.planes[0]), max(self.planes[1], other.planes[1])))


def in_rows(*points: Array) -> NDArray[np.float32]:
    """``(3, N)`` world points ``(N, 3)`` coordinate by coordinate, in single precision."""
    rows = np.empty((3, sum(map(len, points))), np.float32)
    first = 0
    for some in points:
        rows[:, first : first + len(some)] = some.T
        first += len(some)
    return rows


def extent(camera: Camera, points: Array) -> Extent:
    """The part of a picture that world points ``(N, 3)`` lie in: see ``extent_of_rows``."""
    return extent_of_rows(camera, in_rows(np.asarray(points)))


def extent_of_rows(camera: Camera, rows: NDArray[np.float32], margin: float = 2.0, laid: Array | None = None) -> Extent:
    """The part of a picture that world points lie in, and the planes around them.

    Worked out coordinate by coordinate in single precision, since it is asked for all vertices of every frame: off by a
    thousandth of a pixel, in a quarter of the time.

    Args:
        camera: the camera, without skew; it is taken for a pinhole.
        rows: ``(3, N)`` metres, world.
        margin: pixels around them.
        laid: ``(3, 3)`` what is done to the points before they are seen.

    Returns:
        The whole picture's box if a point is behind the camera.

    """
    turned = (camera.R if laid is None else camera.R @ laid).astype(np.float32)
    x, y, z = (
        a * rows[0] + b * rows[1] + c * rows[2] + t
        for (a, b, c), t in zip(turned, camera.t.astype(np.float32), strict=True)
    )
    nearest, farthest = float(z.min()), float(z.max())
    planes = planes_between(nearest, farthest)
    if not nearest > 0:
        return Extent((0, 0, camera.width, camera.height), planes)
    x /= z
    y /= z
    # Without skew the picture is only scaled and shifted, so that the ends tell it all.
    ends = np.array([[x.min(), y.min()], [x.max(), y.max()]], float) * np.diag(camera.K)[:2] + camera.K[:2, 2]
    size = np.array([camera.width, camera.height])
    low = np.clip(np.floor(ends[0] - margin), 0, size - 1).astype(int)
    high = np.clip(np.ceil(ends[1] + margin) + 1, low + 1, size).astype(int)
    return Extent((int(low[0]), int(low[1]), int(high[0]), int(high[1])), planes)
