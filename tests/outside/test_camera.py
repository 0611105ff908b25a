"""Cameras against OpenCV (https://opencv.org), whose pinhole convention they follow."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest

from turnstill.model.films.camera import Camera, down_the_line, face_on, from_above

CAMERAS = {
    "face-on": face_on(0.78, stature_m=1.82),
    "down the line": down_the_line([0.41, 0.03, 0.74], 640, 480, stature_m=1.6, distance_m=4.0),
    "down the line, left-handed": down_the_line([0.41, -0.03, 0.74], left_handed=True),
    "from above": from_above([0.41, 0.03, 0.74], 640, 480, stature_m=2.0, distance_m=8.0),
    "twice the pixels": face_on(0.78).scaled(2.0),
    "an odd scale": down_the_line([0.4, 0.0, 0.7]).scaled(0.75),
}


def oblique() -> Camera:
    """A camera with nothing special: turned, tilted, rolled, fx and fy apart, centre off the middle."""
    R, _ = cv2.Rodrigues(np.array([1.3, -0.9, 0.7]))
    K = np.array([[700.0, 0, 331.0], [0, 760.0, 222.0], [0, 0, 1]])
    return Camera(K, R, np.array([0.2, 0.1, 5.5]), 640, 480)


def opencv(camera: Camera, points: np.ndarray) -> np.ndarray:
    turn, _ = cv2.Rodrigues(camera.R)
    return cv2.projectPoints(points, turn, camera.t, camera.K, np.zeros(5))[0][:, 0]


@pytest.mark.parametrize("camera", [*CAMERAS.values(), oblique()], ids=[*CAMERAS, "oblique"])
def test_projects_like_opencv(camera: Camera) -> None:
    rng = np.random.default_rng(5)
    points = rng.uniform([-1, -1, 0], [1.2, 1, 2.2], (500, 3))
    # Rodrigues to a vector and back costs OpenCV some digits; the project's own comparison is to 1e-9.
    assert np.abs(camera.project(points) - opencv(camera, points)).max() <= 1e-9


def bending(k1: float) -> Camera:
    return replace(oblique(), distortion=k1)


@pytest.mark.parametrize("k1", [-0.25, -0.06, 0.04, 0.2])
def test_a_lens_that_bends_projects_like_opencv(k1: float) -> None:
    camera, points = bending(k1), np.random.default_rng(5).uniform([-1, -1, 0], [1.2, 1, 2.2], (500, 3))
    turn, _ = cv2.Rodrigues(camera.R)
    for one in (camera, camera.scaled(2.0), camera.scaled(0.75)):
        lens = np.array([k1, 0.0, 0.0, 0.0, 0.0])
        expected = cv2.projectPoints(points, turn, one.t, one.K, lens)[0][:, 0]
        assert np.abs(expected - opencv(one, points)).max() > 1.0
        assert np.abs(one.project(points) - expected).max() <= 1e-9
        # A pinhole shows the bent points there, as deep as they were.
        assert np.abs(opencv(one, one.bent(points)) - expected).max() <= 0.01
        assert np.abs(one.depth(one.bent(points)) - one.depth(points)).max() < 1e-12


@pytest.mark.parametrize("k1", [-0.25, 0.0, 0.2])
def test_what_lies_on_a_pixels_ray_is_seen_in_its_middle(k1: float) -> None:
    camera = bending(k1)
    rows, columns = np.mgrid[0 : camera.height, 0 : camera.width]
    seen = camera.project(camera.position + 7.0 * camera.rays())
    assert np.abs(seen - np.stack([columns, rows], axis=-1)).max() <= 1e-6


def test_what_is_far_outside_is_not_folded_back_into_the_picture() -> None:
    camera = bending(-0.25)
    sides = camera.position + camera.R[2] + np.linspace(0.0, 9.0, 200)[:, None] * camera.R[0]
    assert (np.diff(camera.project(sides)[:, 0]) > -1e-9).all()


@pytest.mark.parametrize("camera", [CAMERAS["face-on"], CAMERAS["down the line"], CAMERAS["from above"], oblique()])
def test_a_drawn_marker_lies_where_opencv_says(camera: Camera) -> None:
    """Without any smoothing, within a quarter of a pixel."""
    from turnstill.render.stage.opengl import require_opengl
    from turnstill.render.stage.vtk_camera import aim

    require_opengl()
    import pyvista

    rng = np.random.default_rng(6)
    points = rng.uniform([-0.5, -0.5, 0.2], [0.5, 0.5, 1.7], (12, 3))
    plotter = pyvista.Plotter(off_screen=True, lighting="none", window_size=(64, 64))
    try:
        plotter.render_window.SetMultiSamples(0)
        plotter.set_background("black")
        for point in points:
            plotter.add_mesh(pyvista.Sphere(radius=0.02, center=point), color="white", lighting=False)
        actors = list(plotter.actors.values())
        aim(plotter, camera)
        expected = opencv(camera, points)
        for actor, (u, v) in zip(actors, expected, strict=True):
            for other in actors:
                other.SetVisibility(other is actor)
            plotter.render()
            lit = plotter.screenshot(None, return_img=True)[..., 0] > 127
            assert lit.shape == (camera.height, camera.width)
            rows, columns = np.nonzero(lit)
            assert abs(columns.mean() - u) <= 0.25
            assert abs(rows.mean() - v) <= 0.25
    finally:
        plotter.close()
