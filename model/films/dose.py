"""Dose: how much of a feel to ask for, from what earlier feels gave.

A golfer who is asked to feel 15 degrees more of a piece shows some part of that on film. The part is the golfer's
response, degrees got for each degree felt, one number a piece:

    got = response * felt + noise,   noise ~ N(0, sd^2),   responses ~ N(mean, K)

With the noise's sd known the posterior is normal too (the conjugate normal linear model, for example Gelman et al.,
Bayesian Data Analysis, 3rd ed. 2013, ch. 14; from memory):

    precision = K^-1 + sum of f f^T / sd^2,   mean = precision^-1 (K^-1 prior mean + sum of f got / sd^2)

f being the feel in the place of its piece. The prior's numbers, the scatter and the caps are ASSUMPTIONS without a
published source: common practice says only that a feel must be exaggerated.

Amounts are radians and metres; a response is a plain ratio.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..arrays import Array, ArrayLike, BoolArray
from ..golfer.pieces import DEPARTURES, PIECES

SCATTER = {"deg": float(np.radians(2.0)), "cm": 0.0075}
"""sd of a piece from one swing of a golfer to the next, rad and m (assumption: nobody repeats a swing exactly)."""
FEEL_CAP = {"deg": float(np.radians(20.0)), "cm": 0.06}
"""The largest feel that is advised at once, rad and m (assumption: caution, no published source)."""
LEAST_SURE = 0.8
"""A feel is only dosed where the response is above zero with this probability (our choice)."""
SLOPE_SD = 0.15
"""Relative sd of how far a piece moves this golfer's head, the body being known from height, mass and sex only (our
choice; over 300 drawn bodies it was 0.09 for tilt and extension and up to 0.23 for the others that move it well)."""
LEAST_SLOPE = {"deg": float(0.001 / np.radians(1.0)), "cm": 0.1}
"""A piece that moves the head less than this face-on, m per rad or m (0.1 cm per degree or cm), is not dosed by the
head (our choice)."""
Z90 = 1.6448536269514722
"""A normal distribution holds 90 % within so many sd of its mean."""
_ERFC = np.vectorize(math.erfc, otypes=[float])


@dataclass(frozen=True)
class Prior:
    """What is believed of a golfer's responses before any film; all three numbers are assumptions.

    Attributes:
        mean: expected response of every piece.
        sd: its standard deviation.
        alike: correlation between the responses of two pieces of one golfer.
    """

    mean: float = 0.4
    sd: float = 0.25
    alike: float = 0.5

    def covariance(self, count: int) -> Array:
        """K ``(count, count)``."""
        return np.asarray(self.sd**2 * (self.alike + (1.0 - self.alike) * np.eye(count)))


PRIOR = Prior()


@dataclass(frozen=True)
class Responses:
    """A golfer's responses; batch shape ``...``, P pieces.

    Attributes:
        mean: ``(..., P)``.
        covariance: ``(..., P, P)``.
        surprise: ``(..., N)`` how many sd each film is from what all the others expect of it.
    """

    mean: Array
    covariance: Array
    surprise: Array

    @property
    def sd(self) -> Array:
        """``(..., P)``."""
        return np.sqrt(np.diagonal(self.covariance, axis1=-2, axis2=-1))


def responses(
    piece: ArrayLike, felt: ArrayLike, got: ArrayLike, sd: ArrayLike, count: int = len(DEPARTURES), prior: Prior = PRIOR
) -> Responses:
    """Posterior of a golfer's responses after N films.

    Args:
        piece: ``(..., N)`` which piece was worked on, 0 to ``count`` - 1.
        felt: ``(..., N)`` what was asked for, rad or m since the film before.
        got: ``(..., N)`` what the film shows of it, same unit.
        sd: ``(..., N)`` noise of that, same unit, above zero.
        count: P, how many pieces there are.
        prior: belief before the first film.
    """
    noise = np.asarray(sd, dtype=float)
    weighed = np.asarray(got, dtype=float) / noise
    where = (np.asarray(piece)[..., None] == np.arange(count)).astype(float)
    design = where * (np.asarray(felt, dtype=float) / noise)[..., None]
    start = np.linalg.inv(prior.covariance(count))
    covariance = np.linalg.inv(start + np.swapaxes(design, -1, -2) @ design)
    told = start @ np.full(count, prior.mean) + (design * weighed[..., None]).sum(axis=-2)
    mean = (covariance @ told[..., None])[..., 0]
    # Leaving a film out of a linear model needs no second fit: its residual grows by 1 / (1 - leverage).
    leverage = np.einsum("...np,...pq,...nq->...n", design, covariance, design)
    residual = weighed - (design @ mean[..., None])[..., 0]
    return Responses(mean, covariance, residual / np.sqrt(np.maximum(1.0 - leverage, 1e-12)))


@dataclass(frozen=True)
class Amount:
    """An amount of a piece with its standard deviation, rad or m; any batch shape."""

    mean: Array
    sd: Array


def got_from_head(moved: Array, head_sd: ArrayLike, slopes: Array, piece: str) -> Amount:
    """How much a piece must have changed between two films for the head to move like that.

    Generalised least squares: the other pieces are held to have changed by no more than a golfer's scatter from swing
    to swing.

    Args:
        moved: ``(..., D)`` m, from the film before to this one.
        head_sd: ``(...)`` m, sd of each coordinate of that difference.
        slopes: ``(8, D)`` m per rad or m of each of ``DEPARTURES``.
        piece: which of them was worked on.
    """
    scatter = np.array([SCATTER[PIECES[name].unit] for name in DEPARTURES])
    k = DEPARTURES.index(piece)
    own, others = slopes[k], np.delete(slopes * scatter[:, None], k, axis=0)
    noise = np.square(np.asarray(head_sd, dtype=float))[..., None, None] * np.eye(own.size)
    # Two swings, so the scatter of both.
    weighed = np.linalg.solve(noise + 2.0 * others.T @ others, own[:, None])[..., 0]
    information = weighed @ own
    mean = (weighed * moved).sum(axis=-1) / information
    return Amount(np.asarray(mean), np.sqrt(1.0 / information + np.square(SLOPE_SD * mean)))


def missing_for_head(head: Array, head_sd: ArrayLike, slope: Array) -> Amount:
    """How much more of one piece would bring the head nearest to its place, whatever moved it, all else as it was.

    Args:
        head: ``(..., D)`` m since address, as read.
        head_sd: ``(...)`` m, of each coordinate.
        slope: ``(D,)`` m per rad or m of the piece; not all zero.
    """
    square = float(slope @ slope)
    mean = -(head @ slope) / square
    sd = np.sqrt(np.square(np.asarray(head_sd, dtype=float)) / square + np.square(SLOPE_SD * mean))
    return Amount(np.asarray(mean), sd)


@dataclass(frozen=True)
class Dose:
    """The next feel; any batch shape, rad or m.

    Attributes:
        feel: what to ask for, counted from the last film; zero where ``shown`` is false.
        best: the same before the cap.
        got: what to expect of it on film.
        left: what will then be missing.
        shown: whether the response is above zero with probability ``LEAST_SURE``.
    """

    feel: Array
    best: Array
    got: Amount
    left: Amount
    shown: BoolArray


def next_feel(missing: Amount, response: Amount, cap: ArrayLike, noise: ArrayLike = 0.0) -> Dose:
    """The feel that leaves the least expected square of what is missing.

    With missing m and a response of mean r and sd s, independent, E[(missing - response * feel)^2] is least at
    feel = m r / (r^2 + s^2). So a response not yet known asks for less than m / r.

    Args:
        missing: rad or m.
        response: a plain ratio.
        cap: the largest feel, rad or m.
        noise: sd of what a film shows of a feel besides the response's own.
    """
    ratio, sd = np.asarray(response.mean, dtype=float), np.asarray(response.sd, dtype=float)
    shown = _below(ratio / sd) >= LEAST_SURE
    best = np.where(shown, missing.mean * ratio / (ratio**2 + sd**2), 0.0)
    most = np.asarray(cap, dtype=float)
    feel = np.clip(best, -most, most)
    spread = np.square(sd * feel)
    return Dose(
        feel=feel,
        best=best,
        got=Amount(ratio * feel, np.sqrt(spread + np.square(noise))),
        left=Amount(missing.mean - ratio * feel, np.sqrt(spread + np.square(missing.sd))),
        shown=np.asarray(shown),
    )


def way_sure(missing: Amount) -> Array:
    """Probability that what is missing has the sign that it is said to have."""
    return _below(np.abs(missing.mean) / missing.sd)


def chance_past(missing: Amount, way: ArrayLike, still: ArrayLike) -> Array:
    """Probability that a film went past its goal by more than is still.

    Args:
        missing: what is missing on that film, rad or m.
        way: +1 or -1, the way the feels have gone.
        still: so much past the goal still counts as there, rad or m.
    """
    beyond = -np.asarray(way, dtype=float) * missing.mean - np.asarray(still, dtype=float)
    return _below(beyond / missing.sd)


def _below(score: Array) -> Array:
    """Probability that a standard normal number is below a score."""
    # scipy has this faster, but takes a quarter of a second to be there.
    return np.asarray(0.5 * _ERFC(-np.asarray(score) / math.sqrt(2.0)), dtype=float)
