from __future__ import annotations

from dataclasses import replace
from types import ModuleType

import numpy as np
import pytest

from turnstill.model.films.camera import Camera, down_the_line, face_on, from_above
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.stage.scenery import scenery
from turnstill.render.stage.stage import Stage

CAMERAS: list[Camera] = [face_on(0.75, 288, 360), down_the_line([0.35, 0.0, 0.75], 288, 360)]


@pytest.mark.parametrize("camera", CAMERAS)
def test_the_drawn_figure_fills_its_projected_outline(
    golf: ModuleType, figure: Figure, stage: Stage, camera: Camera
) -> None:
    for posture in (golf.address(), golf.top()):
        posed = Posed.of(figure, posture)
        covered = stage.figure_layer(camera, posed, ball=False)[..., 3] > 0
        rows, columns = np.nonzero(covered)
        seen = camera.project(posed.vertices)
        low, high = seen.min(axis=0), seen.max(axis=0)
        drawn_low, drawn_high = [columns.min(), rows.min()], [columns.max(), rows.max()]
        assert np.abs(drawn_low - low).max() <= 1.0
        assert np.abs(drawn_high - high).max() <= 1.0


def test_the_same_posture_is_drawn_the_same_after_another(golf: ModuleType, figure: Figure, stage: Stage) -> None:
    """Points and normals are changed in place: nothing of the last posture may stay."""
    address, top = Posed.of(figure, golf.address()), Posed.of(figure, golf.top())
    first = stage.figure_layer(CAMERAS[0], address)
    other = stage.figure_layer(CAMERAS[0], top)
    assert np.abs(first - other).max() > 0.3
    assert np.array_equal(stage.figure_layer(CAMERAS[0], address), first)


def test_a_left_handed_picture_is_the_mirror_image(golf: ModuleType, figure: Figure, stage: Stage) -> None:
    mirror = Figure(golf.BODY, golf.address().mirrored(), left_handed=True)
    top = golf.top()
    picture = stage.picture(CAMERAS[0], Posed.of(figure, top)).astype(int)
    mirrored = stage.picture(CAMERAS[0], Posed.of(mirror, top.mirrored())).astype(int)
    difference = np.abs(picture - mirrored[:, ::-1]).max(axis=-1)
    # Edges may fall either way on a pixel's border, and the diagonals of the mesh's squares shade a little.
    assert np.mean(difference > 12) < 0.01


def test_the_shadow_lies_on_the_ground_at_the_feet(golf: ModuleType, figure: Figure, stage: Stage) -> None:
    camera = CAMERAS[0]
    shadow = stage.shadow(camera, Posed.of(figure, golf.address()))
    horizon = camera.K[1, 2]
    assert shadow[: int(horizon)].max() == 0
    u, v = camera.project([0.0, 0.21, 0.0]).round().astype(int)
    assert shadow[v, u] > 0.5


@pytest.mark.parametrize("camera", [face_on(0.75), from_above([0.4, 0.0, 0.8])])
def test_the_target_line_points_at_the_target(figure: Figure, camera: Camera) -> None:
    ball = np.array([0.8, 0.05, 0.02])
    for left_handed, sign in ((False, 1.0), (True, -1.0)):
        scene = scenery(camera, ball, figure.look, left_handed=left_handed)
        on_line, arrow, beside = camera.project(
            [[ball[0], ball[1] + sign * y, 0.0] for y in (0.3, 0.48, 0.68)]
        ).round().astype(int)  # fmt: skip
        paint = np.array(figure.look.target_line) / 255
        assert np.abs(scene[arrow[1], arrow[0]] - paint).max() < 0.1
        assert np.abs(scene[on_line[1], on_line[0]] - paint).max() < 0.25
        assert np.abs(scene[beside[1], beside[0]] - paint).max() > 0.25


def test_drawing_outside_the_block_is_refused(golf: ModuleType, figure: Figure) -> None:
    with pytest.raises(RuntimeError, match="with block"):
        Stage().figure_layer(CAMERAS[0], Posed.of(figure, golf.address()))


def test_from_above_there_is_ground_to_the_edges_and_no_horizon(figure: Figure) -> None:
    look, ball = figure.look, np.array([0.8, 0.0, 0.0])
    camera = from_above([0.3, 0.0, 0.8], 90, 90)
    K = camera.K.copy()
    K[[0, 1], [0, 1]] = 90 * 5.8 / 7.4  # As wide as 7.4 m of ground, so that corners are over 4.6 m from the ball.
    wide = scenery(replace(camera, K=K), ball, look)
    corners = np.stack([wide[0, 0], wide[0, -1]])
    assert np.allclose(corners, np.array(look.ground_far) / 255, atol=0.01)
    assert np.abs(np.array(look.backdrop_high) - look.ground_far).max() > 30


@pytest.mark.parametrize("camera", [*CAMERAS, replace(CAMERAS[0], distortion=-0.12)])
def test_a_shadow_of_one_side_of_the_body_is_the_shadow_of_both(golf: ModuleType, camera: Camera) -> None:
    for left_handed in (False, True):
        posture = golf.top().mirrored() if left_handed else golf.top()
        address = golf.address().mirrored() if left_handed else golf.address()
        posed = Posed.of(Figure(golf.BODY, address, left_handed=left_handed), posture)
        with Stage() as stage:
            one = stage.shadow(camera, posed)
            for actor in stage._shadows._actors.values():
                assert actor.GetProperty().GetBackfaceCulling()
                actor.GetProperty().BackfaceCullingOff()
            both = stage.shadow(camera, posed)
        assert one.max() > 0.5 and np.array_equal(one, both)
