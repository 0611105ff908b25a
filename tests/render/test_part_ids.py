"""Part ids against solids known in closed form and against rays."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest
import trimesh
from plain_figures import FAR_BALL, PlainFigure, first_faces, middles, oblique, rays

from turnstill.model.arrays import Array
from turnstill.model.films.camera import Camera, down_the_line, face_on
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.stage.part_ids import BALL_ID, NOTHING_ID, ids_of_pixels, part_id_colours
from turnstill.render.stage.stage import KEPT_FIGURES, Stage

CAMERAS = {"face-on": face_on(0.75), "down the line": down_the_line([0.41, 0.03, 0.74]), "oblique": oblique()}
STEPS = 0.1 * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
"""Pixels to every side that a ray must agree with its neighbours for what it meets to be clear."""


def boxes() -> tuple[PlainFigure, Array, Array]:
    """Three hundred boxes (more than a byte's worth) that do not touch but hide each other; low and high corners."""
    rng = np.random.default_rng(12)
    cells = rng.permutation(np.stack(np.meshgrid(*[np.arange(7)] * 3), axis=-1).reshape(-1, 3))[:300]
    low = (cells + rng.uniform(0.02, 0.2, (300, 3))) * [0.2, 0.25, 0.28] + [-0.7, -0.85, 0.0]
    high = low + rng.uniform(0.08, 0.15, (300, 3))
    solids = [trimesh.creation.box(bounds=np.stack(pair)) for pair in zip(low, high, strict=True)]
    return PlainFigure(solids), low, high


def seen_boxes(camera: Camera, pixels: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """``(N,)`` the id of the first box on each ray, and ``(N,)`` its depth, by the slabs between parallel faces."""
    ids, depth = np.zeros(len(pixels), int), np.full(len(pixels), np.inf)
    ways = rays(camera, pixels)
    with np.errstate(divide="ignore"):
        per_metre = 1 / ways
    for k in range(len(low)):
        first, second = (low[k] - camera.position) * per_metre, (high[k] - camera.position) * per_metre
        enters, leaves = np.minimum(first, second).max(axis=1), np.maximum(first, second).min(axis=1)
        nearer = (enters < leaves) & (enters < depth)
        ids[nearer], depth[nearer] = k + 1, enters[nearer]
    return ids, depth


@pytest.mark.parametrize("camera", CAMERAS.values(), ids=CAMERAS)
def test_boxes_have_their_ids_and_depths(stage: Stage, camera: Camera) -> None:
    figure, low, high = boxes()
    pixels = np.random.default_rng(7).permutation(middles(camera))[:12_000]
    expected, how_far = seen_boxes(camera, pixels, low, high)
    clear = np.ones(len(pixels), bool)
    for step in STEPS:
        clear &= seen_boxes(camera, pixels + step, low, high)[0] == expected
    assert clear.mean() > 0.95 and len(np.unique(expected)) > 60 and expected.max() > 256
    ids = stage.part_ids(camera, figure.posed(), ball=False)
    assert ids.shape == (camera.height, camera.width) and ids.dtype == np.uint16
    columns, rows = pixels.astype(int).T
    assert np.array_equal(ids[rows, columns][clear], expected[clear])
    hit = clear & (expected > 0)
    depth = stage.depth(camera, figure.posed(), ball=False)[rows, columns]
    assert np.abs(depth[hit] - how_far[hit]).max() <= 1e-3


@pytest.mark.parametrize("left_handed", [False, True], ids=["right-handed", "left-handed"])
@pytest.mark.parametrize("camera", CAMERAS.values(), ids=CAMERAS)
def test_a_golfers_pixels_have_the_part_that_a_ray_meets(
    golf: ModuleType, figure: Figure, stage: Stage, camera: Camera, left_handed: bool
) -> None:
    if left_handed:
        figure = Figure(golf.BODY, golf.address().mirrored(), left_handed=True)
    posture = golf.top().mirrored() if left_handed else golf.top()
    posed = Posed.of(figure, posture)
    ids = stage.part_ids(camera, posed, ball=False)
    # Nothing is blended: only what there is, is found.
    assert set(np.unique(ids).tolist()) <= set(range(len(figure.parts) + 1))
    rng, places = np.random.default_rng(4), middles(camera)
    rows, columns = np.nonzero(ids)
    around = np.zeros(ids.shape, bool)
    around[max(rows.min() - 3, 0) : rows.max() + 4, max(columns.min() - 3, 0) : columns.max() + 4] = True
    # As many of every part, large or small.
    ample = [k for k in np.unique(ids) if np.sum((ids == k) & around) >= 40]
    pixels = np.concatenate([rng.permutation(places[((ids == k) & around).ravel()])[:6] for k in ample])

    def met(pixels: Array) -> Array:
        faces = first_faces(camera, pixels, posed.vertices, figure.faces)[1]
        return np.where(faces < 0, NOTHING_ID, figure.part_of_face[faces] + 1)

    expected = met(pixels)
    clear = np.all([met(pixels + step) == expected for step in STEPS], axis=0)
    assert clear.mean() > 0.8 and len(np.unique(expected[clear])) > 8
    drawn = ids[pixels[:, 1].astype(int), pixels[:, 0].astype(int)]
    assert np.array_equal(drawn[clear], expected[clear])


def test_colours_carry_every_id() -> None:
    parts = np.arange(BALL_ID)
    colours = part_id_colours(parts)
    assert colours.dtype == np.uint8
    assert np.array_equal(ids_of_pixels(colours), parts + 1)
    assert ids_of_pixels(np.zeros((1, 1, 4), np.uint8)) == NOTHING_ID


def test_the_ball_has_an_id_of_its_own(golf: ModuleType, figure: Figure, stage: Stage) -> None:
    camera = CAMERAS["face-on"]
    posed = Posed.of(figure, golf.address())
    ids, without = stage.part_ids(camera, posed), stage.part_ids(camera, posed, ball=False)
    ball = ids == BALL_ID
    assert np.array_equal(without[~ball], ids[~ball]) and not np.any(without == BALL_ID)
    rows, columns = np.nonzero(ball)
    u, v = camera.project(posed.ball)
    # The clubhead may hide a side of it.
    assert abs(columns.mean() - u) < 4 and abs(rows.mean() - v) < 2


def test_asking_in_any_order_gives_the_same(golf: ModuleType, figure: Figure, stage: Stage) -> None:
    """Ids and depth share a drawing, meshes are changed in place: nothing of another moment or camera may stay."""
    first, second = Posed.of(figure, golf.address()), Posed.of(figure, golf.top())
    small = face_on(0.75, 288, 360)
    kept = {}
    for camera in (CAMERAS["face-on"], small):
        for posed in (first, second):
            with Stage() as fresh:
                kept[id(camera), id(posed)] = fresh.depth(camera, posed), fresh.part_ids(camera, posed)
    for camera, posed in ((small, first), (small, second), (CAMERAS["face-on"], second), (small, first)):
        depth, ids = kept[id(camera), id(posed)]
        stage.figure_layer(camera, posed)
        assert np.array_equal(stage.part_ids(camera, posed), ids)
        assert np.array_equal(stage.depth(camera, posed), depth)


def test_figures_that_are_not_kept_come_back(stage: Stage) -> None:
    camera = face_on(0.75, 288, 360)
    figures = [
        PlainFigure([trimesh.creation.icosphere(radius=0.1).apply_translation([0.0, 0.2 * k - 0.8, 1.0])])
        for k in range(KEPT_FIGURES + 3)
    ]
    for figure in [*figures, *figures]:
        posed = figure.posed(FAR_BALL)
        rows, columns = np.nonzero(stage.part_ids(camera, posed) == 1)
        u, v = camera.project(figure.vertices.mean(axis=0))
        assert abs(columns.mean() - u) < 1 and abs(rows.mean() - v) < 1
    assert len(stage._labels._actors) <= KEPT_FIGURES


def test_a_figure_out_of_sight_leaves_nothing(stage: Stage) -> None:
    camera = face_on(0.75)
    for place in ([30.0, 0.0, 1.0], [0.0, 9.0, 1.0]):  # Behind the camera, and beside the picture.
        posed = PlainFigure([trimesh.creation.icosphere(radius=0.1).apply_translation(place)]).posed()
        assert not stage.part_ids(camera, posed, ball=False).any()
        assert np.isinf(stage.depth(camera, posed, ball=False)).all()


def test_a_closed_stage_is_refused_and_an_opened_one_draws_again(golf: ModuleType, figure: Figure) -> None:
    posed, stage = Posed.of(figure, golf.address()), Stage()
    for ask in (stage.depth, stage.part_ids):
        with pytest.raises(RuntimeError, match="with block"):
            ask(CAMERAS["face-on"], posed)
    for _ in range(2):
        with stage:
            assert stage.part_ids(CAMERAS["face-on"], posed).any()
        with pytest.raises(RuntimeError, match="with block"):
            stage.part_ids(CAMERAS["face-on"], posed)
