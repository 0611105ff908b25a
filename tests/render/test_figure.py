from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest
from closed_parts import solid
from scipy.spatial.transform import Rotation

from turnstill.model import Address, Body, Pieces
from turnstill.model.chain.skeleton import Skeleton
from turnstill.model.swing.simulate import simulate
from turnstill.render.figure.clothing import TROUSERS_M
from turnstill.render.figure.club import BALL_RADIUS_M
from turnstill.render.figure.figure import Figure

SINGLE = 4e-6
"""m: clothes are posed in single precision, whose steps are 0.1 to 0.2 micrometres at these sizes."""


def winding(points: np.ndarray, vertices: np.ndarray, faces: np.ndarray) -> np.ndarray:
    """How many closed surfaces each point is inside of, by solid angles.

    Source: van Oosterom and Strackee, The solid angle of a plane triangle, IEEE Trans Biomed Eng 1983;
    30:125-126 (from memory).
    """
    found = []
    for point in points:
        a, b, c = np.moveaxis(vertices[faces] - point, 1, 0)
        la, lb, lc = (np.linalg.norm(v, axis=1) for v in (a, b, c))
        volume = np.einsum("ij,ij->i", a, np.cross(b, c))
        dots = [np.einsum("ij,ij->i", v, w) for v, w in ((a, b), (b, c), (c, a))]
        below = la * lb * lc + dots[0] * lc + dots[1] * la + dots[2] * lb
        found.append(np.arctan2(volume, below).sum() / (2 * np.pi))
    return np.array(found)


def postures(golf: ModuleType) -> dict[str, Skeleton]:
    return {"address": golf.address(), "top": golf.top()}


@pytest.mark.parametrize("moment", ["address", "top"])
@pytest.mark.parametrize("left_handed", [False, True])
def test_every_part_is_closed_and_wound_outward(golf: ModuleType, moment: str, left_handed: bool) -> None:
    address, posture = golf.address(), postures(golf)[moment]
    if left_handed:
        address, posture = address.mirrored(), posture.mirrored()
    figure = Figure(golf.BODY, address, left_handed=left_handed)
    vertices = figure.pose(posture)
    assert np.isfinite(vertices).all()
    for part in figure.parts:
        mesh = solid(figure, vertices, part.name)
        assert mesh.is_watertight, part.name
        assert mesh.is_winding_consistent, part.name
        assert mesh.volume > 0, part.name


def test_a_moved_skeleton_carries_the_figure_along(golf: ModuleType, figure: Figure) -> None:
    rng = np.random.default_rng(4)
    for posture in postures(golf).values():
        turn, shift = Rotation.random(random_state=rng).as_matrix(), rng.normal(size=3)
        carried = figure.pose(posture) @ turn.T + shift
        assert np.abs(figure.pose(golf.moved(posture, turn, shift)) - carried).max() <= SINGLE


def test_the_left_handed_figure_is_the_mirror_image(golf: ModuleType, figure: Figure) -> None:
    mirror = Figure(golf.BODY, golf.address().mirrored(), left_handed=True)
    for posture in postures(golf).values():
        assert np.allclose(mirror.pose(posture.mirrored()), figure.pose(posture) * [1, -1, 1], atol=SINGLE)


def test_a_batch_of_moments_gives_the_same_vertices(golf: ModuleType, figure: Figure) -> None:
    address, top = golf.address(), golf.top()
    both = Skeleton(
        {name: np.stack([address.joints[name], top.joints[name]])[None] for name in top.joints},
        {name: np.stack([address.frames[name], top.frames[name]])[None] for name in top.frames},
        np.stack([address.spine, top.spine])[None],
        np.stack([address.spine_frames, top.spine_frames])[None],
    )
    vertices = figure.pose(both)
    assert vertices.shape[:2] == (1, 2)
    # To the bit: what a moment is posed beside changes nothing.
    assert np.array_equal(vertices[0, 0], figure.pose(address))
    assert np.array_equal(vertices[0, 1], figure.pose(top))


@pytest.mark.parametrize(
    "size", [(1.2, 30.0, "female"), (1.2, 160.0, "male"), (2.05, 250.0, "female"), (1.95, 45.0, "male")]
)
def test_unusual_bodies_are_clothed_too(size: tuple[float, float, str]) -> None:
    body = Body.from_stature(*size)
    swing = simulate(body, Address(), Pieces(), frames=2)
    figure = Figure(body, swing.skeleton[0])
    assert np.isfinite(figure.pose(swing.skeleton)).all()
    assert min(part.count for part in figure.parts) > 20


BONES = [
    ("hip_{}", "knee_{}"), ("knee_{}", "ankle_{}"), ("shoulder_{}", "elbow_{}"), ("elbow_{}", "wrist_{}"),
]  # fmt: skip


@pytest.mark.parametrize("moment", ["address", "top"])
def test_joints_and_bones_lie_inside_without_gaps(golf: ModuleType, figure: Figure, moment: str) -> None:
    posture = postures(golf)[moment]
    vertices = figure.pose(posture)
    way = np.linspace(0.0, 1.0, 9)[:, None]
    inside = [np.stack([posture.joints[n] for n in ("pelvis", "lumbosacral", "neck_base", "head", "grip")])]
    inside.append(posture.spine[::3])
    for side in ("lead", "trail"):
        for near, far in BONES:
            a, b = posture.joints[near.format(side)], posture.joints[far.format(side)]
            inside.append(a + way * (b - a))
    assert winding(np.concatenate(inside), vertices, figure.faces).min() > 0.99
    outside = posture.joints["head"] + np.array([[0.4, 0, 0], [0, 0, 0.5]])
    assert np.abs(winding(outside, vertices, figure.faces)).max() < 1e-6


def named(figure: Figure, vertices: np.ndarray, *names: str) -> np.ndarray:
    return np.concatenate(
        [vertices[a:b] for part, (a, b) in zip(figure.parts, figure.vertex_ranges, strict=True) if part.name in names]
    )


def test_sizes_are_the_measured_ones(golf: ModuleType, figure: Figure) -> None:
    address = golf.address()
    vertices = figure.pose(address)
    in_head = (named(figure, vertices, "head") - address.joints["head"]) @ address.frames["head"]
    in_head = in_head[in_head[:, 2] > 0]  # The skin of the neck belongs to the same part.
    assert np.ptp(in_head[:, 1]) == pytest.approx(golf.SHAPE["head_breadth"], rel=0.03)
    assert np.ptp(in_head[:, 0]) == pytest.approx(golf.SHAPE["head_length"], rel=0.04)
    in_foot = (named(figure, vertices, "sole_lead") - address.joints["ankle_lead"]) @ address.frames["foot_lead"]
    # A shoe is a little longer and broader than the bare foot in it.
    assert 0.0 < np.ptp(in_foot[:, 0]) - golf.SHAPE["foot_length"] < 0.035
    assert 0.0 < np.ptp(in_foot[:, 1]) - golf.SHAPE["foot_breadth"] < 0.03
    in_pelvis = (named(figure, vertices, "trousers") - address.joints["pelvis"]) @ address.frames["pelvis"]
    in_pelvis = in_pelvis[in_pelvis[:, 2] > -0.02]  # Trousers go on down to the ankles.
    assert np.ptp(in_pelvis[:, 1]) - 2 * TROUSERS_M == pytest.approx(golf.SHAPE["hip_breadth"], rel=0.05)


def test_the_golfer_stands_on_the_ground_and_the_club_is_soled(golf: ModuleType, figure: Figure) -> None:
    vertices = figure.pose(golf.address())
    for name in ("sole_lead", "sole_trail", "clubhead"):
        assert abs(named(figure, vertices, name)[:, 2].min()) < 0.004


def test_the_face_of_the_club_stands_behind_the_ball(golf: ModuleType) -> None:
    """Also where the clubhead's joint is given at the ball itself."""
    address = golf.address()
    for ball in (address.joints["ball"], address.joints["clubhead"]):
        given = Skeleton({**address.joints, "ball": ball}, address.frames, address.spine, address.spine_frames)
        figure = Figure(golf.BODY, given)
        face = named(figure, figure.pose(given), "clubhead")[:, 1].max()
        assert -0.01 < ball[1] - BALL_RADIUS_M - face < 0.03


def test_the_face_looks_where_the_head_does(golf: ModuleType, figure: Figure) -> None:
    for posture in postures(golf).values():
        vertices = figure.pose(posture)
        eyes = named(figure, vertices, "iris_lead", "iris_trail").mean(axis=0)
        ears = named(figure, vertices, "ear_lead", "ear_trail").mean(axis=0)
        looking = (eyes - ears) / np.linalg.norm(eyes - ears)
        assert looking @ posture.frames["head"][:, 0] > 0.95


def test_normals_are_unit_and_point_outward(golf: ModuleType, figure: Figure) -> None:
    vertices = figure.pose(golf.top())
    normals = figure.normals(vertices)
    assert np.allclose(np.linalg.norm(normals, axis=1), 1.0)
    for name in ("eye_lead", "iris_trail", "buckle"):  # Convex parts, whose centre every normal leaves.
        k = [part.name for part in figure.parts].index(name)
        start, end = figure.vertex_ranges[k]
        away = vertices[start:end] - vertices[start:end].mean(axis=0)
        assert (np.einsum("ij,ij->i", away, normals[start:end]) > 0).all()


@pytest.mark.parametrize(("left_handed", "lengths"), [(False, {}), (True, {}), (False, {"heel_to_ball": 0.17})])
def test_a_shoe_bends_at_the_ball_of_the_foot_where_the_heel_is_up(
    left_handed: bool, lengths: dict[str, float]
) -> None:
    """Nothing of it goes into the ground, the toes stay where they were, and behind the ball it goes with the foot."""
    rise = {"lead": 0.05, "trail": 0.09}
    body = Body.from_stature(lengths=lengths)
    pieces = Pieces(lead_heel_rise=rise["lead"], trail_heel_rise=rise["trail"])
    swing = simulate(body, Address(), pieces, frames=2, left_handed=left_handed)
    figure = Figure(body, swing.skeleton[0], left_handed=left_handed)
    for side in ("lead", "trail"):
        heel, ankle = (swing.skeleton.joints[f"{joint}_{side}"] for joint in ("heel", "ankle"))
        foot = swing.skeleton.frames[f"foot_{side}"]
        for name in ("sole", "shoe"):
            flat, bent = (named(figure, figure.pose(swing.skeleton[k]), f"{name}_{side}") for k in (0, 1))
            ahead = (flat - heel[0]) @ foot[0][:, 0] - float(body.lengths["heel_to_ball"])
            assert bent[:, 2].min() > -1e-4
            np.testing.assert_allclose(bent[ahead > 0.005], flat[ahead > 0.005], atol=2e-3)
            own = [(points - ankle[k]) @ foot[k] for k, points in enumerate((flat, bent))]
            np.testing.assert_allclose(own[1][ahead < -0.05], own[0][ahead < -0.05], atol=2e-3)
