"""Where a track has its face: as it was followed from address on, or as it lies there."""

import film_judge
import filmed_swings
import numpy as np
import pytest

from turnstill.model.films.film_moments import VIEWS, find
from turnstill.model.films.swaps import mended
from turnstill.scenes.read.face_track import with_face


@pytest.fixture(scope="module")
def tracks():
    filmed = film_judge.filmed(1, 6, filmed_swings.Conditions(), 900)
    return {view: getattr(filmed, view)[0] for view in VIEWS}


# Nose and eyes from the front; down the line nose, and eye and ear of the trail side, which the camera sees.
@pytest.mark.parametrize(
    ("view", "left_handed", "seen"),
    [("face_on", False, (0, 1, 2)), ("down_the_line", False, (0, 2, 4)), ("down_the_line", True, (0, 1, 3))],
)
def test_a_face_goes_as_it_was_followed_from_where_the_detector_has_it_at_address(tracks, view, left_handed, seen):
    track, seen = tracks[view], list(seen)
    track = track.mirrored() if left_handed else track
    # A pose net guesses at what it does not see.
    track = track.replace(np.where(np.isfinite(track.places), track.places, 7.0))
    moments = find(mended(track, view).track, view)
    (first, _), (start, last) = moments.address_window, moments.top_window
    after = np.arange(track.frames) > (first + last) / 2
    # The detector is off by a tenth of the trunk from half way up, and in each frame each point by itself.
    true, sure = track.places[:, :5] + 1.0, np.full((track.frames, 5), 0.9)
    own = np.random.default_rng(3).normal(scale=0.3, size=true.shape)
    own -= own[:, seen].mean(axis=1, keepdims=True)
    face = true + own + np.where(after, 0.07 * track.torso, 0.0)[:, None, None]
    followed = true[:, seen].mean(axis=1) - 70.0
    followed[[first - 2, last + 2]] = np.nan
    taken, by = with_face(track, view, face, sure, followed)
    assert by == "followed"
    known = slice(first - 1, last + 2)
    np.testing.assert_allclose(taken.places[known, :5], (true + own)[known], atol=1e-9)
    # Beyond where it was lost nothing is known of it.
    assert not taken.seen[: first - 1, :5].any() and not taken.seen[last + 2 :, :5].any()
    # Lost on the way, or gone where the detector has no face, it is the detector's.
    lost, elsewhere = followed.copy(), followed + np.where(after, 0.4 * track.torso, 0.0)[:, None]
    lost[start - 1] = np.nan
    for way in (lost, elsewhere):
        taken, by = with_face(track, view, face, sure, way)
        assert by == "face_detector"
        np.testing.assert_array_equal(taken.places[:, :5], face)


@pytest.mark.parametrize("seen_at_address", [True, False])
def test_a_face_that_no_face_detector_sees_at_the_top_goes_as_it_lies_at_address(tracks, seen_at_address):
    track = tracks["down_the_line"]
    # A pose net guesses at what it does not see.
    track = track.replace(np.where(np.isfinite(track.places), track.places, 7.0))
    moments = find(mended(track, "down_the_line").track, "down_the_line")
    (first, last), (start, end) = moments.address_window, moments.top_window
    face, sure = track.places[:, :5] + 1.0, np.full((track.frames, 5), 0.9)
    face[(last + 1 if seen_at_address else 0) :] = np.nan
    gone = 0.1 * track.torso * np.linspace(0.0, 1.0, track.frames)
    way = np.column_stack([gone, -0.5 * gone])
    taken, by = with_face(track, "down_the_line", face, sure, way + 40.0)
    assert by == "face_detector"
    # It is the pose net's where the face detector saw none at address either.
    source = track.places[:, :5] + (1.0 if seen_at_address else 0.0)
    since = way - np.median(way[first : last + 1], axis=0)
    for frame in (first, start, end):
        lies = np.median(source[first : last + 1], axis=0)
        np.testing.assert_allclose(taken.places[frame, :5], lies + since[frame], atol=1e-9)
    # Gone where not even the pose net, which drags a face along, has it, something else was followed.
    left, by = with_face(track, "down_the_line", face, sure, 9.0 * way)
    assert by == "pose_net" and left is track
