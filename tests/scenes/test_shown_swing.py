"""What a picture is told of a swing: this moment, this view's angle, the head's path up to here."""

from __future__ import annotations

import numpy as np
import pytest
from distinct_swings import distinct_swing

from turnstill.render.pictures.picture import DOWN_THE_LINE, FACE_ON
from turnstill.scenes.film.reel import legend
from turnstill.scenes.views.cameras import cameras
from turnstill.scenes.views.names import SEEN, VIEW_NOTES, VIEW_TITLES
from turnstill.scenes.views.shown_swing import VIEWS, shown_at


def same(one: object, joints: object, moment: int) -> None:
    for name, places in joints.items():  # type: ignore[attr-defined]
        assert np.array_equal(one.joints[name], places[moment]), name  # type: ignore[attr-defined]


@pytest.mark.parametrize("moment", [-1, 0, 2, 4, -2])
def test_each_view_is_shown_its_own_angle_at_address_and_at_the_moment(moment: int) -> None:
    swing = distinct_swing(1)
    here = moment % 5
    for view, name, word, first in (
        ("face-on", FACE_ON, "lean", 11.0), ("down-the-line", DOWN_THE_LINE, "inclination", -41.0)
    ):  # fmt: skip
        shown = shown_at(swing, "its title", view, moment)
        # 11.4 and so on, -40.6 and so on, to whole degrees.
        assert shown.angle_address_deg == first
        assert shown.angle_top_deg == first + 10 * here
        assert (shown.view, shown.angle_word, shown.title) == (name, word, "its title")
        same(shown.address, swing.skeleton.joints, 0)
        same(shown.top, swing.skeleton.joints, here)
        assert np.array_equal(shown.head_path, swing.skeleton.joints["head"][: here + 1])
        assert shown.head_radius_m == pytest.approx(1.1 * 0.11) and not shown.left_handed


def test_the_top_is_shown_where_no_moment_is_named() -> None:
    swing = distinct_swing(2)
    same(shown_at(swing, "a", VIEWS[0]).top, swing.skeleton.joints, 4)


@pytest.mark.parametrize(
    ("moment", "step", "way"), [(4, 2, [0, 2, 4]), (4, 3, [0, 3, 4]), (3, 16, [0, 3]), (0, 2, [0])]
)
def test_a_path_leaves_moments_out_but_ends_here(moment: int, step: int, way: list[int]) -> None:
    swing = distinct_swing(3)
    shown = shown_at(swing, "a", VIEWS[0], moment, step)
    assert np.array_equal(shown.head_path, swing.skeleton.joints["head"][way])


def test_no_angle_is_minus_nought() -> None:
    swing = distinct_swing(1)
    swing.measures.lean_face_on[:] = np.radians([-0.3, -0.4, 0, 0, -0.1])
    shown = shown_at(swing, "a", "face-on")
    assert not np.signbit(shown.angle_address_deg) and not np.signbit(shown.angle_top_deg)


def test_a_left_handers_picture_knows_it() -> None:
    assert shown_at(distinct_swing(1, left_handed=True), "a", VIEWS[0]).left_handed


def test_a_films_legend_has_the_swings_own_words_and_its_address_angle() -> None:
    swing = distinct_swing(4)
    for view, name, word, angle in (
        ("face-on", FACE_ON, "lean", 14.0),
        ("down-the-line", DOWN_THE_LINE, "inclination", -38.0),
    ):
        words = legend(shown_at(swing, "its title", view, 3))
        assert (words.title, words.view, words.angle_word, words.address_deg) == ("its title", name, word, angle)


def test_names_of_the_views_and_what_their_notes_call_the_angle() -> None:
    assert VIEWS == tuple(VIEW_TITLES) == tuple(VIEW_NOTES) == tuple(SEEN) == ("face-on", "down-the-line")
    assert VIEW_TITLES == {"face-on": "Face-on", "down-the-line": "Down the line"}
    assert VIEW_NOTES["face-on"].startswith("Lean is") and "away from the target positive" in VIEW_NOTES["face-on"]
    assert VIEW_NOTES["down-the-line"].startswith("Inclination is") and "toward the ball" in VIEW_NOTES["down-the-line"]
    # Face-on one sees toward the target and up, down the line toward the ball and up (x ball, y target, z up).
    assert SEEN == {"face-on": ((1, 2), "lean_face_on_deg"), "down-the-line": ((0, 2), "inclination_down_the_line_deg")}


def test_one_tripod_a_hand_stands_at_the_first_golfers_hands_and_frames_the_tallest() -> None:
    swings = [
        distinct_swing(1),
        distinct_swing(3),
        distinct_swing(2, left_handed=True),
        distinct_swing(4, left_handed=True),
    ]
    places = cameras(swings, 400, 500)
    for first, others in ((0, (0, 1)), (2, (2, 3))):
        joints = swings[first].skeleton.joints
        hands = (joints["wrist_lead"][0] + joints["wrist_trail"][0]) / 2
        for one in others:
            assert places[one]["face-on"].position[2] == pytest.approx(hands[2])
            assert np.allclose(places[one]["down-the-line"].position[[0, 2]], hands[[0, 2]])
    for by_view in places:
        # Face-on from the ball's side; down the line from the trail side, a left-hander's being the other one.
        assert by_view["face-on"].position[0] > 3 and set(by_view) == set(VIEWS)
        assert all((camera.width, camera.height) == (400, 500) for camera in by_view.values())
    assert places[0]["down-the-line"].position[1] < -3 < 3 < places[2]["down-the-line"].position[1]
    # The tallest is 2 m: 1.47 statures fill the height at the golfer's distance, for everybody.
    for by_view in places:
        assert by_view["face-on"].K[1, 1] == pytest.approx(500 / (1.47 * 2.0) * by_view["face-on"].t[2], rel=0.02)
