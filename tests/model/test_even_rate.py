"""Uneven films as even tracks: straight motion stays straight, an even film stays itself, gaps stay gaps."""

import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.films.even_rate import evenly

RNG = np.random.default_rng(8)


def moving(seconds):
    """Two keypoints that move evenly."""
    return np.stack([np.stack([10.0 + 50.0 * seconds, 5.0 - 20.0 * seconds], -1)] * 2, axis=1)


def test_an_even_film_is_itself():
    seconds = 3.0 + np.arange(20) / 29.97 + RNG.uniform(-1e-3, 1e-3, 20)
    places, confidence = RNG.normal(size=(20, 3, 2)), RNG.random((20, 3))
    same, sure, rate = evenly(places, confidence, seconds)
    assert same is places and sure is confidence
    assert rate == pytest.approx(29.97, rel=5e-3)


def test_even_motion_stays_so_whatever_the_times():
    seconds = np.cumsum(RNG.choice([1 / 30, 1 / 24], 40, p=[0.6, 0.4]))
    places, confidence, rate = evenly(moving(seconds), np.full((40, 2), 0.9), seconds)
    assert rate == pytest.approx(30.0)
    when = seconds[0] + np.arange(len(places)) / rate
    inside = when <= seconds[-1]
    np.testing.assert_allclose(places[inside], moving(when)[inside], atol=1e-9)
    assert confidence.min() == 0.9 and abs(when[-1] - seconds[-1]) <= 0.5 / rate


def test_frames_that_were_dropped_are_a_gap_and_missing_points_stay_missing():
    seconds = np.delete(np.arange(30) / 30.0, [9, 20, 21, 22, 23])
    places, confidence = moving(seconds), np.ones((25, 2))
    places[3, 0], confidence[3, 0] = np.nan, 0.0
    even, sure, rate = evenly(places, confidence, seconds)
    assert rate == pytest.approx(30.0) and len(even) == 30
    seen = np.isfinite(even).all(axis=-1)
    assert not seen[3, 0] and seen[3, 1] and seen[2].all() and seen[4].all()
    # One frame that was left out is bridged, four are not.
    assert seen[9].all() and not seen[20:24].any() and seen[24].all()
    assert ((sure > 0.0) == seen).all()
    np.testing.assert_allclose(even[seen], moving(np.arange(30) / 30.0)[seen], atol=1e-9)


def test_times_that_do_not_grow_are_refused():
    for seconds in ([0.0, 0.1, 0.1, 0.2], [0.0]):
        with pytest.raises(TurnstillError, match="times that grow"):
            evenly(np.zeros((len(seconds), 1, 2)), np.ones((len(seconds), 1)), np.array(seconds))
