"""Films fitted, left and right of the film down the line as they fit best where a detector had them exchanged."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ...model.films.film_fit import fit
from ...model.films.film_moments import VIEWS, Moments
from ...model.films.film_noise import FilmNoise
from ...model.films.film_problem import Seen
from ...model.films.film_reading import Reading, read
from ...model.films.filmed_golfer import Known
from ...model.films.seen_moments import of_films
from ...model.films.swaps import Mended

LINE = "down_the_line"


def fitted(
    known: Known, films: Mapping[str, Mended], moments: Mapping[str, Moments], noise: FilmNoise
) -> tuple[Mapping[str, Mended], Seen, Reading]:
    """Films of one swing with what was fitted of them, and the reading of it.

    Where no golfer shows them, the film down the line is tried with its left and right the other way round.

    Args:
        known: of the golfer.
        films: by view, as of a right-hander.
        moments: likewise.
        noise: of the detector.
    """
    seen = _seen(films, moments)
    reading = read(known, seen, noise)
    if reading.of_a_golfer[0] or LINE not in films:
        return films, seen, reading
    ways = _labellings(films[LINE], moments[LINE])
    shown = [_seen({**films, LINE: one}, moments) for one in ways]
    every = Seen(np.concatenate([one.places for one in shown]), np.concatenate([one.size for one in shown]))
    same = Known(np.repeat(known.stature, len(ways)), np.repeat(known.female, len(ways)))
    best = int(fit(same, every, noise).misfit.argmin())
    again = read(known, shown[best], noise)
    return ({**films, LINE: ways[best]}, shown[best], again) if again.of_a_golfer[0] else (films, seen, reading)


def _seen(right: Mapping[str, Mended], moments: Mapping[str, Moments]) -> Seen:
    return of_films(*([(right[view].track, moments[view]) if view in right else None] for view in VIEWS))


def _labellings(one: Mended, moments: Moments) -> list[Mended]:
    """The film down the line with all frames exchanged, none, the others than were, or the others early or late.

    A detector that has left and right exchanged throughout is noticed there by the fit alone, or by the shoulders'
    side at the top alone, so that address was left as it was.
    """
    early = np.arange(one.track.frames) < 0.5 * (moments.address + moments.top)
    every, none = np.ones_like(early), np.zeros_like(early)
    labellings = (every, none, ~one.exchanged, one.exchanged ^ early, one.exchanged ^ ~early)
    return [Mended(one.track.exchanged(one.exchanged ^ so), so, one.bridged, one.missing) for so in labellings]
