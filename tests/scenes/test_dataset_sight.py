"""The rule of sight, case by case as docs/dataset_fields.md states it, on pictures made by hand."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.render.figure.segments import SEGMENT_ID
from turnstill.scenes.dataset.layout.sample import KEYPOINTS
from turnstill.scenes.dataset.making.keypoints import half_thickness, places
from turnstill.scenes.dataset.making.masks import depth_steps
from turnstill.scenes.dataset.making.sight import visibility

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


def v_of(
    keypoint: str, shown: str | None, before_m: float = 0.0, *, at: tuple[float, float] = (30.2, 19.8), thin: int = 0
) -> int:
    """What v a keypoint has where all that is seen is a segment so far before it, behind a club so many pixels wide."""
    ids = np.full((HEIGHT, WIDTH), SEGMENT_ID[shown] if shown else 0, np.uint8)
    if thin:
        ids[:, 30 - thin // 2 : 30 - thin // 2 + thin] = SEGMENT_ID["club"]
    ray = np.array([(at[0] - 29.5) / FOCAL, (at[1] - 19.5) / FOCAL, 1.0])
    depth = np.full((HEIGHT, WIDTH), AWAY - before_m / np.linalg.norm(ray), np.float32)
    depth[ids == SEGMENT_ID["club"]] = 3.0
    number = KEYPOINTS.index(keypoint)
    px, camera = np.zeros((17, 2)), np.tile([0.0, 0.0, AWAY], (17, 1))
    px[number], camera[number] = at, ray * AWAY
    return visibility(px.tolist(), camera.tolist(), SHAPE, FOCAL, ids, depth)[number]


@pytest.mark.parametrize("keypoint", OWN_BY_HAND)
def test_own_flesh_shows_a_joint_as_far_as_it_is_thick(keypoint: str) -> None:
    most = ALLOWED_BY_HAND_M[keypoint]
    for own in OWN_BY_HAND[keypoint]:
        assert v_of(keypoint, own, most - 0.001) == 2
        assert v_of(keypoint, own, most + 0.001) == 1
        assert v_of(keypoint, own, -0.05) == 2
    for other in SEGMENT_ID:
        if other not in (*OWN_BY_HAND[keypoint], "club"):
            assert v_of(keypoint, other, 0.0) == 1, other


def test_distance_is_along_the_line_of_sight() -> None:
    most = ALLOWED_BY_HAND_M["left_hip"]
    for before, v in ((most - 0.0005, 2), (most + 0.0005, 1)):
        assert v_of("left_hip", "pelvis", before, at=(57.0, 2.0)) == v


def test_distance_is_taken_between_the_pixels_of_one_surface() -> None:
    most, number = ALLOWED_BY_HAND_M["left_hip"], KEYPOINTS.index("left_hip")
    px, camera = np.zeros((17, 2)), np.tile([0.0, 0.0, AWAY], (17, 1))
    for share, v in ((0.45, 1), (0.15, 2)):
        px[number] = 29 + share, 19.0
        ids = np.full((HEIGHT, WIDTH), SEGMENT_ID["pelvis"], np.uint8)
        depth = np.full((HEIGHT, WIDTH), AWAY - most + 0.003, np.float32)
        depth[:, 30] -= 0.010  # Here it is 7 mm too far before the joint: between is 3 - 10 times the share.
        assert visibility(px.tolist(), camera.tolist(), SHAPE, FOCAL, ids, depth)[number] == v
        depth[:, 30] -= 0.1  # Another surface.
        assert visibility(px.tolist(), camera.tolist(), SHAPE, FOCAL, ids, depth)[number] == 2


def test_nothing_before_a_joint_shows_it() -> None:
    assert v_of("left_elbow", None) == 2


def test_a_shaft_covers_nothing_and_a_clubhead_does() -> None:
    # 2 cm at 4 m are a pixel: what lies beyond it is no shaft.
    assert v_of("left_elbow", "forearm_left", thin=1) == 2
    assert v_of("left_elbow", "shank_right", thin=1) == 1
    assert v_of("left_elbow", None, thin=1) == 2
    assert v_of("left_elbow", "forearm_left", thin=9) == 1


@pytest.mark.parametrize(
    ("at", "v"),
    [((-0.5, 10.0), 2), ((-0.51, 10.0), 0), ((59.49, 10.0), 2), ((59.5, 10.0), 0), ((9.0, -0.51), 0), ((9.0, 39.5), 0),
     ((np.nan, 3.0), 0)],
)  # fmt: skip
def test_the_picture_ends_half_a_pixel_beyond_its_outer_pixels(at: tuple[float, float], v: int) -> None:
    ids = np.full((HEIGHT, WIDTH), SEGMENT_ID["head"], np.uint8)
    depth = np.full((HEIGHT, WIDTH), AWAY, np.float32)
    found = visibility([at] * 17, [(0.0, 0.0, AWAY)] * 17, SHAPE, FOCAL, ids, depth)
    assert found[0] == v


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
