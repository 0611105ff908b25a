"""Whose face a track has: a face detector's, which is hardly dragged along, wherever that saw it when it matters."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ...model.arrays import Array
from ...model.errors import TurnstillError
from ...model.films.film_moments import find
from ...model.films.swaps import mended
from ...model.films.tracks import Track

OFTEN = 0.5
"""Of the frames at address, and of those at the top, that the face detector must have seen a face in (our choice)."""
OFTEN_AT_ALL = 0.8
"""Of all frames, where address and top cannot be found."""
_FACE = 5


def with_face(track: Track, view: str, face: Array, confidence: Array) -> tuple[Track, bool]:
    """The track with nose, eyes and ears of the face detector, and whether it has them.

    All or none: the two put a face at places of their own, so that a film in which one follows the other would show a
    head that moves.

    Args:
        track: of a pose net.
        view: which it is.
        face: ``(F, 5, 2)`` pixels, NaN where no face was seen.
        confidence: ``(F, 5)``.
    """
    seen = np.asarray(np.isfinite(face).all(axis=(1, 2)))
    try:
        moments = find(mended(track, view).track, view)
    except TurnstillError:
        enough = bool(seen.mean() >= OFTEN_AT_ALL)
    else:
        windows = (moments.address_window, moments.top_window)
        enough = all(seen[first : last + 1].mean() >= OFTEN for first, last in windows)
    if not enough:
        return track, False
    places, sure = track.places.copy(), track.confidence.copy()
    places[:, :_FACE] = np.where(seen[:, None, None], face, np.nan)
    sure[:, :_FACE] = np.where(seen[:, None], confidence, 0.0)
    return replace(track, places=places, confidence=sure), True
