"""The rule of sight, case by case as docs/dataset_fields.md states it, and what a line of sight meets."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from turnstill.model.films.camera import Camera
from turnstill.model.films.keypoint_places import places
from turnstill.render.figure.segments import SEGMENT_ID
from turnstill.scenes.dataset.layout.sample import KEYPOINTS
from turnstill.scenes.dataset.making import meeting
from turnstill.scenes.dataset.making.keypoints import half_thickness
from turnstill.scenes.dataset.making.masks import depth_steps
from turnstill.scenes.dataset.making.meeting import Runs, first_met
from turnstill.scenes.dataset.making.sight import Stored, met_first, visibility

WIDTH, HEIGHT, FOCAL, AWAY = 60, 40, 200.0, 4.0
SHAPE = {
    "biceps_circumference": 33.0, "forearm_circumference": 27.0, "wrist_circumference": 17.0, "buttock_depth": 24.0,
    "lower_thigh_circumference": 40.0, "ankle_circumference": 22.0,
}  # fmt: skip
ALLOWED_BY_HAND_M = {
    "nose": 1.5 * 0.01 + 0.02, "left_ear": 1.5 * 0.01 + 0.02, "right_shoulder": 1.5 * 0.33 / (2 * np.pi) + 0.02,
    "left_elbow": 1.5 * 0.27 / (2 * np.pi) + 0.02, "right_wrist": 1.5 * 0.17 / (2 * np.pi) + 0.02,
    "left_hip": 1.5 * 0.12 + 0.02, "right_knee": 1.5 * 0.40 / (2 * np.pi) + 0.02,
    "left_ankle": 1.5 * 0.22 / (2 * np.pi) + 0.02,
}  # fmt: skip
OWN_BY_HAND = {
    "nose": ("head",), "left_ear": ("head",), "right_shoulder": ("trunk", "upper_arm_right"),
    "left_elbow": ("upper_arm_left", "forearm_left"), "right_wrist": ("forearm_right", "hand_right"),
    "left_hip": ("trunk", "pelvis", "thigh_left"), "right_knee": ("thigh_right", "shank_right"),
    "left_ankle": ("shank_left", "foot_left"),
}  # fmt: skip


def v_of(keypoint: str, shown: str | None, before_m: float = 0.0, *, at: tuple[float, float] = (30.2, 19.8)) -> int:
    """What v a keypoint has where its line of sight meets a segment so far before it."""
    met = [(SEGMENT_ID[shown] if shown else 0, before_m)] * 17
    found = visibility([at] * 17, [(0.0, 0.0, AWAY)] * 17, met, SHAPE, (HEIGHT, WIDTH))
    return found[KEYPOINTS.index(keypoint)]


@pytest.mark.parametrize("keypoint", OWN_BY_HAND)
def test_own_flesh_shows_a_joint_as_far_as_it_is_thick(keypoint: str) -> None:
    most = ALLOWED_BY_HAND_M[keypoint]
    for own in OWN_BY_HAND[keypoint]:
        assert v_of(keypoint, own, most - 0.001) == 2
        assert v_of(keypoint, own, most + 0.001) == 1
        assert v_of(keypoint, own, -0.05) == 2
    for other in SEGMENT_ID:
        if other not in OWN_BY_HAND[keypoint]:
            assert v_of(keypoint, other, 0.0) == 1, other


def test_nothing_before_a_joint_shows_it() -> None:
    assert v_of("left_elbow", None) == 2


@pytest.mark.parametrize(
    ("at", "v"),
    [((-0.5, 10.0), 2), ((-0.51, 10.0), 0), ((59.49, 10.0), 2), ((59.5, 10.0), 0), ((9.0, -0.51), 0), ((9.0, 39.5), 0),
     ((np.nan, 3.0), 0)],
)  # fmt: skip
def test_the_picture_ends_half_a_pixel_beyond_its_outer_pixels(at: tuple[float, float], v: int) -> None:
    assert v_of("nose", "head", at=at) == v


PARTS = ("trunk", "shaft", "thigh")
CAMERA = Camera(
    np.array([[FOCAL, 0.0, 29.5], [0.0, FOCAL, 19.5], [0.0, 0.0, 1.0]]), np.eye(3), np.array([0.1, -0.2, 0.3]),
    WIDTH, HEIGHT,
)  # fmt: skip


def posed(triangles: Any, parts: Any) -> Any:
    """Something like a posed figure, of triangles ``(F, 3, 3)`` in the camera's frame, each of one of ``PARTS``."""
    corners = np.reshape(triangles, (-1, 3)) - CAMERA.t
    segments = np.array([SEGMENT_ID["trunk"], SEGMENT_ID["club"], SEGMENT_ID["thigh_left"]], np.uint8)
    figure = SimpleNamespace(
        faces=np.arange(len(corners)).reshape(-1, 3), parts=[SimpleNamespace(name=name) for name in PARTS],
        part_of_face=np.array(parts), segment_of_face=segments[np.array(parts)],
    )  # fmt: skip
    return SimpleNamespace(figure=figure, vertices=corners)


def test_a_line_meets_a_plane_where_geometry_says() -> None:
    corners = np.array([[-2.0, -2.0, 3.0], [2.0, -1.5, 4.0], [0.0, 2.5, 5.0]])
    normal = np.cross(corners[1] - corners[0], corners[2] - corners[0])
    rng = np.random.default_rng(1)
    at = (rng.dirichlet(np.ones(3), 60) @ corners) * rng.uniform(0.5, 2.0, (60, 1))
    ids, before = first_met(CAMERA, posed([corners], [0]), at)
    # On the line s · at the plane is where s · (at · n) = corner · n.
    share = (corners[0] @ normal) / (at @ normal)
    assert (ids == SEGMENT_ID["trunk"]).all()
    np.testing.assert_allclose(before, (1 - share) * np.linalg.norm(at, axis=1), atol=1e-12)
    beside = np.array([[1.5, 1.5, 4.0], [-1.5, 1.5, 4.0], [0.0, -2.5, 4.0]])
    ids, before = first_met(CAMERA, posed([corners], [0]), beside)
    assert not ids.any() and not before.any()


def test_the_first_surface_counts_whichever_way_round_it_is_and_a_shaft_never() -> None:
    wall = np.array([[-1.0, -1.0, 1.0], [1.0, -1.0, 1.0], [0.0, 2.0, 1.0]])
    goal = np.array([[0.0, 0.0, 4.0]])
    for order in ([0, 1, 2], [2, 1, 0]):
        far, near, shaft = ((wall * distance)[order] for distance in (3.0, 2.0, 1.0))
        ids, before = first_met(CAMERA, posed([far, near, shaft], [0, 2, 1]), goal)
        assert (ids[0], before[0]) == (SEGMENT_ID["thigh_left"], pytest.approx(2.0))
        ids, before = first_met(CAMERA, posed([5 * wall, shaft], [0, 1]), goal)
        assert (ids[0], before[0]) == (SEGMENT_ID["trunk"], pytest.approx(-1.0))


def test_no_line_slips_through_between_two_triangles() -> None:
    rng = np.random.default_rng(2)
    for _ in range(20):
        fan = np.vstack([rng.normal(0, 1, 3) * [0.02, 0.02, 0.1], _ring(rng)]) + np.array([0.0, 0.0, AWAY])
        triangles = [fan[[0, 1 + k, 1 + (k + 1) % 5]] for k in range(5)]
        ends = np.repeat(fan[1:], 30, axis=0)
        on_edges = fan[0] + rng.uniform(0, 0.99, (150, 1)) * (ends - fan[0])
        ids, before = first_met(CAMERA, posed(triangles, [0] * 5), np.concatenate([on_edges, fan[:1]]))
        assert ids.all()
        np.testing.assert_allclose(before, 0.0, atol=1e-9)


def _ring(rng: np.random.Generator) -> Any:
    angle = 2 * np.pi * np.arange(5) / 5
    return np.stack([np.cos(angle), np.sin(angle), 0 * angle], axis=1) * rng.uniform(0.3, 0.5, (5, 1))


def test_things_in_front_and_the_ball_are_met_by_the_nearest_pixel_and_nothing_outside_the_picture() -> None:
    wall = posed([np.array([[-3.0, -3.0, 3.0], [3.0, -3.0, 3.0], [0.0, 6.0, 3.0]])], [0])
    ids, steps = np.full((HEIGHT, WIDTH), SEGMENT_ID["trunk"], np.uint8), np.full((HEIGHT, WIDTH), 12000, np.uint16)
    px = [(10.0, 10.4), (20.6, 10.0), (29.5, 19.5), (-3.0, 4.0)]
    ids[10, 10], steps[10, 10] = SEGMENT_ID["occluder"], 8000
    ids[10, 21], steps[10, 21] = SEGMENT_ID["ball"], 10000
    ray = np.array([((x - 29.5) / FOCAL, (y - 19.5) / FOCAL, 1.0) for x, y in px])
    length = np.linalg.norm(ray, axis=1)
    area = slice(5, HEIGHT - 2), slice(4, WIDTH - 3)
    met = met_first(CAMERA, wall, px, (AWAY * ray).tolist(), Stored(ids[area], steps[area], 0.00025, area))
    assert met == [
        (SEGMENT_ID["occluder"], pytest.approx(2.0 * length[0], abs=1e-5)),
        (SEGMENT_ID["ball"], pytest.approx(1.5 * length[1], abs=1e-5)),
        (SEGMENT_ID["trunk"], pytest.approx(1.0)),
        (0, 0.0),
    ]


def test_left_is_the_golfers_own() -> None:
    kinds = ("eye", "ear", "shoulder", "elbow", "wrist", "hip", "knee", "ankle")
    joints = {
        f"{kind}_{side}": np.full(3, 10.0 * k + s)
        for k, kind in enumerate(kinds)
        for s, side in enumerate(("lead", "trail"))
    }
    joints["nose"] = np.full(3, -1.0)
    right, left = (places(joints, left_handed=mirrored)[:, 0] for mirrored in (False, True))
    assert right[0] == left[0] == -1
    assert right[KEYPOINTS.index("left_knee")] == 60 and right[KEYPOINTS.index("right_knee")] == 61
    assert left[KEYPOINTS.index("left_knee")] == 61 and left[KEYPOINTS.index("right_knee")] == 60
    assert half_thickness(SHAPE)[KEYPOINTS.index("left_hip")] == pytest.approx(0.12)


def test_depth_is_kept_to_an_eighth_of_a_millimetre_however_far() -> None:
    for farthest in (2.0, 16.38, 16.4, 40.0):
        depth = np.linspace(1.0, farthest, 5000, dtype=np.float32).reshape(50, 100)
        depth[0, 0] = np.inf
        steps, unit = depth_steps(depth)
        assert steps[0, 0] == 0 and steps.dtype == np.uint16 and unit <= (0.00025 if farthest <= 16.38 else 0.001)
        np.testing.assert_allclose(steps.ravel()[1:] * unit, depth.ravel()[1:], atol=unit / 2 + 1e-6)


def test_runs_may_be_those_of_another_posture() -> None:
    """What is known of a figure's triangles from one posture finds the same in another."""
    rng = np.random.default_rng(8)
    triangles = rng.normal(0, 1, (300, 1, 3)) + rng.normal(0, 0.2, (300, 3, 3)) + [0.0, 0.0, AWAY]
    parts = rng.integers(0, 3, 300)
    moved = triangles @ np.linalg.qr(rng.normal(size=(3, 3)))[0] * 0.7 + [0.0, 0.0, 2.0]
    goals = rng.normal(0, 0.5, (80, 3)) + np.array([0.0, 0.0, AWAY])
    plain, known = (first_met(CAMERA, posed(triangles, parts), goals, runs) for runs in
                    (None, Runs.of(posed(moved, parts))))  # fmt: skip
    assert (plain[0] > 0).sum() > 40
    np.testing.assert_array_equal(plain[0], known[0])
    np.testing.assert_array_equal(plain[1], known[1])


def test_what_is_sought_in_single_precision_is_told_in_double(monkeypatch: pytest.MonkeyPatch) -> None:
    """Looking at every triangle tells the same as looking at those that may lie about a place."""
    rng = np.random.default_rng(12)
    triangles = [np.add(rng.uniform(-0.3, 0.3, (3, 3)), [*rng.uniform(-0.5, 0.5, 2), 3.0]) for _ in range(90)]
    goals = np.column_stack([rng.uniform(-0.5, 0.5, (40, 2)), np.full(40, 3.0)])
    some = first_met(CAMERA, posed(triangles, [0] * 90), goals)
    monkeypatch.setattr(meeting, "_SLACK", np.float32(9))
    every = first_met(CAMERA, posed(triangles, [0] * 90), goals)
    assert some[0].any() and (some[0] == 0).any()
    np.testing.assert_array_equal(some[0], every[0])
    np.testing.assert_array_equal(some[1], every[1])
