"""Landmarks on the skin: on the surface, where anatomy has them, however the body is posed."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from turnstill.model import Address, Body, Pieces
from turnstill.model.arrays import Array
from turnstill.model.swing.simulate import simulate
from turnstill.model.swing.swing import Swing
from turnstill.render.body.body_surface import BodySurface
from turnstill.render.body.skin_points import AT_ONCE, SKIN_POINTS, SkinPoints

BODIES = {"man": (1.75, 80.0, "male"), "woman": (1.64, 64.0, "female"), "heavy man": (1.78, 118.0, "male")}
Landmarks = tuple[Swing, BodySurface, dict[str, Array]]


@pytest.fixture(scope="module", params=BODIES.values(), ids=BODIES)
def landmarks(request: pytest.FixtureRequest) -> Landmarks:
    swing = simulate(Body.from_stature(*request.param), Address(), Pieces(), frames=3)
    surface = BodySurface(swing.body, swing.skeleton[0])
    places = SkinPoints(surface).places(swing.skeleton)
    return swing, surface, {name: places[:, k] for k, name in enumerate(SKIN_POINTS)}


def seen_from(swing: Swing, frame: str, joint: str, places: Array) -> Array:
    """``(M, 3)`` metres in a segment's frame, from a joint."""
    off = places - swing.skeleton.joints[joint]
    return np.einsum("mji,mj->mi", swing.skeleton.frames[frame], off)


def test_they_lie_on_the_posed_skin(landmarks: Landmarks) -> None:
    swing, surface, places = landmarks
    for k in range(3):
        corners = surface.pose(swing.skeleton[k]).astype(float)[surface.faces]
        for name, place in places.items():
            nearest = trimesh.triangles.closest_point(corners, np.tile(place[k], (len(corners), 1)))
            assert np.linalg.norm(nearest - place[k], axis=1).min() < 1e-5, name


def test_they_lie_where_anatomy_has_them_at_address(landmarks: Landmarks) -> None:
    swing, _, places = landmarks
    shape = {name: float(value) for name, value in swing.body.shape.items()}
    back = seen_from(swing, "ribcage", "neck_base", places["c7"])[0]
    assert -0.09 < back[0] < -0.03 and abs(back[1]) < 0.005 and abs(back[2]) < 0.02
    notch = seen_from(swing, "ribcage", "sternum", places["suprasternale"])[0]
    assert notch[0] > 0 and abs(notch[1]) < 0.005 and abs(notch[2]) < 0.02
    t10, xiphoid = (seen_from(swing, "ribcage", "neck_base", places[name])[0] for name in ("t10", "xiphoid"))
    assert t10[0] < 0 < xiphoid[0] and t10[2] < xiphoid[2] < notch[2] - 0.05
    if swing.body.female == 0:  # The survey takes a woman's chest depth over the breasts.
        assert xiphoid[0] - t10[0] == pytest.approx(shape["chest_depth"], rel=0.12)
    across = np.linalg.norm(places["trochanter_lead"][0] - places["trochanter_trail"][0])
    assert across == pytest.approx(shape["hip_breadth"], rel=0.08)
    for side, out in (("lead", 1.0), ("trail", -1.0)):
        for name, joint, frame, girth in (
            ("epicondyle", "knee", "thigh", "lower_thigh_circumference"),
            ("malleolus", "ankle", "shank", "ankle_circumference"),
        ):
            own = seen_from(swing, f"{frame}_{side}", f"{joint}_{side}", places[f"{name}_{side}"])[0]
            assert out * own[1] == pytest.approx(shape[girth] / (2 * np.pi), rel=0.2)
            assert np.abs(own[[0, 2]]).max() < 0.025


def test_skin_slides_little_over_its_bones(landmarks: Landmarks) -> None:
    """A marker stays near the joint it belongs to, all through the swing."""
    swing, _, places = landmarks
    bones = {"c7": "neck_base"} | {
        f"{name}_{side}": f"{joint}_{side}"
        for side in ("lead", "trail")
        for name, joint in (("trochanter", "hip"), ("epicondyle", "knee"), ("malleolus", "ankle"))
    }
    for name, joint in bones.items():
        away = np.linalg.norm(places[name] - swing.skeleton.joints[joint], axis=1)
        assert np.ptp(away) < 0.02, name


def test_a_left_hander_is_the_mirror_image() -> None:
    swing = simulate(Body.from_stature(1.75, 80.0, "male"), Address(), Pieces(), frames=AT_ONCE + 3)
    right = SkinPoints(BodySurface(swing.body, swing.skeleton[0])).places(swing.skeleton)
    mirrored = swing.skeleton.mirrored()
    left = SkinPoints(BodySurface(swing.body, mirrored[0], left_handed=True)).places(mirrored)
    np.testing.assert_allclose(left, right * [1, -1, 1], atol=1e-6)
    # Posed a few moments at a time or alone, all the same.
    alone = SkinPoints(BodySurface(swing.body, swing.skeleton[0])).places(swing.skeleton[AT_ONCE:])
    np.testing.assert_allclose(alone, right[AT_ONCE:], atol=1e-6)
