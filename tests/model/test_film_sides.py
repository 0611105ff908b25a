"""Which view a film is, and which hand leads."""

import film_judge
import filmed_swings
import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.films.film_moments import VIEWS, find
from turnstill.model.films.film_sides import check_view, is_left_handed
from turnstill.model.films.swaps import mended


@pytest.fixture(scope="module")
def filmed():
    """Cameras up to 15 degrees off square, which the table's are not."""
    return film_judge.filmed(1, 12, filmed_swings.Conditions(yaw=15.0), 44)


@pytest.mark.parametrize("view", VIEWS)
def test_views_and_hands_of_all_films_are_told(filmed, view):
    other = next(name for name in VIEWS if name != view)
    for track in getattr(filmed, view):
        right = mended(track).track
        moments = find(right, view)
        check_view(right, moments, view)
        with pytest.raises(TurnstillError, match="looks like one from"):
            check_view(right, moments, other)
        assert not is_left_handed(right, moments, view)
        assert is_left_handed(right.mirrored(), moments, view)


def test_hands_that_are_not_seen_tell_nothing(filmed):
    right = mended(filmed.face_on[0]).track
    places = right.places.copy()
    places[:, 9:11] = np.nan
    with pytest.raises(TurnstillError, match="say --left-handed"):
        is_left_handed(right.replace(places), find(right, "face_on"), "face_on")
