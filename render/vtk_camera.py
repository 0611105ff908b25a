"""A calibrated pinhole camera as VTK wants it told."""

from __future__ import annotations

from typing import Any

import numpy as np

from .camera import Camera

NEAR_M, FAR_M = 1.0, 60.0


def aim(plotter: Any, camera: Camera) -> None:
    """Give a plotter's window the size and the view of a camera, exactly.

    Args:
        plotter: a pyvista Plotter.
        camera: the camera; its axes must be perpendicular (no skew).

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
    view.SetClippingRange(NEAR_M, FAR_M)
    plotter.renderer.camera_set = True
