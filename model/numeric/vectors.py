"""Vectors of three, many at once, each a last axis: what numpy has too, with less to do before the arithmetic.

A swing is a few dozen moments, so most of its time would go into finding out what axes there are. All of these give
numpy's numbers to the last bit.
"""

from __future__ import annotations

import numpy as np

from ..arrays import Array

Entry = Array | float
"""Of a vector or a matrix: many, or the same number for all."""


def cross(a: Array, b: Array) -> Array:
    """``a x b`` of ``(..., 3)`` and ``(..., 3)``, which broadcast."""
    (ax, ay, az), (bx, by, bz) = ((v[..., 0], v[..., 1], v[..., 2]) for v in (a, b))
    return vector(ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx)


def norm(v: Array) -> Array:
    """Length ``(...)`` of ``v (..., 3)``."""
    return np.asarray(np.sqrt(np.add.reduce(v * v, axis=-1)))


def norms(v: Array) -> Array:
    """The same as ``(..., 1)``, to divide by."""
    return np.asarray(np.sqrt(np.add.reduce(v * v, axis=-1, keepdims=True)))


def vector(x: Entry, y: Entry, z: Entry) -> Array:
    """``(..., 3)`` of components ``(...)``, which broadcast."""
    out = np.empty((*np.broadcast(x, y, z).shape, 3))
    out[..., 0], out[..., 1], out[..., 2] = x, y, z
    return out


def columns(x: Array, y: Array, z: Array) -> Array:
    """``(..., 3, 3)`` of its columns ``(..., 3)``, such as the axes of a frame."""
    out = np.empty((*x.shape, 3))
    out[..., 0], out[..., 1], out[..., 2] = x, y, z
    return out


def matrix(rows: list[list[Entry]]) -> Array:
    """``(..., R, C)`` of a nested list of entries ``(...)``, which broadcast."""
    out = np.empty((*np.broadcast(*(entry for row in rows for entry in row)).shape, len(rows), len(rows[0])))
    for i, row in enumerate(rows):
        for j, entry in enumerate(row):
            out[..., i, j] = entry
    return out
