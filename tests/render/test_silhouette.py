"""The outline of the address is the body's alone."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest

from turnstill.model.films.camera import Camera, down_the_line, face_on
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.stage.stage import Stage

ARMS_AND_CLUB = {"arm", "hand", "shaft", "grip", "clubhead"}
VIEWS = {"face-on": face_on(0.75, 240, 300), "down the line": down_the_line([0.35, 0.0, 0.75], 240, 300)}


@pytest.mark.parametrize("camera", VIEWS.values(), ids=VIEWS)
def test_a_silhouette_is_head_trunk_and_legs_without_arms_and_club(
    golf: ModuleType, figure: Figure, stage: Stage, camera: Camera
) -> None:
    posed = Posed.of(figure, golf.address())
    patch = stage.silhouette(camera, posed)
    assert patch.pixels.shape[2] == 1
    body = patch.whole(300, 240)[..., 0]
    words = [part.name.split("_")[0] for part in figure.parts]
    assert set(words) > ARMS_AND_CLUB
    arms = np.array([word in ARMS_AND_CLUB for word in words])
    ids = stage.part_ids(camera, posed, ball=False).astype(int)
    shown = np.concatenate([[False], arms])[ids]
    # All of the body that is seen is in it; beside the body, where arms and club are, it is not.
    assert (body[(ids > 0) & ~shown] > 0.05).mean() > 0.999
    # A pixel whose middle is beside the body has three of its four samples on it at most.
    assert body[ids == 0].max() <= 0.751 and (body[ids == 0] > 0.05).mean() < 0.02
    hands = camera.project(golf.address().joints["grip"])
    club = camera.project(golf.address().joints["clubhead"])
    for share in (0.4, 0.9):
        u, v = np.round(hands + share * (club - hands)).astype(int)
        if camera is VIEWS["down the line"]:
            assert body[v - 2 : v + 3, u - 2 : u + 3].max() == 0
    # Behind the arms it is whole, as no picture of the figure shows it.
    assert (body[shown] > 0.95).any()


def test_drawing_a_silhouette_leaves_figures_and_ball_as_they_were(
    golf: ModuleType, figure: Figure, stage: Stage
) -> None:
    camera, posed = VIEWS["face-on"], Posed.of(figure, golf.address())
    before = stage.figure_layer(camera, posed)
    stage.silhouette(camera, Posed.of(figure, golf.top()))
    assert np.array_equal(stage.figure_layer(camera, posed), before)


def test_outside_its_block_a_stage_draws_no_silhouette(golf: ModuleType, figure: Figure) -> None:
    with pytest.raises(RuntimeError, match="inside its with block"):
        Stage().silhouette(VIEWS["face-on"], Posed.of(figure, golf.address()))
