"""Cutting meshes: what is left is what the field says, and closing it leaves no hole."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from turnstill.render.figure.clipping import capped, clip, rims

BALL = trimesh.creation.icosphere(subdivisions=4)
VERTICES, FACES = np.asarray(BALL.vertices, float), np.asarray(BALL.faces, np.int64)


def closed(vertices: np.ndarray, faces: np.ndarray) -> trimesh.Trimesh:
    one, number = np.unique(vertices, axis=0, return_inverse=True)
    return trimesh.Trimesh(one, number.reshape(-1)[faces], process=False)


@pytest.mark.parametrize("level", [-0.9, -0.3, 0.0, 0.31, 0.8])
def test_a_cap_of_a_ball(level: float) -> None:
    """Its area and volume are those of a spherical cap: 2 pi h and pi h^2 (3 - h) / 3 on the unit ball."""
    vertices, faces = clip(VERTICES, FACES, VERTICES[:, 2] - level)
    assert vertices[:, 2].min() == pytest.approx(level, abs=2e-3) and len(rims(faces)) == 1
    high = 1 - level
    assert trimesh.Trimesh(vertices, faces, process=False).area == pytest.approx(2 * np.pi * high, rel=0.01)
    solid = closed(*capped(vertices, faces, inset=0.1))
    assert solid.is_watertight and solid.is_winding_consistent
    assert solid.volume == pytest.approx(np.pi * high**2 * (3 - high) / 3, rel=0.01)


def test_a_belt_of_a_ball_has_two_rims_and_is_closed() -> None:
    vertices, faces = clip(VERTICES, FACES, 0.3 - np.abs(VERTICES[:, 2]))
    assert len(rims(faces)) == 2
    solid = closed(*capped(vertices, faces, inset=0.1))
    assert solid.is_watertight and solid.is_winding_consistent and solid.volume > 0


def test_both_sides_of_a_cut_make_up_the_whole() -> None:
    field = VERTICES @ [0.3, -0.5, 0.8] - 0.2
    areas = [trimesh.Trimesh(*clip(VERTICES, FACES, side * field), process=False).area for side in (1.0, -1.0)]
    assert sum(areas) == pytest.approx(BALL.area, rel=1e-9)


def test_values_are_carried_over_linearly() -> None:
    known = np.column_stack([VERTICES, VERTICES @ [1.0, 2.0, 3.0] + 4.0])
    values, _ = clip(known, FACES, VERTICES[:, 0] - 0.1)
    np.testing.assert_allclose(values[:, 3], values[:, :3] @ [1.0, 2.0, 3.0] + 4.0, atol=1e-12)


def test_nothing_or_everything_may_be_kept() -> None:
    assert len(clip(VERTICES, FACES, np.full(len(VERTICES), -1.0))[1]) == 0
    values, faces = clip(VERTICES, FACES, np.ones(len(VERTICES)))
    assert np.array_equal(values[faces], VERTICES[FACES])
    assert rims(faces) == []
