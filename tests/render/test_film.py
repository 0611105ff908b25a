"""A film's picture, of which only what moves is redrawn, is the picture that one would draw from scratch."""

from __future__ import annotations

from dataclasses import replace
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from turnstill.model.arrays import Array
from turnstill.model.chain.skeleton import Skeleton
from turnstill.model.films.camera import Camera, down_the_line, face_on, from_above
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.pictures.film import FilmView
from turnstill.render.pictures.film_labels import CornerAngle, Labels, Legend, LegendOfLines, fitted
from turnstill.render.pictures.lines import ABOVE, DOWN_THE_LINE, FACE_ON, LINES, Angle
from turnstill.render.pictures.marks import Marks
from turnstill.render.pictures.picture import SwingView, draw_heads, draw_lines, draw_plumb_line
from turnstill.render.stage import shadow as shadow_module
from turnstill.render.stage import window as window_module
from turnstill.render.stage.layers import Patch
from turnstill.render.stage.stage import Stage
from turnstill.render.stage.vtk_camera import Extent, extent_of_rows

WIDTH, HEIGHT = 240, 300
VIEWS: list[tuple[str, Camera]] = [
    (FACE_ON, face_on(0.75, WIDTH, HEIGHT)),
    (DOWN_THE_LINE, down_the_line([0.35, 0.0, 0.75], WIDTH, HEIGHT)),
    (ABOVE, from_above([0.35, 0.0, 0.75], WIDTH, HEIGHT)),
]
each_view = pytest.mark.parametrize(("view", "camera"), VIEWS, ids=[view for view, _ in VIEWS])
level_views = pytest.mark.parametrize(("view", "camera"), VIEWS[:2], ids=[view for view, _ in VIEWS[:2]])


def aside(golf: ModuleType, posture: Skeleton, shift: list[float]) -> Skeleton:
    """The golfer moved; the ball stays where it lies."""
    moved: Skeleton = golf.moved(posture, np.eye(3), shift)
    return replace(moved, joints={**moved.joints, "ball": posture.joints["ball"]})


def shown_at(golf: ModuleType, moment: str, view: str, *, left_handed: bool = False) -> SwingView:
    """The hand-made golfer at ``address``, at the ``top``, or ``moved`` 25 cm aside with the head's path there."""
    address = golf.address()
    now = {
        "address": address, "top": golf.top(), "moved": aside(golf, golf.top(), [0.1, 0.25, 0.0])
    }[moment]  # fmt: skip
    path = np.linspace(address.joints["head"], now.joints["head"], 6)
    angle = {"address": 38.2, "top": 31.9, "moved": -7.0}[moment]
    if left_handed:
        address, now, path = address.mirrored(), now.mirrored(), path * [1, -1, 1]
    angles = {line.word: Angle(38.2, angle) for line in LINES[view]}
    return SwingView(address, now, path, 0.12, angles, view, "a swing", left_handed)


def legend(view: str) -> Legend | LegendOfLines:
    if view == ABOVE:
        return LegendOfLines("a swing", view, {"lead flare": 38.2, "trail flare": 31.9}, 2)
    return Legend("a swing", view, {FACE_ON: "lean", DOWN_THE_LINE: "inclination"}[view], 38.2)


def film(stage: Stage, figure: Figure, camera: Camera, shown: SwingView, labels: Labels | None = None) -> FilmView:
    return FilmView(stage, camera, Posed.of(figure, shown.address), shown, labels)


def drawn(view: FilmView, figure: Figure, shown: SwingView) -> np.ndarray:
    return view.draw(Posed.of(figure, shown.top), shown).copy()


def from_scratch(stage: Stage, figure: Figure, camera: Camera, shown: SwingView) -> np.ndarray:
    """The same moment composed as a whole picture."""
    layers = stage.layers(camera, Posed.of(figure, shown.top), Posed.of(figure, shown.address))
    # The plumb line stands still and lies under the other marks, in a layer of its own.
    with Marks(layers.compose()) as still:
        draw_plumb_line(still, shown, camera)
    with Marks(np.asarray(still.result)) as marks:
        draw_lines(marks, shown, camera)
        draw_heads(marks, shown, camera)
    return np.asarray(marks.result)


def apart(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Largest difference of each pixel in grey levels."""
    return np.abs(one.astype(int) - other).max(axis=-1)


@each_view
def test_every_moment_is_the_picture_drawn_from_scratch(
    golf: ModuleType, figure: Figure, stage: Stage, view: str, camera: Camera
) -> None:
    moving = film(stage, figure, camera, shown_at(golf, "address", view))
    for moment in ("address", "moved", "top", "moved"):
        shown = shown_at(golf, moment, view)
        # Two roundings to whole grey levels lie between the two.
        assert apart(drawn(moving, figure, shown), from_scratch(stage, figure, camera, shown)).max() <= 2, moment


@each_view
def test_the_same_moment_after_another_is_the_same_to_the_bit(
    golf: ModuleType, figure: Figure, stage: Stage, view: str, camera: Camera
) -> None:
    """With labels, whose words change between the moments as well."""
    for labels in (legend(view), CornerAngle(100, on_the_left=False)):
        moving = film(stage, figure, camera, shown_at(golf, "address", view), labels)
        top, moved = (shown_at(golf, moment, view) for moment in ("top", "moved"))
        first, other, again = (drawn(moving, figure, shown) for shown in (top, moved, top))
        assert apart(first, other).max() > 60
        assert np.array_equal(first, again)
        fresh = film(stage, figure, camera, shown_at(golf, "address", view), labels)
        assert np.array_equal(drawn(fresh, figure, top), first)


def test_two_films_on_one_stage_do_not_mix(golf: ModuleType, figure: Figure, stage: Stage) -> None:
    """One posture serves both views of a frame."""
    moving = [film(stage, figure, camera, shown_at(golf, "address", view)) for view, camera in VIEWS]
    for moment in ("top", "address"):
        posed = Posed.of(figure, shown_at(golf, moment, FACE_ON).top)
        both = [one.draw(posed, shown_at(golf, moment, view)) for one, (view, _) in zip(moving, VIEWS, strict=True)]
        for picture, (view, camera) in zip(both, VIEWS, strict=True):
            assert apart(picture, from_scratch(stage, figure, camera, shown_at(golf, moment, view))).max() <= 2


@each_view
def test_a_left_handed_film_is_the_mirror_image(
    golf: ModuleType, figure: Figure, stage: Stage, view: str, camera: Camera
) -> None:
    mirror = Figure(golf.BODY, golf.address().mirrored(), left_handed=True)
    hands = {
        FACE_ON: face_on(0.75, WIDTH, HEIGHT, left_handed=True),
        DOWN_THE_LINE: down_the_line([0.35, 0.0, 0.75], WIDTH, HEIGHT, left_handed=True),
        ABOVE: from_above([0.35, 0.0, 0.75], WIDTH, HEIGHT),
    }
    pictures = []
    for one, place, left_handed in ((figure, camera, False), (mirror, hands[view], True)):
        moving = film(stage, one, place, shown_at(golf, "address", view, left_handed=left_handed))
        drawn(moving, one, shown_at(golf, "top", view, left_handed=left_handed))
        pictures.append(drawn(moving, one, shown_at(golf, "moved", view, left_handed=left_handed)))
    difference = apart(pictures[0], pictures[1][:, ::-1])
    # Edges may fall either way on a pixel's border, and the diagonals of the mesh's squares shade a little.
    assert np.mean(difference > 12) < 0.015
    assert np.mean(apart(pictures[0], pictures[1]) > 12) > 0.05


@level_views
def test_labels_never_hide_the_figure(
    golf: ModuleType, figure: Figure, stage: Stage, view: str, camera: Camera
) -> None:
    shown = shown_at(golf, "top", view)
    # Close up, so that club and hands reach into the legend.
    K = camera.K.copy()
    K[[0, 1], [0, 1]] *= 1.6
    near = replace(camera, K=K)
    words = legend(view)
    solid = stage.figure_layer(near, Posed.of(figure, shown.top))[..., 3] == 1
    with_words, without = (drawn(film(stage, figure, near, shown, labels), figure, shown) for labels in (words, None))
    band = np.zeros_like(solid)
    band[: words.still(WIDTH, HEIGHT).pixels.shape[0]] = True
    assert (solid & band).sum() > 30
    assert np.array_equal(with_words[solid], without[solid])
    assert (with_words[band & ~solid] != without[band & ~solid]).any()


def whole_picture(camera: Camera, rows: Array, *about: Any) -> Extent:
    return extent_of_rows(camera, rows, *about)._replace(box=(0, 0, camera.width, camera.height))


def test_a_patch_holds_everything_that_is_drawn(
    golf: ModuleType, figure: Figure, stage: Stage, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Reading only the box where the figure and its shadow should be loses nothing."""
    posed = Posed.of(figure, golf.top())
    for _, camera in VIEWS[:2]:
        boxed = stage.figure_layer(camera, posed), stage.shadow(camera, posed)
        with monkeypatch.context() as patched:
            for module in (window_module, shadow_module):
                patched.setattr(module, "extent_of_rows", whole_picture)
            other = replace(camera)  # What a camera sees is kept.
            whole = stage.figure_layer(other, posed), stage.shadow(other, posed)
        # The box's own camera rounds edges otherwise, in a pixel or two and by less than a shade can be seen.
        assert np.mean(boxed[0] != whole[0]) < 1e-4 and np.abs(boxed[0] - whole[0]).max() <= 0.02
        # A shadow's blur is cut off three standard deviations out.
        assert np.abs(boxed[1] - whole[1]).max() <= 1.5 / 255
        assert boxed[0].shape == (HEIGHT, WIDTH, 4) and 0.01 < (boxed[0][..., 3] > 0).mean() < 0.5


def test_a_figure_that_leaves_the_picture_is_drawn_where_it_still_is(
    golf: ModuleType, figure: Figure, stage: Stage
) -> None:
    view, camera = VIEWS[0]
    moving = film(stage, figure, camera, shown_at(golf, "address", view))
    still = drawn(moving, figure, shown_at(golf, "address", view))
    for shift in (0.9, 30.0):
        shown = shown_at(golf, "address", view)
        gone = aside(golf, golf.address(), [0.0, shift, 0.0])
        shown = replace(shown, top=gone, head_path=np.linspace(shown.head_path[0], gone.joints["head"], 6))
        assert apart(drawn(moving, figure, shown), from_scratch(stage, figure, camera, shown)).max() <= 2
    assert np.array_equal(drawn(moving, figure, shown_at(golf, "address", view)), still)


def test_words_of_a_label_stay_inside_their_picture() -> None:
    for width in (36, 160, 400, 1280):
        long = Legend("a name that a golfer typed at length", DOWN_THE_LINE, "inclination", -8.0)
        many = LegendOfLines("a name that a golfer typed at length", ABOVE, {"lead flare": -8.0}, 2)
        corner = CornerAngle(100, True)
        for label, told in ((long, "now −88°"), (corner, "inclination −88°"), (corner, "hip turn 1°\nshoulder turn 2°"),
                            (many, "hip turn −88°\nshoulder turn −88°")):  # fmt: skip
            patches = [label.still(width, width), label.written(told, width, width)]
            for patch in patches:
                if patch is None:
                    continue
                assert isinstance(patch, Patch)
                rows, columns = patch.place
                assert rows.start >= 0 and 0 <= columns.start < columns.stop <= width
    with Marks(np.zeros((90, 320, 3), np.uint8)) as marks:
        for words in ("short", "a name that a golfer typed at length", "W" * 200):
            text, size = fitted(marks, words, 100.0)
            assert marks.text_size(text, size=size, bold=True)[0] <= 100.0
            assert text == words or text.endswith("…")
