"""Ground and backdrop: where they lie in the picture, and that a seed is all they depend on."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from turnstill.model.films.camera import Camera, down_the_line, face_on, from_above
from turnstill.render.figure.look import Look
from turnstill.render.photograph import scene
from turnstill.render.photograph.colours import Picture
from turnstill.render.photograph.ground import MAT_EDGE_M, MAT_M
from turnstill.render.photograph.place import BACKDROPS, GROUNDS, BackdropKind, GroundKind, Place
from turnstill.render.photograph.scene import scene_picture
from turnstill.render.photograph.sights import Sights
from turnstill.render.stage.scenery import scenery

CAMERAS: list[Camera] = [face_on(0.75, 240, 300), down_the_line([0.35, 0.0, 0.75], 240, 300)]
BENT = [replace(camera, distortion=-0.2) for camera in CAMERAS]
BALL = np.array([0.8, 0.05, 0.02])
LINE = (236, 236, 220)


def drawn(camera: Camera, place: Place, *, left_handed: bool = False) -> Picture:
    return scene_picture(camera, Sights.of(camera), place, BALL, LINE, left_handed=left_handed)


@pytest.mark.parametrize("camera", [*CAMERAS, from_above([0.4, 0.0, 0.8], 200, 200)])
@pytest.mark.parametrize("left_handed", [False, True])
def test_a_plain_place_is_the_projects_own_scenery(camera: Camera, left_handed: bool) -> None:
    picture = drawn(camera, Place(), left_handed=left_handed) / 255
    expected = scenery(camera, BALL, Look(), left_handed=left_handed)
    off = np.abs(picture - expected).max(axis=-1)
    # Bytes are rounded twice; the target line is filled by another library.
    assert np.percentile(off, 99) < 2 / 255
    assert off.max() < 0.2


@pytest.mark.parametrize("camera", [*CAMERAS, *BENT])
def test_lines_of_sight_lead_back_to_their_pixels(camera: Camera) -> None:
    sights = Sights.of(camera)
    for depth in (1.5, 6.0):
        places = np.stack(sights.places(np.full((300, 240), depth, np.float32)), -1).astype(float)
        assert np.abs(camera.depth(places) - depth).max() < 1e-4
        rows, columns = np.mgrid[0:300, 0:240]
        assert np.abs(camera.project(places) - np.stack([columns, rows], -1)).max() < 0.01
    mine = np.stack(sights.rays, -1)
    theirs = camera.rays()
    turned = np.cross(mine, theirs) / np.linalg.norm(theirs, axis=-1, keepdims=True)
    assert np.abs(turned).max() < 1e-5


@pytest.mark.parametrize("camera", [*CAMERAS, *BENT])
def test_a_mat_lies_where_the_world_says(camera: Camera) -> None:
    place = Place("mat", "wall", (10, 200, 10), (20, 220, 20), contrast=0.3, target_line=False)
    picture = drawn(camera, place).astype(int)
    back, front, low, high = MAT_M
    inset = 2.5 * MAT_EDGE_M
    for x, y, on in ((back, 0.0, 1), (front, 0.0, -1), (0.4, low, 1), (0.4, high, -1)):
        step = np.array([inset, 0.0] if y == 0.0 else [0.0, inset]) * on
        inside, outside = camera.project([[*(np.array([x, y]) + step), 0.0], [*(np.array([x, y]) - step), 0.0]])
        for spot, green in ((inside, True), (outside, False)):
            u, v = spot.round().astype(int)
            if 0 <= u < camera.width and 0 <= v < camera.height:
                red, middle, _ = picture[v, u]
                assert (middle > 2 * red) == green, (x, y, spot)


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("backdrop", BACKDROPS)
def test_a_seed_gives_the_same_bytes_and_another_gives_others(ground: str, backdrop: str) -> None:
    place = Place(ground, backdrop, texture_seed=5)  # type: ignore[arg-type]
    first = drawn(CAMERAS[0], place)
    other = drawn(CAMERAS[0], replace(place, texture_seed=6))
    assert np.array_equal(drawn(CAMERAS[0], place), first)
    assert np.array_equal(first, other) == (ground == backdrop == "plain")


@pytest.mark.parametrize("ground", [name for name in GROUNDS if name != "plain"])
def test_contrast_is_of_the_texture(ground: str) -> None:
    place = Place(ground, "hills", texture_seed=5, target_line=False)  # type: ignore[arg-type]
    dull, rich = (drawn(CAMERAS[0], replace(place, contrast=contrast)) for contrast in (0.1, 1.0))
    for part in (slice(0, 150), slice(240, 300)):
        beside = [np.abs(np.diff(picture[part].astype(int), axis=1)).mean() for picture in (dull, rich)]
        assert beside[1] > 1.5 * beside[0]


@pytest.mark.parametrize("backdrop", [name for name in BACKDROPS if name != "plain"])
def test_ground_ends_at_the_foot_of_the_backdrop(backdrop: str) -> None:
    from turnstill.render.photograph.backdrop import BEHIND_M

    red, blue = (255, 0, 0), (0, 0, 255)
    place = Place("plain", backdrop, red, red, blue, blue, contrast=0.2, target_line=False)  # type: ignore[arg-type]
    picture = drawn(CAMERAS[0], place)
    foot = CAMERAS[0].project([-BEHIND_M[backdrop], 0.0, 0.0])[1]  # type: ignore[index]
    ground = (picture == red).all(axis=-1)
    assert ground[int(np.ceil(foot)) + 1 :].all()
    assert not ground[: int(foot) - 1].any()


@pytest.mark.parametrize("backdrop", ["plain", "wall", "hills"])
def test_rows_that_are_worked_out_together_change_nothing(backdrop: str, monkeypatch: pytest.MonkeyPatch) -> None:
    place = Place("grass", backdrop, texture_seed=3)  # type: ignore[arg-type]
    pictures = []
    for rows in (7, 64, 1000):
        monkeypatch.setattr(scene, "BAND_ROWS", rows)
        pictures.append(drawn(BENT[0], place))
    assert np.array_equal(pictures[0], pictures[1]) and np.array_equal(pictures[0], pictures[2])


@pytest.mark.parametrize("backdrop", BACKDROPS)
@pytest.mark.parametrize("ground", ["plain", "grass"])
def test_what_is_covered_is_left_out_and_changes_no_byte(
    backdrop: BackdropKind, ground: GroundKind, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Row by row nearly everything is wholly covered or not at all; in the whole picture hardly anything is."""
    place = Place(ground=ground, backdrop=backdrop, texture_seed=5)
    for camera in (CAMERAS[1], BENT[0]):
        pictures = []
        for rows in (1, 300):
            monkeypatch.setattr(scene, "BAND_ROWS", rows)
            pictures.append(drawn(camera, place))
        np.testing.assert_array_equal(*pictures)
