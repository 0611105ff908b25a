"""A bent trunk keeps its volume: a round column that stands before its spine, bent along a circle."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from scipy.spatial.transform import Rotation

from turnstill.model.arrays import Array
from turnstill.render.body.bones import BONES
from turnstill.render.body.bulge import SPAN, keep_volume, middles
from turnstill.render.body.skinning import LEAST_SHARE, Carried, linear_blend

LONG_M, RADIUS_M, BEFORE_M = 0.5, 0.12, 0.06


def bent(angle: float) -> Array:
    """``(B, 3, 4)`` motions of the frames of a column that bends forward by ``angle`` rad in all, others at rest."""
    turns = np.tile(np.eye(3), (len(BONES), 1, 1))
    shifts = np.zeros((len(BONES), 3))
    along = np.linspace(0.0, LONG_M, SPAN)
    part = angle * along / LONG_M
    turns[:SPAN] = Rotation.from_euler("y", part[:, None]).as_matrix()
    place = np.stack([1 - np.cos(part), 0 * part, np.sin(part)], axis=-1) * LONG_M / angle
    shifts[:SPAN] = place - (turns[:SPAN] @ (along[:, None] * [0.0, 0.0, 1.0])[..., None])[..., 0]
    return np.concatenate([turns, shifts[..., None]], axis=-1)


@pytest.mark.parametrize("degrees", [-25.0, 25.0, 50.0])
def test_a_bent_column_keeps_its_volume(degrees: float) -> None:
    column = trimesh.creation.cylinder(RADIUS_M, LONG_M, sections=48).subdivide_to_size(0.02)
    column.apply_translation([BEFORE_M, 0.0, 0.5 * LONG_M])
    vertices = np.asarray(column.vertices)
    place = np.clip(vertices[:, 2] / LONG_M, 0, 1) * (SPAN - 1)
    weights = np.zeros((len(vertices), len(BONES)), np.float32)
    weights[:, :SPAN] = np.clip(1 - np.abs(place[:, None] - np.arange(SPAN)), LEAST_SHARE, 1)
    weights /= weights.sum(axis=1, keepdims=True)
    spine = np.linspace(0.0, LONG_M, SPAN)[1:, None] * [0.0, 0.0, 1.0]
    motions = bent(np.radians(degrees))
    kept = keep_volume(motions, middles(vertices, weights, spine), spine)
    blend = linear_blend(vertices, weights)

    def volume(matrices: Array) -> float:
        posed = Carried.of([blend], lambda _: matrices[None]).pose(None)  # type: ignore[arg-type]
        return float(trimesh.Trimesh(posed[0], column.faces, process=False).volume) / float(column.volume)

    # Pappus: the middle of the column goes round a circle of another radius than the spine does.
    assert volume(motions) == pytest.approx(1 - BEFORE_M * np.radians(degrees) / LONG_M, abs=0.01)
    assert volume(kept) == pytest.approx(1.0, abs=0.01)


def test_at_rest_nothing_bulges() -> None:
    still = np.concatenate([np.tile(np.eye(3), (len(BONES), 1, 1)), np.zeros((len(BONES), 3, 1))], axis=-1)
    rng = np.random.default_rng(1)
    places = np.cumsum(rng.uniform(0.01, 0.03, (SPAN, 3)), axis=0)
    np.testing.assert_allclose(keep_volume(still, places, places[1:]), still, atol=1e-12)
