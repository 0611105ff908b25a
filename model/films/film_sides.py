"""Which way a filmed golfer stands: which view it is, and which hand leads."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..arrays import Array
from ..errors import TurnstillError
from .film_moments import Moments
from .tracks import KEYPOINTS, Track

ACROSS: Mapping[str, tuple[float, float]] = {"face_on": (0.35, float("inf")), "down_the_line": (0.0, 0.45)}
"""Torso lengths that feet and shoulders are apart sideways at address, at least and at most: about 0.8 face-on and 0.1
down the line, for a golfer filmed within 20 degrees of square."""
IN_WORDS = {"face_on": "face-on", "down_the_line": "down the line"}
ASIDE = 0.15
"""Torso lengths that hands are to one side, at least, to say which hand leads."""


def check_view(track: Track, moments: Moments, view: str) -> None:
    """Refuse a film of the other view.

    Raises:
        TurnstillError: feet and shoulders are too far apart for a film down the line, or too near for one face-on.
    """
    apart = [
        np.abs(_at(track, moments.address_window, f"left_{kind}") - _at(track, moments.address_window, f"right_{kind}"))
        for kind in ("ankle", "shoulder")
    ]
    seen = [float(one[0]) / track.torso for one in apart if np.isfinite(one[0])]
    low, high = ACROSS[view]
    across = float(np.mean(seen)) if seen else low
    if not low <= across <= high:
        told, other = IN_WORDS[view], next(words for name, words in IN_WORDS.items() if name != view)
        raise TurnstillError(
            f"The film given as {told} looks like one from {other}: feet and shoulders are {across:.1f} lengths "
            "of the trunk apart in the picture; give the face-on film first and the one down the line second, each "
            "within some 15 degrees of square."
        )


def is_left_handed(track: Track, moments: Moments, view: str) -> bool:
    """Whether the golfer of a film swings left-handed, or is shown in a mirror.

    Face-on a right-hander's hands are at the picture's left at the top; down the line they hang at its right.

    Raises:
        TurnstillError: hands and hips are not seen, or the hands are straight before the hips.
    """
    window = moments.top_window if view == "face_on" else moments.address_window
    hands, hips = (_across(track, window, kind) for kind in ("wrist", "hip"))
    aside = (hands - hips) / track.torso
    if not abs(aside) >= ASIDE:
        raise TurnstillError(
            f"Which hand leads cannot be told from the film {IN_WORDS[view]}; say --left-handed or --right-handed."
        )
    return bool(aside > 0.0) if view == "face_on" else bool(aside < 0.0)


def _across(track: Track, window: tuple[int, int], kind: str) -> float:
    """Pixels across the picture of both sides' middle, or of the one that is seen; NaN where none is."""
    sides = np.array([_at(track, window, f"{side}_{kind}")[0] for side in ("left", "right")])
    seen = sides[np.isfinite(sides)]
    return float(seen.mean()) if seen.size else float("nan")


def _at(track: Track, window: tuple[int, int], name: str) -> Array:
    """``(2,)`` pixels, the median over a window's frames; NaN where it is not seen in any."""
    places = track.places[window[0] : window[1] + 1, KEYPOINTS.index(name)]
    known = places[np.isfinite(places).all(axis=-1)]
    return np.median(known, axis=0) if len(known) else np.full(2, np.nan)
