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
BONE_OVER_JOINT = 0.0233
"""Of stature: humeral head, the gap above it and acromion, 24, 9 and 8 of 1,756 mm (see ``trunk_shape.ACROMION``)."""
SKIN_M, STOUT_M, STOUT = 0.015, 0.025, 30.0
"""Skin, fat and a raised arm's edge of muscle over that at most, and on those of more kg/m2 (assumptions)."""


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


def over(surface: Array, joint: Array, up: Array) -> float:
    """Metres from a joint up to the first skin above it, over a place as wide as a thumb."""
    along = (surface - joint) @ up
    aside = np.linalg.norm(surface - joint - along[:, None] * up, axis=1)
    above = along[(aside < 0.012) & (along > 0.0)]
    return float(above[above < above.min() + 0.01].mean())


def test_above_a_shoulder_lies_bone_and_not_muscle(swing: Swing, surface: BodySurface) -> None:
    """A mound above the joint would be no acromion: skin lies over head, gap and bone, arm down or across the chest."""
    body = swing.body
    stature, most = float(body.stature), SKIN_M if float(body.mass / body.stature**2) < STOUT else STOUT_M
    for moment, side in ((0, "lead"), (0, "trail"), (FRAMES - 1, "lead")):
        posture = swing.skeleton[moment]
        own = surface.share_of("neck_2", "head") < 0.5
        up = posture.frames["ribcage"][:, 2]
        high = over(surface.pose(posture).astype(float)[own], posture.joints[f"shoulder_{side}"], up)
        assert 0.0 < high - BONE_OVER_JOINT * stature < most, (side, moment)


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
