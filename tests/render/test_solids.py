"""The solids that occluders are made of, against meshes and another ray caster."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from turnstill.render.photograph.furniture import solids_of
from turnstill.render.photograph.place import OCCLUDERS, Occluder
from turnstill.render.photograph.solids import Ball, Block, Cone, Solid, upright

TURNED = upright(0.7, 0.3)
PLACE = np.array([0.3, -0.2, 0.5])
GREY = (90, 90, 90)


def as_mesh(solid: Solid) -> trimesh.Trimesh:
    to_world = np.eye(4)
    if isinstance(solid, Ball):
        to_world[:3, 3] = solid.centre
        mesh = trimesh.creation.icosphere(subdivisions=5, radius=solid.radius)
    elif isinstance(solid, Block):
        to_world[:3, :3], to_world[:3, 3] = solid.turned, solid.centre
        mesh = trimesh.creation.box(2 * solid.half)
    else:
        assert isinstance(solid, Cone)
        to_world[:3, :3], to_world[:3, 3] = solid.turned, solid.foot
        outline = [[0, 0], [solid.first, 0], [solid.second, solid.length], [0, solid.length]]
        mesh = trimesh.creation.revolve(outline, sections=720)
    mesh.apply_transform(to_world)
    return mesh


@pytest.mark.parametrize(
    "solid",
    [
        Block(PLACE, TURNED, np.array([0.3, 0.1, 0.2]), GREY),
        Cone(PLACE, TURNED, 0.6, 0.25, 0.25, GREY),
        Cone(PLACE, TURNED, 0.6, 0.30, 0.10, GREY),
        Cone(PLACE, TURNED, 0.6, 0.10, 0.30, GREY),
        Ball(PLACE, 0.3, GREY),
    ],
)
def test_a_solid_is_met_where_its_mesh_is(solid: Solid) -> None:
    rng = np.random.default_rng(4)
    origins = rng.normal(size=(3, 400))
    origins *= 3 / np.linalg.norm(origins, axis=0)
    rays = PLACE[:, None] + rng.uniform(-0.5, 0.5, (3, 400)) - origins
    hits = solid.met(origins, rays)
    mesh = as_mesh(solid)
    places, ray, face = mesh.ray.intersects_location(origins.T, rays.T, multiple_hits=False)
    expected = np.full(400, np.inf)
    expected[ray] = ((places - origins.T[ray]) * rays.T[ray]).sum(axis=1) / (rays.T[ray] ** 2).sum(axis=1)
    assert 60 < np.isfinite(expected).sum() < 380
    both = np.isfinite(expected) & np.isfinite(hits.at)
    # A mesh's straight sides miss a round rim by a hair.
    assert np.mean(np.isfinite(expected) != np.isfinite(hits.at)) < 0.01
    assert np.abs(hits.at[both] - expected[both]).max() < 1e-3
    normals = np.full((400, 3), np.nan)
    normals[ray] = mesh.face_normals[face]
    assert np.mean((normals * hits.normal.T).sum(axis=1)[both] > 0.99) > 0.98


def test_what_lies_behind_is_not_met() -> None:
    for solid in (
        Block(PLACE, TURNED, np.full(3, 0.2), GREY),
        Cone(PLACE, TURNED, 0.5, 0.2, 0.1, GREY),
        Ball(PLACE, 0.2, GREY),
    ):
        away = np.array([[2.0], [0.0], [0.0]])
        assert np.isinf(solid.met(PLACE[:, None] + away, away).at).all()


@pytest.mark.parametrize("kind", OCCLUDERS)
def test_a_thing_is_as_high_and_broad_as_asked_and_stands_on_the_ground(kind: str) -> None:
    thing = Occluder(kind, (1.5, -0.4), 0.9, 0.36, 0.6, (120, 60, 50))  # type: ignore[arg-type]
    places = np.concatenate([as_mesh(solid).vertices for solid in solids_of(thing)])
    assert -0.03 < places[:, 2].min() < 0.03
    assert places[:, 2].max() == pytest.approx(0.9, abs=0.05)
    foot = places[places[:, 2] < 0.2, :2].mean(axis=0)
    assert np.abs(foot - [1.5, -0.4]).max() < 0.12
    across = np.ptp(places[:, :2] @ [np.cos(0.6 + np.pi / 2), np.sin(0.6 + np.pi / 2)])
    assert 0.30 < across < 0.66
