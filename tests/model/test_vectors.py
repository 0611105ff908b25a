"""Vectors of three are numpy's own, to the last bit."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model.numeric import vectors

SHAPES = [((), ()), ((1,), (1,)), ((41,), (41,)), ((3, 1, 2), (3, 1, 2)), ((5,), ()), ((), (5,)), ((0,), (0,))]


@pytest.mark.parametrize(("one", "other"), SHAPES)
def test_they_are_numpys(one: tuple[int, ...], other: tuple[int, ...]) -> None:
    rng = np.random.default_rng(7)
    a, b = (rng.normal(size=(*shape, 3)) * 10.0 ** rng.integers(-9, 9, (*shape, 3)) for shape in (one, other))
    batch = np.broadcast_shapes(one, other)
    for mine, theirs in (
        (vectors.cross(a, b), np.cross(a, b)),
        (vectors.norm(a), np.linalg.norm(a, axis=-1)),
        (vectors.norms(a), np.linalg.norm(a, axis=-1, keepdims=True)),
        (vectors.vector(a[..., 0], b[..., 1], a[..., 2]), np.stack(
            np.broadcast_arrays(a[..., 0], b[..., 1], a[..., 2]), axis=-1)),
    ):  # fmt: skip
        assert mine.shape == theirs.shape
        assert mine.tobytes() == theirs.tobytes()
    made = vectors.matrix([[a[..., 0], b[..., 0]], [a[..., 1], b[..., 1]], [a[..., 2], b[..., 2]]])
    assert made.shape == (*batch, 3, 2)
    np.testing.assert_array_equal(made[..., 0], np.broadcast_to(a, (*batch, 3)))
    np.testing.assert_array_equal(made[..., 1], np.broadcast_to(b, (*batch, 3)))
