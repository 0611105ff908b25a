"""Many pictures from one tripod: what is laid over what, what it says of each pixel, and that nothing of one stays."""

from __future__ import annotations

from dataclasses import replace
from types import ModuleType

import cv2
import numpy as np
import pytest

from turnstill.model.films.camera import Camera, down_the_line, face_on
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.figure.look import Look
from turnstill.render.figure.segments import SEGMENT_ID
from turnstill.render.photograph.place import Occluder, Place
from turnstill.render.photograph.shade import Bars, toward_key
from turnstill.render.photograph.tripod import BARS_TO_M, Tripod
from turnstill.render.stage.light import Light, Stripes
from turnstill.render.stage.stage import Stage

CAMERA = face_on(0.75, 240, 300)
BENT = replace(CAMERA, distortion=-0.15)
PLACE = Place("grass", "trees", texture_seed=2)
STRIPED = Light(key=(2.0, -1.5, 3.0), stripes=Stripes(0.21, 0.4, 0.07, 0.9))
POST = Occluder("post", (2.4, 0.1), 0.8, 0.16, 0.3, (180, 140, 90))
OCCLUDER = SEGMENT_ID["occluder"]


def tripod(stage: Stage, posed: Posed, camera: Camera = CAMERA, place: Place = PLACE, light: Light = STRIPED,
           things: tuple[Occluder, ...] = (POST,)) -> Tripod:  # fmt: skip
    return Tripod(
        stage, camera, place, light, things, look=Look(), ball=posed.ball, left_handed=posed.figure.left_handed
    )


def test_a_plain_picture_is_the_stages_own(golf: ModuleType, figure: Figure, stage: Stage) -> None:
    """Laid together in bytes and boxes, or whole and in floating point: the same picture."""
    posed = Posed.of(figure, golf.top())
    taken = tripod(stage, posed, place=Place(), light=Light(), things=()).take(posed)
    whole = stage.picture(CAMERA, posed)
    off = np.abs(taken.colour.astype(int) - whole).max(axis=-1)
    assert np.percentile(off, 99) <= 2
    assert np.mean(off > 4) < 0.002  # The target line is filled by another library.
    assert np.array_equal(taken.depth, stage.depth(CAMERA, posed))
    assert np.array_equal(taken.segments > 0, stage.part_ids(CAMERA, posed) > 0)


@pytest.mark.parametrize("camera", [CAMERA, BENT])
def test_what_stands_in_front_covers_colours_ids_and_depth(
    golf: ModuleType, figure: Figure, stage: Stage, camera: Camera
) -> None:
    posed = Posed.of(figure, golf.top())
    bare = tripod(stage, posed, camera, light=Light(), things=()).take(posed)
    photo = tripod(stage, posed, camera, light=Light()).take(posed)
    covered = photo.segments == OCCLUDER
    assert covered.sum() > 500
    # A round post's middle is its radius nearer than its axis: 5 - 2.4 - 0.9 · 0.16 / 2 from the camera.
    u, v = camera.project([2.4, 0.1, 0.4]).round().astype(int)
    assert photo.depth[v, u] == pytest.approx(camera.depth([2.4, 0.1, 0.4]) - 0.072, abs=0.002)
    # Its sides are where lines of sight graze a cylinder, in closed form, through the bent lens.
    toward = camera.position[:2] - [2.4, 0.1]
    far = np.linalg.norm(toward)
    aside = 0.072 * np.array([-toward[1], toward[0]]) / far * np.sqrt(1 - (0.072 / far) ** 2)
    edge = [2.4, 0.1] + toward * (0.072 / far) ** 2
    sides = camera.project([[*(edge + aside), 0.4], [*(edge - aside), 0.4]])
    columns = np.flatnonzero(covered[round(float(sides[0, 1]))])
    assert columns.min() == pytest.approx(sides[:, 0].min(), abs=1.0)
    assert columns.max() == pytest.approx(sides[:, 0].max(), abs=1.0)
    beside = ~covered
    assert np.array_equal(photo.segments[beside], bare.segments[beside])
    assert np.array_equal(photo.depth[beside], bare.depth[beside])
    assert (np.abs(photo.colour[covered].astype(int) - bare.colour[covered]).max(axis=-1) > 8).mean() > 0.9
    assert (photo.depth[covered] < bare.depth[covered]).all()


@pytest.mark.parametrize("light", [Light(), STRIPED])
def test_colours_alone_are_those_of_the_whole_picture(
    golf: ModuleType, figure: Figure, stage: Stage, light: Light
) -> None:
    posed = Posed.of(figure, golf.top())
    one = tripod(stage, posed, light=light)
    assert np.array_equal(one.picture(posed), one.take(posed).colour)


def test_a_reused_stage_and_tripod_give_a_fresh_ones_bytes(golf: ModuleType, figure: Figure) -> None:
    posed, other = Posed.of(figure, golf.top()), Posed.of(figure, golf.address())
    with Stage() as fresh:
        first = tripod(fresh, posed).take(posed)
    with Stage() as used:
        big = down_the_line([0.35, 0.0, 0.75], 400, 260)
        between = tripod(used, other, big, Place("mat", "net", texture_seed=9), Light(key=(-1.0, 2.0, 2.0)), ())
        between.take(other)
        mine = tripod(used, posed)
        mine.take(other)
        between.take(posed)
        again = mine.take(posed)
    assert np.array_equal(again.colour, first.colour)
    assert np.array_equal(again.segments, first.segments)
    assert np.array_equal(again.depth, first.depth)


def test_motion_is_blurred_by_its_mean_and_labels_stay(golf: ModuleType, figure: Figure, stage: Stage) -> None:
    posed = Posed.of(figure, golf.top())
    place = Place(target_line=False)
    still = tripod(stage, posed, place=place, light=Light(), things=())
    sharp = still.take(posed)
    same = still.take(posed, np.stack([posed.vertices] * 3))
    assert np.abs(sharp.colour.astype(int) - same.colour).max() <= 1
    steps = np.array([[0.0, -0.06, 0.0], [0.0, 0.0, 0.0], [0.0, 0.06, 0.0]])
    blurred = still.take(posed, posed.vertices + steps[:, None])
    assert np.array_equal(blurred.segments, sharp.segments) and np.array_equal(blurred.depth, sharp.depth)
    apart = [Posed(figure, posed.vertices + step, posed.ball) for step in steps]
    drawn = [stage.figure_patch(CAMERA, one, one_sided=True) for one in apart]
    layers = np.mean([patch.whole(CAMERA.height, CAMERA.width) for patch in drawn], axis=0)
    rows = slice(0, 120)  # Above the ground's shadow.
    behind = still.take(Posed(figure, posed.vertices + np.array([0.0, 60.0, 0.0]), posed.ball)).colour[rows]
    expected = 255 * layers[rows, :, :3] + behind * (1 - layers[rows, :, 3:])
    assert np.abs(blurred.colour[rows] - expected).max() < 2.5


def test_a_bar_of_shade_falls_on_golfer_and_ground_alike() -> None:
    for left_handed in (False, True):
        bars = Bars.of(STRIPED, left_handed)
        assert bars is not None
        toward = toward_key(STRIPED, left_handed)
        places = np.random.default_rng(1).uniform(-1, 1, (500, 3)) + np.array([0.0, 0.0, 1.2])
        ground = places - toward * (places[:, 2:] / toward[2])
        assert np.abs(bars.left(places) - bars.left(ground)).max() < 1e-3
        assert bars.left(places).min() < 0.45 and bars.left(places).max() == 1.0
        # A bar and a gap, each of its width, across the light.
        step = bars.across * 2 * 0.21
        assert np.abs(bars.left(places + step) - bars.left(places)).max() < 1e-3
        shaded = bars.left(places) < 0.99
        assert np.mean(shaded == (bars.left(places + step / 2) < 0.99)) < 0.2
        mirrored = Bars.of(STRIPED, not left_handed)
        assert mirrored is not None
        assert np.abs(mirrored.left(places * [1, -1, 1]) - bars.left(places)).max() < 1e-5
    assert Bars.of(Light(), False) is None


def test_bars_darken_what_lies_in_them_and_nothing_else(golf: ModuleType, figure: Figure, stage: Stage) -> None:
    posed = Posed.of(figure, golf.top())
    lit = Light(key=STRIPED.key)
    plain = tripod(stage, posed, light=lit, things=()).take(posed)
    barred = tripod(stage, posed, light=STRIPED, things=()).take(posed)
    bars = Bars.of(STRIPED, False)
    assert bars is not None
    rows, columns = np.nonzero((plain.segments > 0) & (plain.segments < OCCLUDER))
    rays = CAMERA.rays()[rows, columns]
    rays = rays / (rays @ CAMERA.R[2])[:, None]
    places = CAMERA.position + plain.depth[rows, columns][:, None] * rays
    left = bars.left(places)
    before, after = plain.colour[rows, columns].astype(float), barred.colour[rows, columns].astype(float)
    # Edges of the figure are mixed with the ground: two pixels in.
    inner = cv2.erode((plain.segments > 0).astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    sure = inner[rows, columns]
    assert np.abs(after - before * left[:, None])[sure].max() < 3
    assert 0.2 < np.mean(left < 0.5) < 0.8
    sky = np.zeros_like(inner)
    sky[: int(CAMERA.K[1, 2]) - 60] = True
    sky &= plain.segments == 0
    # The figure's smoothed edge aside.
    assert np.mean((barred.colour != plain.colour).any(axis=-1)[sky]) < 0.02
    u, v = CAMERA.project([[1.1, y, 0.0] for y in np.linspace(-0.7, 0.7, 81)]).round().astype(int).T
    on = bars.left(np.array([[1.1, y, 0.0] for y in np.linspace(-0.7, 0.7, 81)])) < 0.5
    darker = barred.colour[v, u].astype(float).mean(axis=1) / plain.colour[v, u].mean(axis=1)
    assert np.mean((darker < 0.7) == on) > 0.85
    assert BARS_TO_M > 1.5


def test_a_things_own_shadow_lies_beside_it(golf: ModuleType, figure: Figure, stage: Stage) -> None:
    posed = Posed.of(figure, golf.top())
    far = Occluder("board", (1.2, 1.1), 0.5, 0.5, 0.0, (60, 100, 90))
    light = Light(sun=(0.6, 0.5, 0.6), shadow_softness=0.002)
    camera = face_on(1.4, 240, 300, distance_m=6.0)
    bare = tripod(stage, posed, camera, Place(), light, ()).take(posed)
    shaded = tripod(stage, posed, camera, Place(), light, (far,)).take(posed)
    # The board's middle, 0.3 above the ground, shades what lies from it away from the sun.
    u, v = camera.project([1.2 - 0.3, 1.1 - 0.25, 0.0]).round().astype(int)
    assert shaded.segments[v, u] == 0
    ratio = shaded.colour[v, u] / bare.colour[v, u]
    assert ratio == pytest.approx(1 - light.shadow_depth, abs=0.03)
