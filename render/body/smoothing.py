"""Smoothing over the neighbours on a mesh."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import DTypeLike, NDArray

from ..shapes.solids import IntArray

COLUMNS = 96
"""Columns that are smoothed together (measured)."""


def smoothing(faces: IntArray, count: int, own: float = 0.5, dtype: DTypeLike = np.float32) -> Any:
    """``(V, V)`` sparse: each vertex the share ``own`` of itself and the rest the mean of its neighbours."""
    from scipy import sparse

    narrow = np.ascontiguousarray(faces.T, np.int32)
    here, start, end = np.arange(count, dtype=np.int32), narrow.ravel(), narrow[[1, 2, 0]].ravel()
    links = np.bincount(start, minlength=count)
    kept = np.where(links > 0, own, 1.0)  # A vertex of no triangle stays as it is.
    values = np.concatenate([kept, ((1 - own) / np.maximum(links, 1))[start]]).astype(dtype)
    return sparse.csr_array(
        (values, (np.concatenate([here, start]), np.concatenate([here, end]))), shape=(count, count)
    )


def smoothed(columns: NDArray[np.float32], share: Any, rounds: int) -> NDArray[np.float32]:
    """``columns (V, K)`` after so many rounds of ``share (V, V)``, which may be changed.

    Some columns at a time, which stay near the processor from round to round; each goes its own way.
    """
    for start in range(0, columns.shape[1], COLUMNS):
        part = np.ascontiguousarray(columns[:, start : start + COLUMNS])
        for _ in range(rounds):
            part = share @ part
        columns[:, start : start + COLUMNS] = part
    return columns
