"""A calibrated pinhole camera as VTK wants it told."""

from __future__ import annotations

from typing import Any

import numpy as np

from ...model.arrays import Array
from ...model.films.camera import Camera

NEAR_M, FAR_M = 1.0, 60.0


def aim(plotter: Any, camera: Camera, planes: tuple[float, float] = (NEAR_M, FAR_M)) -> None:
    """Give a plotter's window the size and the view of a camera, exactly.

    Args:
        plotter: a pyvista Plotter.
        camera: the camera; its axes must be perpendicular (no skew).
        planes: near and far clipping plane, metres along the optical axis.

    """
    width, height = camera.width, camera.height
    if tuple(plotter.window_size) != (width, height):
        plotter.window_size = (width, height)
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
    plotter.renderer.camera_set = True


def seen_box(camera: Camera, points: Array, margin: float = 2.0) -> tuple[int, int, int, int]:
    """The part of a picture that world points lie in.

    Args:
        camera: the camera.
        points: ``(N, 3)`` metres, world.
        margin: pixels around them.

    Returns:
        Left, top, right, bottom in pixels, the last two not included; never empty, and the whole picture if a point
        is behind the camera.

    """
    # As camera.project does it, but for all vertices of every frame: along the last axis, which is twice as fast.
    ahead = camera.R @ points.T + camera.t[:, None]
    if not ahead[2].min() > 0:
        return 0, 0, camera.width, camera.height
    places = (camera.K[:2, :2] @ (ahead[:2] / ahead[2]) + camera.K[:2, 2:]).T
    size = np.array([camera.width, camera.height])
    low = np.clip(np.floor(places.min(axis=0) - margin), 0, size - 1).astype(int)
    high = np.clip(np.ceil(places.max(axis=0) + margin) + 1, low + 1, size).astype(int)
    return int(low[0]), int(low[1]), int(high[0]), int(high[1])
