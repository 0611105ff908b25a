"""Shoulders and shirt front: flesh goes with the bones that it lies over."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.spatial import cKDTree

from turnstill.model import Address, Body, Pieces
from turnstill.model.arrays import Array
from turnstill.model.swing.simulate import simulate
from turnstill.model.swing.swing import Swing
from turnstill.render.body.body_surface import BodySurface
from turnstill.render.body.skin_points import SKIN_POINTS, SkinPoints
from turnstill.render.figure.figure import Figure

SIZES = ((1.75, 80.0, "male"), (1.64, 64.0, "female"), (1.78, 118.0, "male"))
FRAMES = 5


@pytest.fixture(scope="module", params=SIZES, ids=lambda size: "-".join(map(str, size)))
def swing(request: pytest.FixtureRequest) -> Swing:
    return simulate(Body.from_stature(*request.param), Address(), Pieces(), frames=FRAMES)


@pytest.fixture(scope="module")
def surface(swing: Swing) -> BodySurface:
    return BodySurface(swing.body, swing.skeleton[0])


def in_ribcage(swing: Swing, places: Array, moment: int) -> Array:
    """``(..., 3)`` metres from the base of the neck in the ribcage's frame."""
    posture = swing.skeleton[moment]
    found: Array = (places - posture.joints["neck_base"]) @ posture.frames["ribcage"]
    return found


def test_a_shoulder_keeps_its_flesh_as_its_collar_bone_moves(swing: Swing, surface: BodySurface) -> None:
    """A joint that leaves its flesh behind comes nearer to the skin; so may a chin come, which is no flesh of its."""
    own = surface.share_of("neck_2", "head") < 0.5
    rest = cKDTree(surface.mesh.vertices[own])
    for moment in range(FRAMES):
        posture = swing.skeleton[moment]
        posed = cKDTree(surface.pose(posture).astype(float)[own])
        for side in ("lead", "trail"):
            deep, deep_at_rest = (
                tree.query(at[f"shoulder_{side}"])[0]
                for tree, at in ((posed, posture.joints), (rest, surface.rest.joints))
            )
            assert deep > 0.75 * deep_at_rest, (side, moment)


def test_the_chest_turns_as_one_cage(swing: Swing, surface: BodySurface) -> None:
    """Neck, breastbone and back of the cage keep their places in the ribcage's frame."""
    places = SkinPoints(surface).places(swing.skeleton)
    for name in ("c7", "suprasternale", "xiphoid", "t10"):
        place = places[:, SKIN_POINTS.index(name)]
        own = np.stack([in_ribcage(swing, place[moment], moment) for moment in range(FRAMES)])
        assert np.abs(own[:, 1]).max() < 0.012, name


def test_the_placket_stays_on_the_breastbone(swing: Swing) -> None:
    figure = Figure(swing.body, swing.skeleton[0])
    start, end = figure.vertex_ranges[[part.name for part in figure.parts].index("placket")]
    for moment in range(FRAMES):
        own = in_ribcage(swing, figure.pose(swing.skeleton[moment])[start:end], moment)
        height = np.linspace(own[:, 2].min(), own[:, 2].max(), 6)
        for low, high in pairwise(height):
            part = own[(own[:, 2] >= low) & (own[:, 2] <= high)]
            # Its upper end goes a little with the collar, as a neck that turns back draws it.
            assert abs(part[:, 1].mean()) < 0.015, moment
