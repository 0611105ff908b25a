"""Depths against planes and rays."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest
import trimesh
from plain_figures import PlainFigure, first_faces, middles, oblique, rays

from turnstill.model.films.camera import Camera, down_the_line, face_on
from turnstill.render.figure.club import BALL_RADIUS_M
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.stage.depth import depth_of_zbuffer
from turnstill.render.stage.part_ids import BALL_ID
from turnstill.render.stage.stage import Stage

AT_MOST_M = 1e-3
CAMERAS = {
    "face-on": face_on(0.75),
    "down the line": down_the_line([0.41, 0.03, 0.74], 1280, 720),
    "from afar": face_on(0.75, distance_m=40.0),
    "oblique": oblique(),
}
NORMALS = {"square": [0.0, 0.0, 1.0], "tilted": [0.5, -0.6, 0.6], "steep": [0.8, 0.5, 0.25]}


def plane(camera: Camera, normal: list[float], half_m: float = 0.7) -> tuple[PlainFigure, np.ndarray, np.ndarray]:
    """A tilted square one metre over the middle of the feet; its normal is told in the camera's axes."""
    n = np.array(normal) / np.linalg.norm(normal) @ camera.R
    across = np.cross(n, camera.R[1] + 0.1)
    across /= np.linalg.norm(across)
    along, middle = np.cross(n, across), np.array([0.0, 0.0, 1.0])
    corners = [middle + half_m * (a * across + b * along) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    square = trimesh.Trimesh(corners, [[0, 1, 2], [0, 2, 3]], process=False)
    return PlainFigure([square]), n, np.stack([across, along])


@pytest.mark.parametrize("normal", NORMALS.values(), ids=NORMALS)
@pytest.mark.parametrize("camera", CAMERAS.values(), ids=CAMERAS)
def test_a_plane_is_where_it_is(stage: Stage, camera: Camera, normal: list[float]) -> None:
    figure, n, sides = plane(camera, normal)
    depth = stage.depth(camera, figure.posed(), ball=False)
    assert depth.shape == (camera.height, camera.width) and depth.dtype == np.float32
    ways, middle = rays(camera, middles(camera)), np.array([0.0, 0.0, 1.0])
    expected = (n @ (middle - camera.position)) / (ways @ n)
    on_plane = (camera.position + expected[:, None] * ways - middle) @ sides.T
    # A pixel on the very edge may fall either way: 4 mm are about a pixel and a half.
    inside = (np.abs(on_plane).max(axis=1) < 0.696).reshape(depth.shape)
    outside = (np.abs(on_plane).max(axis=1) > 0.704).reshape(depth.shape)
    assert inside.sum() > 20_000
    off = np.abs(depth[inside] - expected.reshape(depth.shape)[inside]).max()
    print(f"\n{inside.sum():,} pixels: within {off * 1e3:.4f} mm")
    assert off <= AT_MOST_M
    assert np.isinf(depth[outside]).all()


@pytest.mark.parametrize("camera", CAMERAS.values(), ids=CAMERAS)
def test_a_golfers_pixels_unproject_onto_the_mesh(
    golf: ModuleType, figure: Figure, stage: Stage, camera: Camera
) -> None:
    posed = Posed.of(figure, golf.top())
    depth, seen = stage.depth(camera, posed, ball=False), stage.part_ids(camera, posed, ball=False) > 0
    assert np.array_equal(np.isfinite(depth), seen)
    rng = np.random.default_rng(3)
    pixels = rng.permutation(middles(camera)[seen.ravel()])[:150]
    met = first_faces(camera, pixels, posed.vertices, figure.faces)[0]
    # A hundredth of a pixel to every side must meet the same surface, or the ray grazes an edge.
    nudged = [first_faces(camera, pixels + step, posed.vertices, figure.faces)[0] for step in 0.01 * CORNERS]
    clear = np.abs(np.array(nudged) - met).max(axis=0) < AT_MOST_M
    assert clear.mean() > 0.9
    drawn = depth[pixels[:, 1].astype(int), pixels[:, 0].astype(int)]
    assert np.abs(drawn - met)[clear].max() <= AT_MOST_M
    places = camera.position + drawn[clear, None] * rays(camera, pixels)[clear]
    assert np.abs(camera.depth(places) - drawn[clear]).max() < 1e-6


CORNERS = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])


def test_the_ball_is_round_in_depth(golf: ModuleType, figure: Figure, stage: Stage) -> None:
    camera = face_on(0.75, 1280, 1600)
    posed = Posed.of(figure, golf.address())
    depth, ids = stage.depth(camera, posed), stage.part_ids(camera, posed)
    pixels = middles(camera)[(ids == BALL_ID).ravel()]
    assert len(pixels) > 400
    ways = rays(camera, pixels)
    # Ray and sphere: |p + t w - c| = r.
    off, square = camera.position - posed.ball, (ways * ways).sum(axis=1)
    half = ways @ off / square
    root = half**2 - (off @ off - BALL_RADIUS_M**2) / square
    # The drawn ball has 24 flat bands: within 0.9 of its radius they are less than a millimetre inside the sphere.
    well = root * square > (1 - 0.9**2) * BALL_RADIUS_M**2
    assert well.mean() > 0.7
    drawn = depth[ids == BALL_ID]
    assert np.abs(drawn - (-half - np.sqrt(np.maximum(root, 0))))[well].max() <= AT_MOST_M
    without = stage.depth(camera, posed, ball=False)
    assert (without[ids == BALL_ID] >= drawn).all() and np.array_equal(without[ids != BALL_ID], depth[ids != BALL_ID])


def test_the_buffers_ends_are_the_planes() -> None:
    values = np.array([[0.0, 0.5, 1.0 - 2.0**-24, 1.0]], np.float32)
    near, middle, far, nothing = depth_of_zbuffer(values, 2.0, 6.0)[0]
    assert near == pytest.approx(2.0) and far == pytest.approx(6.0) and np.isinf(nothing)
    assert middle == pytest.approx(3.0)  # halfway in 1/depth
