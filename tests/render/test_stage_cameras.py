"""Markers drawn by the stage lie where OpenCV says, in the colour picture and in the picture of part ids."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest
import trimesh
from plain_figures import PlainFigure, oblique, opencv

from turnstill.model.arrays import Array
from turnstill.model.films.camera import Camera, down_the_line, face_on, from_above
from turnstill.render.stage.stage import Stage

RADIUS_M, APART_PX = 0.020, 40.0
CAMERAS = {
    "face-on": face_on(0.75),
    "down the line": down_the_line([0.41, 0.03, 0.74]),
    "down the line, left-handed": down_the_line([0.41, -0.03, 0.74], left_handed=True),
    "from above": from_above([0.41, 0.03, 0.74]),
    "wide": face_on(0.75, 1280, 720, distance_m=3.0),
    "oblique": oblique(),
}


def markers(camera: Camera) -> Array:
    """``(N, 3)`` places all over the picture, at different depths, none before another."""
    places = np.random.default_rng(8).uniform([-0.9, -1.3, -0.1], [0.9, 1.3, 2.1], (400, 3))
    size, kept = np.array([camera.width, camera.height]), np.empty((0, 3))
    for place in places:
        here, taken = opencv(camera, place[None])[0], opencv(camera, kept) if len(kept) else np.empty((0, 2))
        if (here > 16).all() and (here < size - 16).all() and (np.linalg.norm(taken - here, axis=1) > APART_PX).all():
            kept = np.concatenate([kept, place[None]])
    return kept


@pytest.mark.parametrize("camera", CAMERAS.values(), ids=CAMERAS)
def test_markers_lie_where_opencv_says(stage: Stage, camera: Camera) -> None:
    places = markers(camera)
    assert len(places) > 50
    ball = trimesh.creation.icosphere(subdivisions=3, radius=RADIUS_M)
    posed = PlainFigure([ball.copy().apply_translation(place) for place in places]).posed()
    ids = stage.part_ids(camera, posed, ball=False)
    alpha = stage.figure_layer(camera, posed, ball=False)[..., 3]
    single, smooth = [], []
    for k in range(len(places)):
        rows, columns = np.nonzero(ids == k + 1)
        single.append([columns.mean(), rows.mean()])
        top, left = rows.min() - 2, columns.min() - 2
        around = alpha[top : rows.max() + 3, left : columns.max() + 3].astype(float)
        v, u = np.indices(around.shape)
        smooth.append([left + (around * u).sum() / around.sum(), top + (around * v).sum() / around.sum()])
    expected = opencv(camera, places)
    off, off_smooth = np.abs(np.array(single) - expected).max(), np.abs(np.array(smooth) - expected).max()
    print(f"\n{len(places)} markers: ids within {off:.3f} px, colours within {off_smooth:.3f} px")
    assert off <= 0.25 and off_smooth <= 0.1
    # No bias hides in the scatter: half a pixel's error in the convention would shift all alike.
    assert np.abs((np.array(smooth) - expected).mean(axis=0)).max() <= 0.02


def test_what_is_near_the_camera_is_drawn_in_all_pictures(stage: Stage) -> None:
    """The clipping planes follow the figure: 30 cm before the lens colour, ids and depth still agree."""
    camera = face_on(0.75, distance_m=1.5)
    posed = PlainFigure([trimesh.creation.icosphere(radius=0.03).apply_translation([1.2, 0.0, 0.75])]).posed()
    seen = stage.part_ids(camera, posed) == 1
    assert seen.sum() > 1000
    assert np.array_equal(np.isfinite(stage.depth(camera, posed)), seen)
    assert np.mean((stage.figure_layer(camera, posed)[..., 3] > 0.5) != seen) < 1e-3


def test_a_lens_that_bends_moves_what_is_drawn_and_labelled(stage: Stage) -> None:
    """Before and after a square lens with the same figure: nothing of either may stay."""
    straight = face_on(0.75)
    bent = replace(straight, distortion=-0.2)
    places = markers(straight)
    ball = trimesh.creation.icosphere(subdivisions=3, radius=RADIUS_M)
    posed = PlainFigure([ball.copy().apply_translation(place) for place in places]).posed()
    turn, _ = cv2.Rodrigues(bent.R)
    moved = cv2.projectPoints(places, turn, bent.t, bent.K, np.array([-0.2, 0.0, 0.0, 0.0, 0.0]))[0][:, 0]
    assert np.abs(moved - opencv(straight, places)).max() > 2
    stage.shadow(bent, posed)
    for camera, expected in ((bent, moved), (straight, opencv(straight, places)), (bent, moved)):
        parts = stage.part_ids(camera, posed, ball=False)
        alpha = stage.figure_layer(camera, posed, ball=False)[..., 3]
        for k, place in enumerate(expected):
            rows, columns = np.nonzero(parts == k + 1)
            assert np.abs([columns.mean() - place[0], rows.mean() - place[1]]).max() <= 0.3
        assert np.mean((alpha > 0.5) != (parts > 0)) < 2e-3
