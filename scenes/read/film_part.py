"""Which of a film's frames the detector looks at closely: all of a short one, of a long one those about the swing.

To look at a minute of film takes ten times as long as to look at what is read of it, and before and after a swing
people come and go. So a long film is looked at now and then first, to see where the swing is.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from ...model.errors import TurnstillError
from ...model.films import film_moments
from ...model.films.film_moments import ADDRESS_LASTS, LONGEST_BACKSWING
from ...model.films.swing_sought import EVERY, falls_at
from ..detector.environment import Environment
from .film_frames import Film
from .film_track import detected

LONG = 8.0
"""s: no longer film is looked at whole, at which that is about as quick (our choice)."""
AT_ADDRESS = max(film_moments.BEFORE.values()) + ADDRESS_LASTS
"""s that address may be looked for before the hands move."""
LATEST_DOWN = film_moments.SWING_DOWN[1]
AFTER = 1.0
"""s after the hands came down that are looked at still: they may be fastest past the ball."""

ByEye = tuple[float | None, float | None]
"""Frames of address and top, where somebody set them."""
NOT_SET: ByEye = (None, None)


def looked_for(film: Film, by_eye: ByEye = NOT_SET) -> range:
    """Frames that are looked at first, to find the swing: none of a short film, or where somebody says where it is."""
    known = not is_long(film) or _times(film, by_eye) != NOT_SET
    return range(0, 0 if known else film.frames, max(1, round(EVERY * film.fps)))


def is_long(film: Film) -> bool:
    """Whether it is too long to be looked at whole."""
    return bool(film.seconds[-1] > LONG)


def most(film: Film) -> int:
    """How many frames are looked at closely, about."""
    whole = AT_ADDRESS + LONGEST_BACKSWING + LATEST_DOWN + AFTER
    return min(film.frames, round(whole * film.fps)) if is_long(film) else film.frames


def closely(film: Film, environment: Environment, told: Callable[[], None], by_eye: ByEye = NOT_SET) -> range:
    """Frames that are to be looked at closely.

    Args:
        film: of which film.
        environment: the detector's.
        told: called before each frame that is looked at first.
        by_eye: the frames of address and top that somebody has set.

    Raises:
        TurnstillError: no swing was found in a long film, or the detector does not answer.
    """
    if not is_long(film):
        return range(film.frames)
    address, top = _times(film, by_eye)
    if top is not None:
        earliest, latest = top, top + LATEST_DOWN
    elif address is not None:
        earliest, latest = address, address + LONGEST_BACKSWING + LATEST_DOWN
    else:
        latest = _fall(film, environment, told)
        earliest = latest - LATEST_DOWN
    begin = (earliest - LONGEST_BACKSWING if address is None else address) - AT_ADDRESS
    first, after = np.searchsorted(film.seconds, [begin, latest + AFTER])
    return range(int(first), int(after))


def _fall(film: Film, environment: Environment, told: Callable[[], None]) -> float:
    """When the hands come down, s."""
    saw = detected(film, environment, told, looked_for(film), quick=True)
    fall = falls_at(saw.places, film.seconds[list(saw.frames)])
    if fall is None:
        raise TurnstillError(
            f"In {film.name}, {film.seconds[-1]:.0f} s long, nobody's hands come down as fast as in a swing; if it is "
            "in slow motion, say with --fps at how many frames a second the camera filmed; else film the whole golfer, "
            "or set the frame of the top by eye."
        )
    return fall


def _times(film: Film, by_eye: ByEye) -> ByEye:
    """Their times, s; of none that is not in the film, which is refused when it has been looked at."""
    address, top = (frame / film.fps if frame is not None and 0.0 <= frame < film.frames else None for frame in by_eye)
    return address, top
