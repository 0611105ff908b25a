"""From a track and its moments to what is fitted: where each keypoint was at address and at the top."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..arrays import Array
from .film_moments import Moments
from .film_problem import Seen
from .filmed_golfer import FITTED
from .tracks import KEYPOINTS, Track

_WHICH = np.array([KEYPOINTS.index(name) for name in FITTED])


def seen_at(track: Track, moments: Moments) -> Array:
    """``(2, 13, 2)`` pixels at address and at the top: medians over their windows, NaN for what is never seen there."""
    out = np.full((2, len(FITTED), 2), np.nan)
    for k, (first, last) in enumerate((moments.address_window, moments.top_window)):
        window = track.places[first : last + 1, _WHICH]
        some = np.isfinite(window).all(axis=-1).any(axis=0)
        out[k, some] = np.nanmedian(window[:, some], axis=0)
    return out


def of_films(
    face_on: Sequence[tuple[Track, Moments] | None], down_the_line: Sequence[tuple[Track, Moments] | None]
) -> Seen:
    """What is fitted, of films of ``S`` swings; None where a view was not filmed."""
    count = len(face_on)
    places, size = np.full((count, 2, 2, len(FITTED), 2), np.nan), np.ones((count, 2, 2))
    for view, films in enumerate((face_on, down_the_line)):
        for k, film in enumerate(films):
            if film is not None:
                track, moments = film
                places[k, view] = seen_at(track, moments)
                size[k, view] = track.width, track.height
    return Seen(places, size)
