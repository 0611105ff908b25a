"""Whether two films are of one golfer and one kind of swing.

Let M(a, b) be twice the minimum of the fit of both films, M(a) and M(b) those of the fits of each alone. Were all of it
linear and Gaussian, M(a, b) would be -2 log p(a, b) but for a constant, and

    D = M(a, b) - M(a) - M(b) = -2 log [ p(a, b) / (p(a) p(b)) ] + a constant:

how much less probable the films are of one golfer than of two. The constant is a fit's, not a swing's, so that D is
held against what it was in simulated pairs.
"""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from .film_fit import FilmFit, fit
from .film_noise import FilmNoise
from .film_problem import Seen
from .filmed_golfer import Known

DOUBTFUL, NEVER = 14.5, 20.0
"""Of D: beyond the first were 5 of 100 pairs of films of one golfer's two swings, beyond the second 1 (measured on
simulated films; docs/film_reading.md)."""


def apart(known: Known, films: Seen, both: FilmFit, noise: FilmNoise | None = None) -> Array:
    """D ``(S,)`` of golfers with two films.

    Args:
        known: of the golfers.
        films: what they show, both of each.
        both: the fit of that.
        noise: of the detector, as in that fit.
    """
    alone = [fit(known, _alone(films, view), noise).misfit for view in (0, 1)]
    return np.asarray(both.misfit - alone[0] - alone[1])


def _alone(films: Seen, view: int) -> Seen:
    """One view, as if there were no other."""
    places, size = films.places.copy(), films.size.copy()
    places[:, 1 - view], size[:, 1 - view] = np.nan, 1.0
    return Seen(places, size)
