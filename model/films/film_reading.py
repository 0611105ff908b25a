"""From a fit of films to readings, and to the diagnosis that reads them back into faults.

The fit has a belief of its own about departures, a wide Gaussian, and the diagnosis another, of faults. So that the
films are not read twice with a belief, the fit's is taken out again: with m and C the departures as fitted and their
covariance (in standard deviations of that belief, which is then the identity), what the films alone say is Gaussian of

    precision  L = C^-1 - 1    about    x = L^-1 C^-1 m

(both from the quotient of two Gaussians). The diagnosis is handed the readings that a golfer of the fitted body and
address would show there, r(m) + J (x - m), with the covariance J L^-1 J': what is unknown of body, address and camera
is in it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array, BoolArray
from ..golfer.address import Address
from ..golfer.body import Body
from ..golfer.pieces import DEPARTURES, Pieces
from .diagnose import Diagnosis, diagnose
from .film_fit import FilmFit, fit
from .film_noise import FilmNoise
from .film_problem import Seen
from .filmed_golfer import ADDRESS_MEAN_SD, CHAIN, DEPARTURE_SD, Known, address_of, body_of
from .readings import READINGS

LEAST_PRECISION = 1e-3
"""Of what the films say of any departure, in that of the fit's belief: less is nothing."""
STRAIGHT = np.array([0.0002 if unit == "cm" else np.radians(0.05) for unit in READINGS.values()])
"""m and rad: no reading is better than this; the chain is not straight."""
MOST_SD = {"cm": 0.025, "deg": float(np.radians(10.0))}
"""m and rad: a reading that films leave less sure than this is not told by them (assumption: half a usual fault)."""
FITS_ABOVE = 0.001
"""Films that a golfer would show less often than this are not of such a golfer."""
_PIECES = len(DEPARTURES)


@dataclass(frozen=True)
class Reading:
    """What the films of ``S`` swings say.

    Attributes:
        fitted: golfers and cameras.
        body, address: as fitted.
        value, sd: ``(S, 13)`` rad and m, the readings of ``READINGS`` and how sure each is, the belief in faults
            included.
        by_films: ``(S, 13)`` rad and m, how sure each would be with the fit's own wide belief in the place of faults.
        pieces, pieces_sd: ``(S, 8)`` rad and m, what the pieces come to at the top, likewise.
        alone, alone_covariance: ``(S, 13)`` and ``(S, 13, 13)`` what the films alone say, for the diagnosis.
        of_a_golfer: ``(S,)`` whether a golfer would show such films more often than once in a thousand.
        diagnosis: faults.
    """

    fitted: FilmFit
    body: Body
    address: Address
    value: Array
    sd: Array
    by_films: Array
    pieces: Array
    pieces_sd: Array
    alone: Array
    alone_covariance: Array
    of_a_golfer: BoolArray
    diagnosis: Diagnosis

    @property
    def told(self) -> BoolArray:
        """``(S, 13)`` which readings the films themselves tell: the others rest on what is believed of faults."""
        most = np.array([MOST_SD[unit] for unit in READINGS.values()])
        return np.asarray(self.by_films < most)

    @property
    def departures(self) -> Array:
        """``(S, 8)`` rad and m: the mean of all hypotheses of the diagnosis, faults or not."""
        hypotheses = self.diagnosis.hypotheses
        return np.asarray(np.einsum("sh,shp->sp", self.diagnosis.weight, hypotheses.departures))


def read(known: Known, films: Seen, noise: FilmNoise | None = None, reference: Pieces | None = None) -> Reading:
    """Read the films of ``S`` swings.

    Args:
        known: of the golfers.
        films: what they show.
        noise: of the detector.
        reference: the turn departures are counted from, the centred pivot if not given.
    """
    from scipy.special import chdtrc  # A quarter of a second, and only for a film.

    fitted = fit(known, films, noise, reference)
    own = fitted.numbers[:, :CHAIN]
    body = body_of(known, own[:, _PIECES + len(ADDRESS_MEAN_SD) :])
    address = address_of(own[:, _PIECES : _PIECES + len(ADDRESS_MEAN_SD)])
    chain, alone, covariance = _films_alone(fitted)
    diagnosis = diagnose(
        body, address, {name: alone[:, k] for k, name in enumerate(READINGS)}, reference=reference,
        covariance=covariance, chain=chain,
    )  # fmt: skip
    value, sd = _with_faults(fitted.pose.shown, fitted.by_chain, fitted, diagnosis)
    pieces, pieces_sd = _with_faults(fitted.pose.amounts, fitted.amounts_by_chain, fitted, diagnosis)
    of_a_golfer = chdtrc(np.maximum(fitted.seen, 1).astype(float), fitted.misfit) >= FITS_ABOVE
    joint = fitted.covariance[:, :CHAIN, :CHAIN]
    by_films = np.sqrt(np.einsum("srk,skl,srl->sr", fitted.by_chain, joint, fitted.by_chain) + STRAIGHT**2)
    return Reading(
        fitted, body, address, value, np.hypot(sd, STRAIGHT), by_films, pieces, pieces_sd, alone, covariance,
        np.asarray(of_a_golfer), diagnosis,
    )  # fmt: skip


def _with_faults(at: Array, by_chain: Array, fitted: FilmFit, diagnosis: Diagnosis) -> tuple[Array, Array]:
    """What golfers show with the diagnosis' belief about departures in the place of the fit's: mean and sd ``(S, n)``.

    Given departures d, what is unknown besides goes with them as in the fit: with V the covariance of readings and
    departures there, ``r = r(m) + V C^-1 (d - m)``; d is then distributed as the mixture of all hypotheses has it.

    Args:
        at: ``(S, n)`` rad and m, as fitted.
        by_chain: ``(S, n, 23)`` their slopes.
        fitted: the fit.
        diagnosis: of the same swings.
    """
    joint = fitted.covariance[:, :CHAIN, :CHAIN]
    own, mean = joint[:, :_PIECES, :_PIECES], fitted.numbers[:, :_PIECES]
    with_pieces = by_chain @ joint[:, :, :_PIECES]
    gain = with_pieces @ np.linalg.inv(own)
    weight, every = diagnosis.weight, diagnosis.hypotheses.departures / DEPARTURE_SD
    middle = np.einsum("sh,shp->sp", weight, every)
    off = every - middle[:, None]
    within = np.einsum("sh,shpq->spq", weight, diagnosis.hypotheses.covariance / np.outer(DEPARTURE_SD, DEPARTURE_SD))
    spread = within + np.einsum("sh,shp,shq->spq", weight, off, off)
    variance = by_chain @ joint @ np.swapaxes(by_chain, -1, -2) + gain @ (spread - own) @ np.swapaxes(gain, -1, -2)
    value = at + (gain @ (middle - mean)[..., None])[..., 0]
    return value, np.sqrt(np.maximum(np.einsum("srr->sr", variance), 0.0))


@dataclass(frozen=True)
class Straightened:
    """The chain of ``S`` golfers straightened about their fits.

    Attributes:
        there: ``(S, 8)`` rad and m, departures as fitted.
        shown: ``(S, 13)`` rad and m, the readings there.
        slopes: ``(S, 13, 8)``.
    """

    there: Array
    shown: Array
    slopes: Array

    def readings_and_slopes(self, golfer: NDArray[np.intp], departures: Array) -> tuple[Array, Array]:
        """Readings ``(N, 13)`` of departures ``(N, 8)``, and how they grow with each ``(N, 13, 8)``."""
        slopes = self.slopes[golfer]
        off = departures - self.there[golfer]
        return self.shown[golfer] + (slopes @ off[..., None])[..., 0], slopes.copy()


def _films_alone(fitted: FilmFit) -> tuple[Straightened, Array, Array]:
    """The chain straightened, and readings ``(S, 13)`` and their covariance ``(S, 13, 13)``, rad and m, without the
    fit's belief.
    """
    mean = fitted.numbers[:, :_PIECES]
    precise = np.linalg.inv(fitted.covariance[:, :_PIECES, :_PIECES])
    by_films, ways = np.linalg.eigh(precise - np.eye(_PIECES))
    by_films = np.maximum(by_films, LEAST_PRECISION)
    # Along each way: x = C^-1 m / (C^-1 - 1).
    pull = (np.swapaxes(ways, -1, -2) @ (precise @ mean[..., None]))[..., 0] / by_films
    there = (ways @ pull[..., None])[..., 0]
    chain = Straightened(mean * DEPARTURE_SD, fitted.pose.shown, fitted.by_chain[:, :, :_PIECES] / DEPARTURE_SD)
    alone, jacobian = chain.readings_and_slopes(np.arange(len(mean)), there * DEPARTURE_SD)
    half = (jacobian * DEPARTURE_SD @ ways) / np.sqrt(by_films)[:, None]
    return chain, alone, half @ np.swapaxes(half, -1, -2) + np.diag(STRAIGHT**2)


def departures_of(fitted: FilmFit) -> tuple[Array, Array]:
    """Departures as fitted with the wide belief, and their standard deviations ``(S, 8)`` rad and m."""
    spread = np.sqrt(np.einsum("sii->si", fitted.covariance[:, :_PIECES, :_PIECES]))
    return fitted.numbers[:, :_PIECES] * DEPARTURE_SD, spread * DEPARTURE_SD
