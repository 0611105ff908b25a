"""What a picture is told of a swing: this moment, this view's angle, the head's path up to here."""

from __future__ import annotations

import numpy as np
import pytest
from distinct_swings import distinct_swing

from turnstill.render.pictures.film_labels import LegendOfLines
from turnstill.render.pictures.lines import ABOVE, DOWN_THE_LINE, FACE_ON
from turnstill.scenes.film.reel import legend
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.views.cameras import cameras
from turnstill.scenes.views.names import SEEN, VIEW_NOTES, VIEW_TITLES, VIEWS, angles_told
from turnstill.scenes.views.shown_swing import shown_at


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
        assert shown.angles == {word: (first, first + 10 * here)}
        assert (shown.view, shown.title) == (name, "its title")
        same(shown.address, swing.skeleton.joints, 0)
        same(shown.top, swing.skeleton.joints, here)
        assert np.array_equal(shown.head_path, swing.skeleton.joints["head"][: here + 1])
        assert shown.head_radius_m == pytest.approx(1.1 * 0.11) and not shown.left_handed


def test_the_top_is_shown_where_no_moment_is_named() -> None:
    swing = distinct_swing(2)
    same(shown_at(swing, "a", VIEWS[0]).top, swing.skeleton.joints, 4)


@pytest.mark.parametrize("moment", [-1, 0, 2])
def test_from_above_each_line_has_its_own_angle(moment: int) -> None:
    swing = distinct_swing(1)
    here = 10.0 * (moment % 5)
    shown = shown_at(swing, "its title", "above", moment)
    # -2.6, 3.4, 31.4 and -19.6 to whole degrees; feet stay as they were set down.
    assert shown.angles == {
        "hip turn": (-3.0, -3.0 + here), "shoulder turn": (3.0, 3.0 + here),
        "lead flare": (31.0, 31.0), "trail flare": (-20.0, -20.0),
    }  # fmt: skip
    assert shown.view == ABOVE and list(shown.angles) == [line.word for line in shown.lines]
    same(shown.top, swing.skeleton.joints, moment % 5)


def test_the_lines_drawn_from_above_are_the_bodys() -> None:
    """On a solved swing, hip line and feet lie where their joints are, for either hand."""
    for hand in ("right", "left"):
        setup = apply(load("centred"), [f"handedness={hand}", "lead_flare=33", "trail_flare=-7", "hip_turn=40"])
        swing = swing_of(setup, 3)
        shown = shown_at(swing, "a", "above")
        for line in shown.lines:
            if "shoulder" in line.word:  # Each shoulder moves on its own; the line has what the body turned.
                continue
            for moment, posture in (("address", shown.address), ("top", shown.top)):
                first, second = (posture.joints[name] for name in line.joints)
                ends = shown.ends(line)[moment]
                drawn, own = ((a - b)[:2] / np.linalg.norm((a - b)[:2]) for a, b in (ends, (first, second)))
                # Half a degree of rounding to whole ones.
                assert np.allclose(drawn, own, atol=np.radians(0.51)), (hand, line.word, moment)
                assert np.allclose(ends.mean(axis=0), 0.5 * (first + second)) and ends[0, 2] == ends[1, 2]


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
    assert not np.signbit(shown.angles["lean"]).any()


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


def test_a_films_legend_from_above_has_the_flares_of_its_swing() -> None:
    words = legend(shown_at(distinct_swing(4), "its title", "above", 3))
    assert words == LegendOfLines("its title", ABOVE, {"lead flare": 34.0, "trail flare": -17.0}, 2)


def test_what_a_film_says_of_its_angles() -> None:
    trunk = "The angle is the trunk's from the vertical: "
    lean = "its lean face-on, away from the target positive"
    assert angles_told(VIEWS) == f"{trunk}{lean}, its inclination down the line."
    assert angles_told(("down-the-line",)) == f"{trunk}its inclination down the line."
    for views in (("above",), ("face-on", "above")):
        told = angles_told(views)
        assert told.endswith("away from the target and the flare of each foot.") and "inclination" not in told
        assert told.startswith(f"{trunk}{lean}. From above") == ("face-on" in views)


def test_names_of_the_views_and_what_their_notes_call_the_angle() -> None:
    assert tuple(VIEW_TITLES) == tuple(VIEW_NOTES) == tuple(SEEN) == (*VIEWS, "above")
    assert VIEWS == ("face-on", "down-the-line")
    assert VIEW_TITLES == {"face-on": "Face-on", "down-the-line": "Down the line", "above": "From above"}
    assert VIEW_NOTES["face-on"].startswith("Lean is") and "away from the target positive" in VIEW_NOTES["face-on"]
    assert VIEW_NOTES["down-the-line"].startswith("Inclination is") and "toward the ball" in VIEW_NOTES["down-the-line"]
    # Face-on one sees toward the target and up, down the line toward the ball and up (x ball, y target, z up).
    assert SEEN == {
        "face-on": ((1, 2), ("lean_face_on_deg",)), "down-the-line": ((0, 2), ("inclination_down_the_line_deg",)),
        "above": ((0, 1), ("hip_turn_deg", "shoulder_turn_deg")),
    }  # fmt: skip


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
            assert np.allclose(places[one]["above"].position, [hands[0], 0.0, hands[2] + 5.0])
    for by_view in places:
        # Face-on from the ball's side; down the line from the trail side, a left-hander's being the other one.
        assert by_view["face-on"].position[0] > 3 and set(by_view) == set(VIEW_TITLES)
        assert all((camera.width, camera.height) == (400, 500) for camera in by_view.values())
    assert places[0]["down-the-line"].position[1] < -3 < 3 < places[2]["down-the-line"].position[1]
    # The tallest is 2 m: 1.47 statures fill the height at the golfer's distance, for everybody.
    for by_view in places:
        # From above 1.1 statures fill the smaller side.
        assert by_view["above"].K[1, 1] == pytest.approx(400 / (1.1 * 2.0) * 5.0, rel=1e-9)
        assert by_view["face-on"].K[1, 1] == pytest.approx(500 / (1.47 * 2.0) * by_view["face-on"].t[2], rel=0.02)
