"""Metres out of a window's depth buffer, and the planes that it counts between."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

NEAREST_M = 0.05
"""Nothing closer to the camera than this is seen."""
ROOM = 0.01
"""How far the planes stand off what lies between them, as a share of its distance."""


def planes_between(nearest: float, farthest: float) -> tuple[float, float]:
    """Near and far clipping plane, metres along the optical axis, about the depths of the nearest and farthest point.

    The buffer counts as finely as the planes let it: at a distance d, by d² (1/near - 1/far) times its smallest step.
    """
    near = max(nearest * (1 - ROOM), NEAREST_M)
    # Everything may be behind the camera, and the planes must not meet.
    return near, max(farthest, near) * (1 + ROOM)


def depth_of_zbuffer(values: NDArray[np.float32], near: float, far: float) -> NDArray[np.float32]:
    """Metres along the optical axis.

    Args:
        values: ``(h, w)`` what the buffer holds: 0 at the near plane, 1 at the far one and where nothing is seen.
        near: plane, metres.
        far: plane, metres.

    Returns:
        ``(h, w)``: ``near far / (far - z (far - near))``, which undoes a perspective projection; infinite where nothing
        is seen.

    """
    # In single precision, which the buffer has itself: what is divided by lies between the planes, so nothing cancels.
    depth = values * np.float32(near - far)
    depth += np.float32(far)
    np.divide(np.float32(near * far), depth, out=depth)
    np.copyto(depth, np.float32(np.inf), where=values >= 1)
    return depth
