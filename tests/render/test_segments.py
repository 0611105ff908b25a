"""Segments told apart in a picture: the one that a joint belongs to is seen where the joint is, on its own side."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest
import trimesh

from turnstill.model.films.camera import face_on
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.figure.look import Look
from turnstill.render.figure.segments import SEGMENT_ID
from turnstill.render.shapes.solids import Part
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


def test_labels_are_the_pictures_of_segments_and_depth(stage: Stage, standing: tuple[Posed, bool]) -> None:
    posed, _ = standing
    camera = face_on(0.75, 360, 450)
    labels = stage.labels(camera, posed)
    parts, depth = stage.part_ids(camera, posed), stage.depth(camera, posed)
    assert np.array_equal(depth[labels.place], labels.depth)
    outside = parts.copy()
    outside[labels.place] = 0
    assert not outside.any()
    assert np.array_equal(labels.segments > 0, parts[labels.place] > 0)


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


def test_a_dressed_figure_with_another_club_and_stance_is_the_one_made_anew(golf: ModuleType) -> None:
    """What is kept of the body's first figure must not be kept where the address or the cut changes it."""
    first, top = Figure(golf.BODY, golf.address()), golf.top()
    for look in (Look(club_head="wood"), Look(hair_style="tied back"), Look(club_head="wood", headwear="cap")):
        dressed, anew = first.dressed(top, look), Figure(golf.BODY, top, look=look)
        own = {part.name: part for part in dressed.parts}
        for part in anew.parts:
            # All but these lie on the surface, which stays the first address's.
            if isinstance(part, Part) and part.name.startswith(("hand", "shoe", "sole", "shaft", "grip", "club")):
                kept = own[part.name]
                assert isinstance(kept, Part) and np.abs(kept.local - part.local).max() < 1e-9, part.name
        assert [part.name for part in dressed.parts] == [part.name for part in anew.parts]
        assert dressed.faces.max() + 1 == len(dressed.vertex_colours()) == dressed.vertex_ranges[-1][1]
        for k, part in enumerate(dressed.parts):
            of_part = dressed.faces[dressed.part_of_face == k] - dressed.vertex_ranges[k][0]
            assert np.array_equal(of_part, part.faces)
            assert np.array_equal(np.unique(part.faces), np.arange(part.count))


def test_a_wood_is_a_closed_round_body_within_the_rules_size_behind_a_flat_face(golf: ModuleType) -> None:
    for kind, shortest, least_ml, most_ml in (("iron", 0.02, 20, 90), ("wood", 0.075, 200, 470)):
        figure = Figure(golf.BODY, golf.address(), look=Look(club_head=kind))  # type: ignore[arg-type]
        start, end = figure.vertex_ranges[-1]
        head = trimesh.Trimesh(figure.pose(golf.address())[start:end], figure.parts[-1].faces)
        assert figure.parts[-1].name == "clubhead" and head.is_watertight
        # From memory: the equipment rules allow a driver 127 mm from heel to toe, 71 mm in height and 460 ml.
        toe, away, high = np.ptp(head.vertices, axis=0)
        assert shortest < away < 0.127 and toe < 0.127 and high < 0.071, (kind, toe, away, high)
        assert least_ml < abs(head.volume) * 1e6 < most_ml, (kind, head.volume)
        assert -0.001 < head.vertices[:, 2].min() < 0.012
        ball = golf.address().joints["ball"]
        assert head.vertices[:, 1].max() < ball[1] - 0.0213, "the face stands behind the ball"
