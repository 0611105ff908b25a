from __future__ import annotations

import copy
from types import ModuleType, SimpleNamespace

import numpy as np
import pytest

from turnstill.model.films.camera import Camera, down_the_line, face_on
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.stage.layers import Patch
from turnstill.render.stage.light import Light
from turnstill.render.stage.shadow import flattening
from turnstill.render.stage.stage import KEPT_FIGURES, Stage
from turnstill.render.stage.vtk_camera import extent

CAMERAS: list[Camera] = [face_on(0.75, 288, 360), down_the_line([0.35, 0.0, 0.75], 287, 361)]


@pytest.mark.parametrize("camera", CAMERAS)
def test_a_patch_holds_all_of_the_figure(golf: ModuleType, figure: Figure, stage: Stage, camera: Camera) -> None:
    for posture in (golf.address(), golf.top()):
        patch = stage.figure_patch(camera, Posed.of(figure, posture))
        alpha = patch.pixels[..., 3]
        assert alpha.max() == 1.0
        for edge in (alpha[0], alpha[-1], alpha[:, 0], alpha[:, -1]):
            assert not edge.any()


def test_the_sun_lays_points_on_the_ground() -> None:
    points = np.random.default_rng(1).uniform(-1, 2, (50, 3))
    for left_handed in (False, True):
        matrix = flattening(Light().sun, left_handed)
        flat = points @ matrix[:3, :3].T
        ray = points - flat
        towards_sun = np.array(Light().sun) * [1.0, -1.0 if left_handed else 1.0, 1.0]
        np.testing.assert_allclose(flat[:, 2], 0.0, atol=1e-15)
        np.testing.assert_allclose(np.cross(ray, towards_sun), 0.0, atol=1e-12)
        assert np.array_equal(matrix[3], [0, 0, 0, 1])


def test_a_shadow_patch_fades_out_inside_its_box(golf: ModuleType, figure: Figure, stage: Stage) -> None:
    camera = CAMERAS[0]
    patch = stage.shadow_patch(camera, Posed.of(figure, golf.top()))
    edge = np.concatenate([patch.pixels[0].ravel(), patch.pixels[-1].ravel(), patch.pixels[:, 0].ravel()])
    assert patch.pixels.max() > 0.5 and edge.max() < 0.02


def test_the_box_around_points() -> None:
    camera = CAMERAS[0]
    points = np.random.default_rng(2).uniform([-0.4, -0.4, 0.2], [0.4, 0.4, 1.6], (200, 3))
    left, top, right, bottom = extent(camera, points).box
    places = camera.project(points)
    assert (places >= [left, top]).all() and (places <= [right - 1, bottom - 1]).all()
    assert right - left < np.ptp(places[:, 0]) + 8
    assert extent(camera, np.array([[99.0, 0.0, 1.0]])).box == (0, 0, camera.width, camera.height)
    left, top, right, bottom = extent(camera, np.array([[0.0, 50.0, 1.0]])).box
    assert left < right <= camera.width and top < bottom <= camera.height


def test_a_patch_is_put_where_it_belongs() -> None:
    patch = Patch(np.ones((2, 3, 4), np.float32), left=4, top=1)
    whole = patch.whole(5, 9)
    assert whole.shape == (5, 9, 4) and whole.sum() == 24 and whole[1:3, 4:7].min() == 1


def test_one_figure_serves_all_swings_from_one_address(golf: ModuleType, stage: Stage) -> None:
    first = stage.figure(golf.BODY, golf.address())
    assert stage.figure(golf.BODY, golf.address()) is first
    longer = SimpleNamespace(
        lengths=golf.BODY.lengths, shape={**golf.SHAPE, "head_length": 1.05 * golf.SHAPE["head_length"]}, female=0
    )
    others = [
        stage.figure(longer, golf.address()),
        stage.figure(golf.BODY, golf.top()),
        stage.figure(golf.BODY, golf.address().mirrored(), left_handed=True),
    ]
    assert len({first, *others}) == 4


def test_figures_that_take_turns_are_not_mixed_up(golf: ModuleType, stage: Stage, figure: Figure) -> None:
    """More figures than are kept, each drawn again after the others."""
    camera = CAMERAS[0]
    figures = [copy.copy(figure) for _ in range(KEPT_FIGURES + 2)]
    postures = [golf.moved(golf.address(), np.eye(3), [0.0, 0.05 * k, 0.0]) for k in range(len(figures))]
    posed = [Posed.of(figure, posture) for figure, posture in zip(figures, postures, strict=True)]
    first = [(stage.figure_layer(camera, one), stage.shadow(camera, one)) for one in posed]
    for one, (layer, shadow) in zip(reversed(posed), reversed(first), strict=True):
        assert np.array_equal(stage.figure_layer(camera, one), layer)
        assert np.array_equal(stage.shadow(camera, one), shadow)
    assert np.abs(first[0][0] - first[-1][0]).max() > 0.5
