"""Phones' cameras: against `Camera`, and where they must stand."""

import numpy as np
import pytest

from turnstill.model.films import phone_camera
from turnstill.model.films.phone_camera import NUMBERS, USUAL, camera, placed, project, told


@pytest.mark.parametrize("view", [0, 1])
def test_it_shows_what_a_camera_shows(view):
    rng = np.random.default_rng(5)
    numbers, points = rng.normal(size=(6, 7)), rng.uniform([-0.6, -0.6, 0.4], [0.6, 0.6, 1.6], (6, 9, 3))
    pixels = project(numbers, view, np.full((6, 2), [720.0, 1280.0]), points)
    for one, place, shown in zip(numbers, points, pixels, strict=True):
        np.testing.assert_allclose(camera(one, view, 720, 1280).project(place), shown, atol=1e-9)


def test_square_cameras_stand_where_coaches_stand():
    square = np.zeros(7)
    square[NUMBERS.index("azimuth")] = -USUAL["azimuth"][0] / USUAL["azimuth"][1]
    places = [placed(square, view, np.array(1280.0))[2] for view in (0, 1)]
    distance = told(square)["distance"]
    np.testing.assert_allclose(places[0], [distance, 0.0, 1.2], atol=1e-12)
    np.testing.assert_allclose(places[1], [0.0, -distance, 1.2], atol=1e-12)
    # Face-on the target is at the right; down the line the ball is.
    ahead = np.array([[0.0, 0.0, 1.2], [0.1, 0.0, 1.2], [0.0, 0.1, 1.2], [0.0, 0.0, 1.3]])
    face, line = (project(square, view, np.array([720.0, 1280.0]), ahead) for view in (0, 1))
    np.testing.assert_allclose(face[0], [359.5, 639.5])
    np.testing.assert_allclose(line[0], [359.5, 639.5])
    assert face[2, 0] > face[0, 0]
    assert line[1, 0] > line[0, 0]
    assert face[3, 1] < face[0, 1]
    assert line[3, 1] < line[0, 1]


def test_off_square_pan_and_roll_go_the_way_they_say():
    middle, up = np.array([[0.0, 0.0, 1.2]]), np.array([[0.0, 0.0, 1.2], [0.0, 0.0, 1.7]])
    size = np.array([720.0, 1280.0])

    def one(name, degrees):
        numbers = np.zeros(7)
        numbers[NUMBERS.index(name)] = np.radians(degrees) / USUAL[name][1]
        return numbers

    assert placed(one("azimuth", 10.0), 0, np.array(1280.0))[2][1] > 0.0  # toward the target
    assert placed(one("azimuth", 10.0), 1, np.array(1280.0))[2][0] > 0.0  # toward the ball
    for view in (0, 1):
        # What looks away from the middle by an angle shows it at f tan(angle).
        focal, _, _ = placed(np.zeros(7), view, np.array(1280.0))
        off = project(one("pan", 5.0), view, size, middle)[0] - 359.5
        assert abs(off[0]) == pytest.approx(focal * np.tan(np.radians(5.0)))
        low = project(one("pitch", 5.0), view, size, middle)[0, 1] - 639.5
        assert low == pytest.approx(-focal * np.tan(np.radians(5.0)))  # looking down raises what is level
        line = np.diff(project(one("roll", 5.0), view, size, up), axis=0)[0]
        assert abs(np.degrees(np.arctan2(line[0], -line[1]))) == pytest.approx(5.0)


def test_each_number_does_something_of_its_own():
    points = np.random.default_rng(6).uniform([-0.5, -0.5, 0.5], [0.5, 0.5, 1.5], (9, 3))
    size = np.array([720.0, 1280.0])
    for view in (0, 1):
        base = project(np.zeros(7), view, size, points)
        slopes = [(project(0.01 * row, view, size, points) - base).reshape(-1) for row in np.eye(7)]
        assert np.linalg.matrix_rank(np.stack(slopes), tol=1e-3) == len(phone_camera.NUMBERS)
