"""Tracks: what they refuse, and that mirroring and exchanging undo themselves."""

import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.films.tracks import EXCHANGED, KEYPOINTS, OF_THIRTY_THREE, Track


def drawn(frames=20, **changes):
    rng = np.random.default_rng(3)
    given = {
        "places": rng.uniform(0.0, 700.0, (frames, 17, 2)),
        "confidence": np.ones((frames, 17)),
        "width": 720,
        "height": 1280,
        "fps": 60.0,
    }
    return Track(**(given | changes))


def test_each_keypoint_has_its_counterpart():
    assert [KEYPOINTS[k] for k in EXCHANGED][:3] == ["nose", "right_eye", "left_eye"]
    np.testing.assert_array_equal(EXCHANGED[EXCHANGED], np.arange(17))


def test_of_thirty_three_points_every_keypoint_is_one():
    assert set(OF_THIRTY_THREE) == set(KEYPOINTS)
    assert len(set(OF_THIRTY_THREE.values())) == 17
    # Left has odd numbers there from the shoulders down, right the next even ones.
    for name, number in OF_THIRTY_THREE.items():
        if name.startswith("left_") and number > 10:
            assert number % 2 == 1
            assert OF_THIRTY_THREE[name.replace("left", "right")] == number + 1


def test_a_mirror_twice_is_the_film_itself():
    track = drawn()
    np.testing.assert_allclose(track.mirrored().mirrored().places, track.places)
    # A point at the left edge is at the right edge of the mirror, under the other side's name.
    places = track.places.copy()
    places[0, KEYPOINTS.index("left_knee")] = (0.0, 5.0)
    assert tuple(track.replace(places).mirrored().of("right_knee")[0]) == (719.0, 5.0)


def test_what_is_not_trusted_is_missing():
    confidence = np.ones((20, 17))
    confidence[4, 6] = 0.2
    track = drawn(confidence=confidence).trusted(0.3)
    assert not track.seen[4, 6]
    assert track.seen.sum() == 20 * 17 - 1
    assert track.confidence[4, 6] == 0.0


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"fps": float("nan")}, "fps was nan"),
        ({"fps": 0.0}, "fps was 0"),
        ({"width": 0}, "width was 0"),
        ({"places": np.full((20, 17, 2), np.inf)}, "1,000,000 pixels"),
        ({"places": np.full((20, 17, 2), -1e300)}, "1,000,000 pixels"),
        ({"places": np.zeros((20, 16, 2))}, "seventeen"),
        ({"places": np.zeros((3, 17, 2)), "confidence": np.zeros((3, 17))}, "3 frames"),
        ({"confidence": np.full((20, 17), 1.5)}, "outside 0 to 1"),
    ],
)
def test_a_track_that_cannot_be_is_refused(changes, told):
    with pytest.raises(TurnstillError, match=told):
        drawn(**changes)


def test_a_figure_too_small_or_never_seen_whole_has_no_scale():
    with pytest.raises(TurnstillError, match="both shoulders and both hips"):
        _ = drawn(places=np.full((20, 17, 2), np.nan), confidence=np.zeros((20, 17))).torso
    with pytest.raises(TurnstillError, match="pixels"):
        _ = drawn(places=np.ones((20, 17, 2))).torso
