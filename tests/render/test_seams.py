from __future__ import annotations

import numpy as np
import trimesh

from turnstill.render.shapes.seams import SEAM_M, soften_seams


def crossing_balls(apart: float) -> tuple[np.ndarray, np.ndarray, list[tuple[int, int]]]:
    ball = trimesh.creation.icosphere(subdivisions=4)
    unit = np.asarray(ball.vertices)
    radius = 0.15
    shift = np.array([apart / 2, 0.0, 0.0])
    vertices = np.concatenate([radius * unit - shift, radius * unit + shift])
    return vertices, np.concatenate([unit, unit]), [(0, len(unit)), (len(unit), 2 * len(unit))]


def test_on_the_cut_both_parts_have_one_normal() -> None:
    apart = 0.10
    vertices, normals, ranges = crossing_balls(apart)
    soften_seams(vertices, normals, ranges)
    assert np.allclose(np.linalg.norm(normals, axis=1), 1.0)
    on_cut = np.abs(vertices[:, 0]) < 0.004
    assert on_cut.sum() > 20
    # By symmetry the shared normal of two equal balls on their cut lies in the plane between them.
    assert np.abs(normals[on_cut, 0]).max() < 0.12
    _, before, _ = crossing_balls(apart)
    assert np.abs(before[on_cut, 0]).min() > 0.3


def test_far_from_the_cut_nothing_changes() -> None:
    vertices, normals, ranges = crossing_balls(0.10)
    before = normals.copy()
    soften_seams(vertices, normals, ranges)
    far = np.abs(vertices[:, 0]) > 0.05 + 2 * SEAM_M
    assert far.any() and np.allclose(normals[far], before[far])


def test_parts_that_face_each_other_keep_their_fold() -> None:
    vertices, normals, ranges = crossing_balls(0.302)
    before = normals.copy()
    soften_seams(vertices, normals, ranges)
    assert np.allclose(normals, before)
