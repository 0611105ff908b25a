from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest

from turnstill.model.films.camera import Camera, down_the_line, face_on
from turnstill.render.palette import NOW, PLUMB_LINE
from turnstill.render.pictures.lines import DOWN_THE_LINE, FACE_ON, LINES, Angle
from turnstill.render.pictures.picture import SwingView, comparison_picture
from turnstill.render.stage.stage import Stage


def swing(golf: ModuleType, view: str, left_handed: bool = False, title: str = "a swing") -> SwingView:
    # Moved aside, so that no mark of one moment lies over the other's.
    address, top = golf.moved(golf.address(), np.eye(3), [0.25, 0.25, 0.0]), golf.top()
    if left_handed:
        address, top = address.mirrored(), top.mirrored()
    # A head that wanders 20 cm, so that both circles stand apart.
    path = address.joints["head"] + np.linspace(0, 1, 11)[:, None] * np.array([0.0, -0.2, 0.05])
    angles = {line.word: Angle(38.0, 32.0) for line in LINES[view]}
    return SwingView(address, top, path, 0.12, angles, view, title, left_handed)


def near(picture: np.ndarray, place: np.ndarray, colour: tuple[int, int, int], reach: int = 3) -> bool:
    u, v = np.round(place).astype(int)
    patch = picture[v - reach : v + reach + 1, u - reach : u + reach + 1].astype(int)
    return bool((np.abs(patch - np.array(colour)).max(axis=-1) < 40).any())


CASES: list[tuple[str, Camera]] = [
    (FACE_ON, face_on(0.75)),
    (DOWN_THE_LINE, down_the_line([0.33, 0.0, 0.76])),
]


@pytest.mark.parametrize(("view", "camera"), CASES)
def test_marks_lie_where_the_camera_says(golf: ModuleType, stage: Stage, view: str, camera: Camera) -> None:
    shown = swing(golf, view)
    image = comparison_picture(golf.BODY, shown, camera, stage=stage)
    assert image.size == (720, 900) and image.mode == "RGB"
    picture = np.asarray(image)
    top = NOW
    head = shown.head_path[-1]
    centre = camera.project(head)
    radius = camera.K[0, 0] * 0.12 / camera.depth(head)
    for turn in np.linspace(0, 2 * np.pi, 16, endpoint=False):
        assert near(picture, centre + radius * np.array([np.cos(turn), np.sin(turn)]), top)
    pelvis, neck = camera.project([shown.top.joints["pelvis"], shown.top.joints["neck_base"]])
    for share in (0.0, 0.3, 0.8, 1.0):
        assert near(picture, pelvis + share * (neck - pelvis), top)
    # The address circle is dashed: about half of it light, the rest not drawn.
    first = shown.head_path[0]
    turn = np.linspace(0, 2 * np.pi, 90, endpoint=False)
    ring = camera.project(first) + camera.K[0, 0] * 0.12 / camera.depth(first) * np.stack(
        [np.cos(turn), np.sin(turn)], -1
    )
    share = np.mean([near(picture, place, (255, 255, 255), 1) for place in ring])
    assert 0.3 < share < 0.95


def test_only_face_on_has_a_plumb_line(golf: ModuleType, stage: Stage) -> None:
    for view, expected in ((FACE_ON, True), (DOWN_THE_LINE, False)):
        shown = swing(golf, view)
        camera = face_on(0.75)
        picture = np.asarray(comparison_picture(golf.BODY, shown, camera, stage=stage))
        head = shown.head_path[0]
        places = camera.project(head * [1, 1, 0] + np.linspace(0.25, 0.5, 30)[:, None] * [0, 0, 1])
        light = np.mean([near(picture, place, PLUMB_LINE, 1) for place in places])
        assert (light > 0.3) == expected


def test_a_long_title_stays_in_the_picture(golf: ModuleType, stage: Stage) -> None:
    shown = swing(golf, FACE_ON, title="an own file with a name that a golfer typed at length")
    picture = np.asarray(comparison_picture(golf.BODY, shown, face_on(0.75), stage=stage)).astype(int)
    assert picture.shape == (900, 720, 3)


def test_a_left_handed_swing_is_drawn(golf: ModuleType, stage: Stage) -> None:
    shown = swing(golf, DOWN_THE_LINE, left_handed=True)
    camera = down_the_line([0.33, 0.0, 0.76], left_handed=True)
    picture = np.asarray(comparison_picture(golf.BODY, shown, camera, stage=stage))
    assert near(picture, camera.project(shown.top.joints["pelvis"]), NOW)
