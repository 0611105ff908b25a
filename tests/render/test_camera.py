from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.films.camera import Camera, down_the_line, face_on, from_above

HANDS = np.array([0.4, 0.05, 0.75])


def test_face_on_has_the_target_at_the_right_and_up_at_the_top() -> None:
    camera = face_on(0.75)
    here, target, above = camera.project([[0, 0, 1.0], [0, 0.5, 1.0], [0, 0, 1.5]])
    assert target[0] > here[0] and target[1] == pytest.approx(here[1])
    assert above[1] < here[1] and above[0] == pytest.approx(here[0])


def test_face_on_is_square_to_the_target_line_at_hand_height() -> None:
    camera = face_on(0.75, distance_m=5.0)
    assert np.allclose(camera.position, [5.0, 0.0, 0.75])
    assert np.allclose(camera.R[2], [-1, 0, 0])
    # A level camera sees everything at its own height on one line.
    rows = camera.project([[0.5, -0.7, 0.75], [-0.4, 0.3, 0.75]])[:, 1]
    assert rows == pytest.approx(camera.K[1, 2])


@pytest.mark.parametrize("left_handed", [False, True])
def test_down_the_line_looks_along_the_hands_toward_the_target(left_handed: bool) -> None:
    sign = -1.0 if left_handed else 1.0
    hands = HANDS * [1, sign, 1]
    camera = down_the_line(hands, left_handed=left_handed)
    toward_target = np.array([0.0, sign, 0.0])
    assert np.allclose(camera.R[2], toward_target)
    line = camera.project(hands + np.linspace(-1, 3, 5)[:, None] * toward_target)
    assert np.allclose(line, camera.K[:2, 2])
    ball_side = camera.project(hands + np.eye(3)[0])[0] - camera.project(hands)[0]
    assert np.sign(ball_side) == sign  # A right-handed golfer faces the picture's right.


@pytest.mark.parametrize("left_handed", [False, True])
def test_from_above_the_golfer_faces_down_the_picture_with_the_target_at_the_side_as_face_on(left_handed: bool) -> None:
    hands = HANDS * [1, -1 if left_handed else 1, 1]
    camera = from_above(hands, distance_m=4.0)
    assert np.allclose(camera.position, [0.4, 0.0, 4.75])
    assert np.allclose(camera.R[2], [0, 0, -1]) and np.linalg.det(camera.R) == pytest.approx(1)
    here, target_side, ball_side, raised = camera.project(
        [[0.2, 0.1, 1.0], [0.2, 0.4, 1.0], [0.5, 0.1, 1.0], [0.2, 0.1, 1.5]]
    )
    # +y is to the right as face-on sees it, +x down, and nothing level shows up on another axis.
    beside = np.diff(face_on(0.75).project([[0.2, 0.1, 1.0], [0.2, 0.4, 1.0]])[:, 0])[0]
    assert target_side[0] > here[0] and beside > 0 and target_side[1] == pytest.approx(here[1])
    assert ball_side[1] > here[1] and ball_side[0] == pytest.approx(here[0])
    # What is raised moves away from the middle of the picture, over which the camera stands.
    middle = camera.K[:2, 2]
    assert np.allclose(middle, [719 / 2, 899 / 2])
    assert np.allclose((raised - middle) / (here - middle), (4.75 - 1.0) / (4.75 - 1.5))


def test_from_above_the_picture_is_a_plan_of_every_level() -> None:
    """An angle between level lines is the angle in the picture, at any height and anywhere in it."""
    camera = from_above(HANDS, 500, 700)
    rng = np.random.default_rng(4)
    for angle in (-20.0, 7.0, 45.0, 91.0):
        start = rng.uniform([-0.3, -0.6, 0.0], [0.8, 0.6, 1.8])
        way = np.array([np.sin(np.radians(angle)), np.cos(np.radians(angle)), 0.0])
        a, b = camera.project([start, start + 0.4 * way])
        assert np.degrees(np.arctan2(b[1] - a[1], b[0] - a[0])) == pytest.approx(angle)
        # 1.1 statures across the smaller side at the hands' height, 5 m under the camera.
        scale = 500 / (1.1 * 1.75) * 5.0 / (5.75 - start[2])
        assert np.linalg.norm(b - a) == pytest.approx(0.4 * scale)


def test_a_mirrored_world_makes_a_mirrored_picture() -> None:
    points = np.random.default_rng(1).uniform([-1, -1, 0], [1, 1, 2], (50, 3))
    flip = np.array([1.0, -1.0, 1.0])
    for camera, mirror in (
        (face_on(0.8), face_on(0.8, left_handed=True)),
        (down_the_line(HANDS), down_the_line(HANDS * flip, left_handed=True)),
        (from_above(HANDS), from_above(HANDS * flip)),
    ):
        seen, mirrored = camera.project(points), mirror.project(points * flip)
        assert np.allclose(mirrored[:, 0], camera.width - 1 - seen[:, 0])
        assert np.allclose(mirrored[:, 1], seen[:, 1])


@pytest.mark.parametrize("stature", [1.5, 1.75, 2.1])
def test_the_frame_holds_a_golfer_of_any_stature(stature: float) -> None:
    hands = np.array([0.23, 0.0, 0.42]) * stature
    # Feet, ball, raised hands and a club laid off in either direction, in parts of stature.
    reach = np.array([[0, 0.2, 0], [0, -0.2, 0], [0.57, 0, 0], [-0.1, -0.3, 1.05], [-0.1, 0.42, 0.95], [0, 0, 1.0]])
    cameras = (make(hands, stature_m=stature) for make in (down_the_line, from_above))
    for camera in (face_on(hands[2], stature_m=stature), *cameras):
        seen = camera.project(reach * stature)
        assert (seen >= 0).all() and (seen < [camera.width, camera.height]).all()


def test_scaling_keeps_the_edges_of_the_picture() -> None:
    camera = face_on(0.8)
    points = np.random.default_rng(2).uniform([-1, -1, 0], [1, 1, 2], (20, 3))
    for s in (0.5, 2.0, 3.0):
        fine = camera.scaled(s)
        assert (fine.width, fine.height) == (720 * s, 900 * s)
        assert np.allclose(fine.project(points) + 0.5, (camera.project(points) + 0.5) * s)


def test_batch_shapes_give_the_same_numbers() -> None:
    camera = face_on(0.8)
    points = np.random.default_rng(3).uniform([-1, -1, 0], [1, 1, 2], (3, 1, 2, 3))
    seen = camera.project(points)
    assert seen.shape == (3, 1, 2, 2)
    assert np.array_equal(seen[2, 0, 1], camera.project(points[2, 0, 1]))


def test_a_point_behind_the_camera_is_not_a_number() -> None:
    assert np.isnan(face_on(0.8).project([9.0, 0.0, 0.8])).all()


@pytest.mark.parametrize(
    "make",
    [
        lambda: face_on(np.nan),
        lambda: face_on(0.8, distance_m=-1.0),
        lambda: face_on(0.8, stature_m=np.inf),
        lambda: down_the_line([0.4, 0.0, np.nan]),
        lambda: from_above([np.nan, 0.0, 0.8]),
        lambda: from_above([0.4, 0.0, np.inf]),
        lambda: from_above([0.4, 0.0, 0.8], distance_m=0.0),
        lambda: from_above([0.4, 0.0, 0.8], stature_m=9.0),
        lambda: face_on(0.8).scaled(0.0),
    ],
)
def test_impossible_places_end_in_a_sentence(make: object) -> None:
    with pytest.raises(TurnstillError, match="must be a number between"):
        make()  # type: ignore[operator]


def test_a_camera_loads_no_drawing_library() -> None:
    code = (
        "import sys, turnstill.model.films.camera, turnstill.render.pictures.picture\n"
        "heavy = {'pyvista', 'vtkmodules', 'trimesh', 'matplotlib', 'PIL', 'cv2'} & set(sys.modules)\n"
        "raise SystemExit(' '.join(sorted(heavy)) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert isinstance(face_on(0.8), Camera)
