"""What a track tells of its own faults: of somebody else in it, and of a wrong rate of frames."""

from __future__ import annotations

from dataclasses import replace

import film_judge
import filmed_swings
import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.films.film_moments import VIEWS, find
from turnstill.model.films.film_tempo import ODD, times_usual
from turnstill.model.films.one_person import MOST_PERSONS, of_one_person, persons
from turnstill.model.films.swaps import mended


@pytest.fixture(scope="module")
def filmed():
    return film_judge.filmed(1, 6, filmed_swings.Conditions(), 900)


def with_another(track, frames, aside=1.5):
    """The same film with somebody beside the golfer seen in some frames."""
    places = track.places.copy()
    places[frames] += [aside * track.torso, 0.0]
    return track.replace(places)


@pytest.mark.parametrize("view", VIEWS)
def test_a_golfer_alone_is_one_person(filmed, view):
    hurt = filmed_swings.film(
        np.random.default_rng(1), filmed.faulty, filmed_swings.Conditions(swapped=0.3, dropped=0.4)
    )
    for track in [*getattr(filmed, view), *getattr(hurt, view)]:
        assert not (persons(track) > 0).any()
        assert np.array_equal(of_one_person(track).places, track.places, equal_nan=True)


@pytest.mark.parametrize("view", VIEWS)
def test_a_track_that_goes_over_to_somebody_else_is_refused(filmed, view):
    for track in getattr(filmed, view):
        half = replace(with_another(track, slice(track.frames // 2, None)), first_frame=100)
        with pytest.raises(TurnstillError, match=f"first at frame {100 + track.frames // 2};"):
            of_one_person(half)
        flickers = np.random.default_rng(2).random(track.frames) < 0.3
        assert np.array_equal(persons(with_another(track, flickers)) == 1, flickers)
        with pytest.raises(TurnstillError, match="from one person to another"):
            of_one_person(with_another(track, flickers))


def test_a_few_frames_of_somebody_else_are_taken_as_missing(filmed):
    track = filmed.face_on[0]
    few = of_one_person(with_another(track, [20, 21]))
    assert not few.seen[20:22].any()
    rest = np.delete(np.arange(track.frames), [20, 21])
    assert np.array_equal(few.places[rest], track.places[rest], equal_nan=True)


def test_noise_that_nobody_makes_is_no_endless_row_of_persons(filmed):
    track = filmed.face_on[0]
    places = track.places + np.random.default_rng(3).normal(0.0, 800.0, track.places.shape)
    assert persons(track.replace(places)).max() < MOST_PERSONS


def test_a_golfer_who_comes_back_after_a_gap_is_the_same(filmed):
    track = filmed.face_on[0]
    places = track.places.copy()
    places[10:40] = np.nan
    assert set(persons(track.replace(places))) == {0, -1}


@pytest.mark.parametrize("view", VIEWS)
def test_a_rate_of_frames_that_is_wrong_by_two_makes_an_odd_tempo(filmed, view):
    for track in getattr(filmed, view):
        usual = times_of(track, view)
        if view == "face_on":
            assert 1.0 / ODD < usual < ODD
        # Ten per cent for windows, which go by the rate; and what shows late down the line does not go with it.
        assert times_of(replace(track, fps=track.fps / 2.0), view) == pytest.approx(2.0 * usual, rel=0.16)
    quick = replace(filmed.face_on[0], fps=2.0 * filmed.face_on[0].fps)
    assert times_of(quick, "face_on") < 1.0 / ODD


def times_of(track, view):
    right = mended(track, view).track
    return times_usual(find(right, view), right.fps, view)
