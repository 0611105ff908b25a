"""Where in a long film the swing is: between the top and just past the ball, wherever the looks happen to fall."""

import film_judge
import filmed_swings
import numpy as np
import pytest

from turnstill.model.films.swing_sought import EVERY, falls_at
from turnstill.model.films.tracks import EXCHANGED, KEYPOINTS

SOON = 0.4
"""s after the top: films that the generator draws come down in 0.33 at most."""


@pytest.fixture(scope="module")
def filmed():
    return film_judge.filmed(1, 8, filmed_swings.Conditions(fps=(30.0,)), 902)


def looks(filmed, change=lambda places: places):
    """Each film as it is looked at now and then, beginning at each of the frames that it may, and its top in s."""
    for view, tracks in enumerate((filmed.face_on, filmed.down_the_line)):
        for track, tops in zip(tracks, filmed.tops, strict=True):
            step = round(EVERY * track.fps)
            for first in range(step):
                seen = slice(first, None, step)
                yield change(track.places[seen].copy()), track.seconds[seen], tops[view] / track.fps


def test_hands_come_down_between_the_top_and_just_past_the_ball(filmed):
    for places, seconds, top in looks(filmed):
        assert 0.0 < falls_at(places, seconds) - top < SOON


def test_neither_exchanged_sides_nor_a_camera_that_is_moved_matter(filmed):
    rng = np.random.default_rng(5)

    def shaken(places):
        places[::2] = places[::2, EXCHANGED]
        return places + rng.normal(0.0, 200.0, (len(places), 1, 2))

    for (places, seconds, _), (moved, *_) in zip(looks(filmed), looks(filmed, shaken), strict=True):
        assert falls_at(moved, seconds) == falls_at(places, seconds)


def test_one_look_in_which_the_hands_were_lost_is_no_swing(filmed):
    wrists = [KEYPOINTS.index(f"{side}_wrist") for side in ("left", "right")]

    def lost(places):
        places[2, wrists, 1] -= 2000.0  # Far above for one look, at address.
        return places

    for places, seconds, top in looks(filmed, lost):
        assert 0.0 < falls_at(places, seconds) - top < SOON


def test_a_golfer_who_waggles_a_film_slowed_down_and_nobody_show_no_swing(filmed):
    for places, seconds, _ in looks(filmed):
        # The address alone, hands going up and down by a fifth of the trunk.
        still = places[:3].repeat(8, axis=0)
        trunk = np.linalg.norm(np.nanmean(still[:, 5:7] - still[:, 11:13], axis=(0, 1)))
        still[:, 9:11, 1] += 0.1 * trunk * np.sin(np.arange(len(still)) * 2.0)[:, None]
        assert falls_at(still, np.arange(len(still)) * EVERY) is None
        assert falls_at(np.full_like(places, np.nan), seconds) is None
        # Eight times as long, so that ten looks a second see an eighth of the way between two.
        slow = np.arange(0.0, len(places) - 1, 0.125)
        low = slow.astype(int)
        share = (slow - low)[:, None, None]
        assert falls_at(places[low] * (1 - share) + places[low + 1] * share, slow * EVERY * 8.0) is None
