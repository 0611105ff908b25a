"""Values of a regular grid at places between its points."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array


def trilinear(values: NDArray[np.float32], places: Array) -> NDArray[np.float32]:
    """Several fields at once, linear along each axis in every cell.

    Args:
        values: ``(X, Y, Z, K)``.
        places: ``(N, 3)`` in steps of the grid from its first point; none may lie outside of it.

    Returns:
        ``(N, K)``.
    """
    counts = np.array(values.shape[:3])
    cell = np.minimum(places.astype(np.int64), counts - 2)
    x, y, z = (places - cell).astype(np.float32).T[..., None]
    steps = np.array([counts[1] * counts[2], counts[2], 1])
    step = (steps * [[[[i, j, k]] for k in (0, 1)] for i in (0, 1) for j in (0, 1)]).sum(axis=-1).reshape(2, 2, 2, 1)
    # The eight corners of each cell, and one axis after the other taken out of them.
    corners = values.reshape(-1, values.shape[3]).take(cell @ steps + step, axis=0)
    low, high = corners
    high -= low
    high *= x
    low += high
    low, high = low
    high -= low
    high *= y
    low += high
    low, high = low
    high -= low
    high *= z
    low += high
    return low
