"""The body's own surface: closed, as heavy and as stout as its body, and whole in every posture of a backswing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np
import pytest
import tape
import trimesh
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from turnstill.model import Address, Body, Pieces
from turnstill.model.arrays import Array
from turnstill.model.swing.simulate import simulate
from turnstill.model.swing.swing import Swing
from turnstill.render.body.body_mesh import volumes
from turnstill.render.body.body_surface import BodySurface
from turnstill.render.body.bones import ARM, BONES, LEG
from turnstill.render.body.limb_shape import RELAXED
from turnstill.render.body.skin_weights import MOST_BONES
from turnstill.scenes.setups.perform import address_of, pieces_of, swing_of
from turnstill.scenes.setups.presets import backswing_names, load

DENSITY = 1.0
"""kg per litre: people float or sink as they breathe, so a body's lies a few hundredths about it (from memory)."""
HANDFUL = ((1.75, 80.0, "male"), (1.64, 64.0, "female"), (1.60, 46.0, "female"), (1.65, 98.0, "female"),
           (1.78, 118.0, "male"))  # fmt: skip
FRAMES = 9
INSIDE = ("ankle", "knee", "hip", "shoulder", "elbow", "wrist")
FOLDED_AT_MOST = 0.001
"""Share of triangles turned inside out on any body: 0.025 % at worst, on the heaviest. None on the presets'."""
ARM_FRAMES = [name for side in ARM.values() for names in side for name in names]
WORDS = {"arm": ARM_FRAMES, "head": ["neck_2", "head"]}
Ids = NDArray[np.int64]


class Made(NamedTuple):
    """A surface and the body and swing it was made for."""

    body: Body
    swing: Swing
    surface: BodySurface

    def girth_errors(self) -> Mapping[str, float]:
        """Read off the mesh over asked, less one; the survey's arms are flexed and the surface's relaxed."""
        surface = self.surface
        found = tape.girths(surface.mesh.vertices, surface.mesh.faces, lambda word: surface.share_of(*WORDS[word]),
                            surface.rest, float(self.body.female))  # fmt: skip
        asked = {name: float(self.body.shape[name]) for name in found}
        for name, share in RELAXED.items():
            asked[f"{name}_circumference"] *= share
        return {name: found[name] / asked[name] - 1 for name in found}

    def mass_error(self) -> float:
        return self.surface.mesh.volume() * 1000 * DENSITY / float(self.body.mass) - 1

    def closed(self) -> bool:
        solid = trimesh.Trimesh(self.surface.mesh.vertices, self.surface.mesh.faces, process=False)
        return bool(solid.is_watertight and solid.is_winding_consistent and solid.body_count == 1 and solid.volume > 0)


def made(body: Body) -> Made:
    swing = simulate(body, Address(), Pieces(), frames=FRAMES)
    return Made(body, swing, BodySurface(body, swing.skeleton[0]))


@pytest.fixture(scope="module", params=HANDFUL, ids=lambda size: "-".join(map(str, size)))
def one(request: pytest.FixtureRequest) -> Made:
    return made(Body.from_stature(*request.param))


@pytest.fixture(scope="module")
def default() -> Made:
    return made(Body.from_stature())


def drawn(count: int) -> Iterator[Made]:
    bodies = Body.draw(np.random.default_rng(2026), count)
    swings = simulate(bodies, Address(), Pieces(), frames=2)
    for k in range(count):
        body = bodies[k]
        yield Made(body, swings, BodySurface(body, swings.skeleton[k, 0]))


def winding(vertices: Array, faces: Ids, points: Array) -> Array:
    """``(P,)`` how often a closed surface goes round points: 1 inside, 0 outside (van Oosterom & Strackee 1983)."""
    found = np.empty(len(points))
    for k, point in enumerate(points):
        a, b, c = ((vertices - point)[faces[:, i]] for i in range(3))
        la, lb, lc = (np.linalg.norm(side, axis=1) for side in (a, b, c))
        over = (a * np.cross(b, c)).sum(axis=1)
        under = la * lb * lc + (a * b).sum(axis=1) * lc + (b * c).sum(axis=1) * la + (c * a).sum(axis=1) * lb
        found[k] = np.arctan2(over, under).sum() / (2 * np.pi)
    return found


def folded(surface: BodySurface, swing: Swing, moment: int) -> float:
    """Share of triangles whose outside faces inward, against the frames that carry them."""
    skeleton, faces = swing.skeleton[moment], surface.faces
    rest, posed = surface.mesh.vertices, surface.pose(skeleton).astype(float)

    def normals(of: Array) -> Array:
        corners = of[faces]
        return np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])

    turned = surface.skin.turns(skeleton)[faces].mean(axis=1)
    agree = ((turned @ normals(rest)[..., None])[..., 0] * normals(posed)).sum(axis=1)
    return float(np.mean(agree <= 0))


def test_it_is_closed_and_wound_one_way(one: Made) -> None:
    assert one.closed()


def test_it_is_as_heavy_as_its_body(one: Made) -> None:
    assert abs(one.mass_error()) < 0.06


def test_its_girths_are_the_bodys(one: Made) -> None:
    errors = one.girth_errors()
    assert len(errors) == 12
    assert {name: error for name, error in errors.items() if abs(error) > 0.05} == {}


@pytest.mark.heavy
def test_a_hundred_drawn_bodies() -> None:
    masses, girths = [], []
    for body in drawn(100):
        assert body.closed()
        masses.append(body.mass_error())
        girths.append(list(body.girth_errors().values()))
    worst = np.abs(girths).max(axis=0)
    print(f"\nmass: mean {np.mean(masses):+.4f}, worst {np.abs(masses).max():.4f}")
    for name, mean, most in zip(body.girth_errors(), np.mean(girths, axis=0), worst, strict=True):
        print(f"{name}: mean {mean:+.4f}, worst {most:.4f}")
    assert np.abs(masses).max() < 0.06 and abs(np.mean(masses)) < 0.02
    assert worst.max() < 0.05


def test_a_heavier_body_is_broader_and_deeper() -> None:
    light, heavy = (made(Body.from_stature(1.75, mass)).surface.mesh for mass in (65.0, 100.0))
    assert np.all(np.ptp(heavy.vertices, axis=0)[:2] > np.ptp(light.vertices, axis=0)[:2])
    assert heavy.volume() > 1.4 * light.volume()


def test_weights_sum_to_one_over_at_most_four_frames(one: Made) -> None:
    skin = one.surface.skin
    assert skin.weights.shape == skin.bones.shape == (len(one.surface.mesh.vertices), MOST_BONES) and MOST_BONES == 4
    np.testing.assert_allclose(skin.weights.sum(axis=1), 1.0, atol=1e-12)
    assert skin.weights.min() >= 0 and skin.bones.min() >= 0 and skin.bones.max() < len(BONES)


def test_at_rest_it_stands_as_it_was_made(one: Made) -> None:
    np.testing.assert_allclose(one.surface.pose(one.surface.rest), one.surface.mesh.vertices, atol=1e-6)


@pytest.mark.parametrize("preset", backswing_names())
def test_no_preset_squashes_it(preset: str) -> None:
    swing = swing_of(load(preset), FRAMES)
    surface = BodySurface(swing.body, swing.skeleton[0])
    share = volumes(surface.pose(swing.skeleton).astype(float), surface.faces) / surface.mesh.volume()
    assert np.abs(share - 1).max() < 0.04
    assert [folded(surface, swing, k) for k in range(FRAMES)] == [0.0] * FRAMES


@pytest.mark.parametrize("preset", ["pinched-toes", "sway"])
@pytest.mark.parametrize("size", HANDFUL, ids=lambda size: "-".join(map(str, size)))
def test_no_thigh_or_knee_runs_into_the_other(size: tuple[float, float, str], preset: str) -> None:
    """At the top, where the legs are closest: no place on a leg is inside the body a second time."""
    setup = load(preset)
    body = Body.from_stature(*size)
    skeleton = simulate(body, address_of(setup), pieces_of(setup), frames=FRAMES).skeleton
    surface = BodySurface(body, skeleton[0])
    posed = surface.pose(skeleton[FRAMES - 1]).astype(float)
    for side, other in (("lead", "trail"), ("trail", "lead")):
        own, away = (
            np.flatnonzero(surface.share_of(*(name for names in LEG[s] for name in names)) > 0.5) for s in (side, other)
        )
        near = own[cKDTree(posed[away]).query(posed[own])[0] < 0.03][::3]
        # A place on the skin is half inside; one that has run into the other leg is inside once more.
        assert np.all(winding(posed, surface.faces, posed[near]) < 1.2)


def test_no_body_is_squashed(one: Made) -> None:
    share = volumes(one.surface.pose(one.swing.skeleton).astype(float), one.surface.faces) / one.surface.mesh.volume()
    assert np.abs(share - 1).max() < 0.04
    assert max(folded(one.surface, one.swing, k) for k in range(FRAMES)) < FOLDED_AT_MOST


def test_joint_centres_and_upper_arms_lie_inside_the_skin(one: Made) -> None:
    names = [f"{joint}_{side}" for joint in INSIDE for side in ("lead", "trail")]
    for moment in (0, FRAMES // 2, FRAMES - 1):
        posture = one.swing.skeleton[moment]
        posed = one.surface.pose(posture).astype(float)
        points = np.concatenate([[posture.joints[name] for name in (*names, "lumbosacral", "neck_base", "head")],
                                 posture.spine])  # fmt: skip
        for side in ("lead", "trail"):
            near, far = (posture.joints[f"{joint}_{side}"] for joint in ("shoulder", "elbow"))
            points = np.concatenate([points, near + np.linspace(0.1, 0.9, 9)[:, None] * (far - near)])
        assert np.all(winding(posed, one.surface.faces, points) > 0.5), moment
        outside = np.array([posture.joints["ball"], posture.joints["clubhead"]])
        np.testing.assert_allclose(winding(posed, one.surface.faces, outside), 0, atol=1e-3)


def test_a_swing_posed_at_once_is_its_moments_posed_one_by_one(default: Made) -> None:
    swing = swing_of(load("centred"), 41)
    whole = default.surface.pose(swing.skeleton)
    assert whole.shape == (41, len(default.surface.mesh.vertices), 3)
    for k in range(41):
        np.testing.assert_allclose(default.surface.pose(swing.skeleton[k]), whole[k], atol=2e-6)
    twice = default.surface.pose(swing.skeleton[:4].reshaped((2, 2)))
    np.testing.assert_allclose(twice.reshape(4, -1, 3), whole[:4], atol=2e-6)


def test_a_left_hander_is_the_mirror_image(default: Made) -> None:
    swing = simulate(default.body, Address(), Pieces(), frames=FRAMES, left_handed=True)
    left = BodySurface(default.body, swing.skeleton[0], left_handed=True)
    posed, right = left.pose(swing.skeleton), default.surface.pose(default.swing.skeleton)
    np.testing.assert_allclose(posed, right * np.array([1, -1, 1]), atol=2e-6)
    assert np.all(volumes(posed.astype(float), left.faces) > 0)


def test_limbs_keep_their_girth_where_they_bend(default: Made) -> None:
    """Knees and elbows pinched by the blend would be thinner there than in the straight limb."""
    surface, faces = default.surface, default.surface.faces
    for moment in range(0, FRAMES, 4):
        posture = default.swing.skeleton[moment]
        posed = surface.pose(posture).astype(float)
        for joint, names in (("knee", ("thigh", "shank", "knee_1", "knee_2")), ("elbow", ARM_FRAMES)):
            for side in ("lead", "trail"):
                frames = [n if n.endswith(side) else f"{n}_{side}" for n in names if joint == "knee" or side in n]
                own = faces[(surface.share_of(*frames) > 0.98)[faces].all(axis=1)]
                near, far = ("hip", "ankle") if joint == "knee" else ("shoulder", "wrist")

                def across(at: Mapping[str, Array], mesh: Array) -> float:
                    before, joint_at, after = (at[f"{name}_{side}"] for name in (near, joint, far))  # noqa: B023
                    ways = (joint_at - before, after - joint_at)
                    # The plane that halves the bend, where the two limbs may touch and neither reaches over.
                    run = sum(way / np.linalg.norm(way) for way in ways)
                    return tape.tape(mesh, own, joint_at, run / np.linalg.norm(run))  # noqa: B023

                kept = across(posture.joints, posed) / across(surface.rest.joints, surface.mesh.vertices)
                assert 0.95 < kept < 1.20, (joint, side, moment)
