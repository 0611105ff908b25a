"""Readings at impact that somebody made by hand, of a golfer whose body and address films of the backswing have told.

The golfer is the fitted one. How far off that may be is the fit's own: one after another the principal ways in which
body and address are uncertain together move the golfer by a standard deviation, and what that does to the readings at
impact adds to their noise. That an error of the fit has a part in the diagnosis of the top as well is left out of this
one, as the two say nothing of each other's departures.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..chain.golfers import Golfers
from ..golfer.address import Address
from ..golfer.body import Body
from ..golfer.impact import Impact
from ..golfer.pieces import DEPARTURES
from .diagnose import Diagnosis, diagnose
from .film_reading import Reading
from .filmed_golfer import ADDRESS_MEAN_SD, CHAIN, Known, address_of, body_of
from .readings import READINGS, USUAL_SD_AT_IMPACT, Film


@dataclass(frozen=True)
class FilmedGolfer:
    """One golfer as films have told body and address.

    Attributes:
        body, address: as fitted, batch shape ``(1,)``.
        impact: what readings at impact are counted from.
        by_unknown: ``(13, 15)`` rad and m, what a standard deviation of each principal way in which body and address
            are uncertain does to the readings of a swing without departures.
    """

    body: Body
    address: Address
    impact: Impact
    by_unknown: Array

    @classmethod
    def of(cls, known: Known, reading: Reading, impact: Impact | None = None) -> FilmedGolfer:
        """The golfer of films of one swing.

        Args:
            known: of the golfer, before the films.
            reading: what they say.
            impact: what readings at impact are counted from; the centred golfer's if not given.
        """
        impact = Impact() if impact is None else impact
        first, fitted = len(DEPARTURES), reading.fitted
        spread = fitted.covariance[0, first:CHAIN, first:CHAIN]
        variance, ways = np.linalg.eigh(spread)
        steps = (ways * np.sqrt(np.maximum(variance, 0.0))).T
        own = fitted.numbers[0, first:CHAIN] + np.concatenate([np.zeros((1, len(steps))), steps])
        stature, female = (np.repeat(one, len(own)) for one in (known.stature, known.female))
        same = Known(stature, female, known.stature_sd)
        body, address = body_of(same, own[:, len(ADDRESS_MEAN_SD) :]), address_of(own[:, : len(ADDRESS_MEAN_SD)])
        film = Film.of(Golfers.at_address(body, address, (len(own),)), impact)
        shown = film.readings(np.arange(len(own)), np.zeros((len(own), len(DEPARTURES))))
        return cls(body[:1], address[:1], impact, np.asarray((shown[1:] - shown[0]).T))

    def diagnose(self, seen: Mapping[str, float], sd: Mapping[str, float]) -> Diagnosis:
        """The diagnosis of impact.

        Args:
            seen: name of ``READINGS`` to rad or m; at least one.
            sd: the standard deviation of each, rad or m, the usual one at impact where it is missing.

        Raises:
            TurnstillError: as of ``films.diagnose.diagnose``.
        """
        read = [k for k, name in enumerate(READINGS) if name in seen]
        own = [sd.get(name, USUAL_SD_AT_IMPACT[unit]) for name, unit in READINGS.items() if name in seen]
        noise = np.diag(np.square(own)) + self.by_unknown[read] @ self.by_unknown[read].T
        return diagnose(self.body, self.address, seen, reference=self.impact, covariance=noise)
