"""Segments told apart in a picture: the one that a joint belongs to is seen where the joint is, on its own side."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest

from turnstill.model.films.camera import face_on
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.figure.look import Look
from turnstill.render.figure.segments import SEGMENT_ID
from turnstill.render.stage.stage import Stage

MEET = {
    "knee": ("thigh", "shank"), "ankle": ("shank", "foot"), "elbow": ("upper_arm", "forearm"),
    "wrist": ("forearm", "hand"),
}  # fmt: skip
"""By hand: the segments that meet in a joint."""


@pytest.fixture(scope="module", params=["right", "left"])
def standing(golf: ModuleType, request: pytest.FixtureRequest) -> tuple[Posed, bool]:
    left_handed = request.param == "left"
    address = golf.address().mirrored() if left_handed else golf.address()
    return Posed.of(Figure(golf.BODY, address, left_handed=left_handed), address), left_handed


def test_joints_show_a_segment_that_meets_there_on_its_own_side(
    golf: ModuleType, stage: Stage, standing: tuple[Posed, bool]
) -> None:
    posed, left_handed = standing
    address = golf.address().mirrored() if left_handed else golf.address()
    camera = face_on(0.75)
    segments = np.zeros((camera.height, camera.width), np.uint8)
    labels = stage.labels(camera, posed)
    segments[labels.place] = labels.segments
    # The golfer looks at the camera, so that what is his left is at the picture's right.
    for joint, meeting in MEET.items():
        for side in ("lead", "trail"):
            own = {"lead": "right", "trail": "left"}[side] if left_handed else {"lead": "left", "trail": "right"}[side]
            u, v = camera.project(address.joints[f"{joint}_{side}"]).round().astype(int)
            assert segments[v, u] in {SEGMENT_ID[f"{one}_{own}"] for one in meeting}, (joint, side)
    for one in ("thigh", "shank", "foot"):
        left, right = (np.nonzero(segments == SEGMENT_ID[f"{one}_{side}"])[1].mean() for side in ("left", "right"))
        assert left > right + 30
    found = set(np.unique(segments).tolist())
    assert found >= {SEGMENT_ID[name] for name in ("head", "trunk", "pelvis", "club", "ball")}


def test_labels_are_the_pictures_of_parts_and_depth(stage: Stage, standing: tuple[Posed, bool]) -> None:
    posed, _ = standing
    camera = face_on(0.75, 360, 450)
    labels = stage.labels(camera, posed)
    parts, depth = stage.part_ids(camera, posed), stage.depth(camera, posed)
    assert np.array_equal(parts[labels.place], labels.parts) and np.array_equal(depth[labels.place], labels.depth)
    outside = parts.copy()
    outside[labels.place] = 0
    assert not outside.any()
    assert np.array_equal(labels.segments > 0, labels.parts > 0)


def test_the_drawn_nose_is_where_the_landmark_says(standing: tuple[Posed, bool], golf: ModuleType) -> None:
    posed, left_handed = standing
    address = golf.address().mirrored() if left_handed else golf.address()
    places = posed.figure.landmarks(address)
    ahead = address.frames["head"][:, 0]
    names = [part.name for part in posed.figure.parts]
    for name, part, way in (("nose", "nose", ahead), ("eye_lead", "iris_lead", ahead)):
        start, end = posed.figure.vertex_ranges[names.index(part)]
        drawn = posed.vertices[start:end]
        assert np.abs(drawn[np.argmax(drawn @ way)] - places[name]).max() < 1e-5
    lead = -1.0 if left_handed else 1.0
    assert lead * (places["ear_lead"] - places["ear_trail"])[1] > 0.12


def test_a_dressed_figure_is_the_one_made_anew(golf: ModuleType) -> None:
    first = Figure(golf.BODY, golf.address())
    look = Look(headwear="cap", legwear="shorts")
    for asked in (look, Look(shirt=(1, 2, 3))):
        dressed, anew = first.dressed(golf.address(), asked), Figure(golf.BODY, golf.address(), look=asked)
        assert np.array_equal(dressed.pose(golf.top()), anew.pose(golf.top()))
        assert np.array_equal(dressed.vertex_colours(), anew.vertex_colours())
