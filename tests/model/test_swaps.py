"""Left and right put back, gaps bridged: against films whose exchanges are known, and closed forms."""

import filmed_swings
import numpy as np
import pytest
import simulated_faults

from turnstill.model.films.swaps import bridge, medians, mended, swapped


@pytest.fixture(scope="module")
def filmed():
    faulty = simulated_faults.draw(np.random.default_rng(71), 4, 1)
    return filmed_swings.film(np.random.default_rng(72), faulty)


def in_runs(rng, frames, share):
    """Runs of a few frames, so many of all of them."""
    out = np.zeros(frames, dtype=bool)
    while out.mean() < share:
        begin = rng.integers(frames)
        out[begin : begin + rng.integers(1, 6)] = True
    return out


@pytest.mark.parametrize("view", ["face_on", "down_the_line"])
def test_a_third_of_the_frames_exchanged_is_put_back(filmed, view):
    rng = np.random.default_rng(73)
    for track in getattr(filmed, view):
        wrong = in_runs(rng, track.frames, 0.3)
        found = swapped(track.exchanged(wrong), view)
        # Where both sides lie on each other in the picture a frame may be taken for the other, and does no harm.
        assert np.mean(found != wrong) < 0.06
        left = mended(track.exchanged(wrong), view).track.places - track.places
        assert np.nanpercentile(np.abs(left), 95.0) < 0.06 * track.torso


def test_a_film_in_order_is_left_as_it_is(filmed):
    films = [(track, view) for view in ("face_on", "down_the_line") for track in getattr(filmed, view)]
    for track, view in (*films, *((track, None) for track, _ in films)):
        result = mended(track, view)
        assert not result.exchanged.any()
        np.testing.assert_array_equal(result.track.places[track.seen], track.places[track.seen])


@pytest.mark.parametrize("left_handed", [False, True])
def test_a_whole_film_face_on_the_other_way_round_is_put_right(filmed, left_handed):
    for track in filmed.face_on:
        one = track.mirrored() if left_handed else track
        assert not swapped(one, "face_on").any()
        assert swapped(one.exchanged(np.ones(one.frames, dtype=bool)), "face_on").all()


def test_exchanges_are_found_with_two_detections_of_five_missing(filmed):
    rng = np.random.default_rng(74)
    track = filmed.face_on[0]
    wrong = in_runs(rng, track.frames, 0.3)
    places = track.exchanged(wrong).places.copy()
    places[rng.random(places.shape[:2]) < 0.4] = np.nan
    assert np.mean(swapped(track.exchanged(wrong).replace(places)) != wrong) < 0.06


def test_short_gaps_are_bridged_by_straight_lines_and_long_ones_stay():
    line = np.stack([np.arange(30.0), 5.0 - 2.0 * np.arange(30.0)], axis=-1)[:, None]
    holes = line.copy()
    holes[[4, 5, 6, 12, 13, 14, 15, 29]] = np.nan
    filled, where = bridge(holes, 3)
    np.testing.assert_allclose(filled[4:7], line[4:7])
    assert np.isnan(filled[[12, 13, 14, 15, 29]]).all()
    assert where[:, 0].sum() == 3


def test_medians_are_those_of_what_is_seen():
    values = np.array([1.0, 9.0, 2.0, np.nan, 4.0, 3.0])
    places = np.stack([values, -values], axis=-1)[:, None]
    np.testing.assert_allclose(medians(places, 1)[:, 0, 0], [5.0, 2.0, 5.5, 3.0, 3.5, 3.5])
    np.testing.assert_allclose(medians(places, 0), places)
    assert np.isnan(medians(np.full((5, 2, 2), np.nan), 2)).all()
