"""Fitting every hypothesis about a golfer's faults to what the films show, on the true chain.

Under a hypothesis the departures ``d`` have a Gaussian prior of variance ``D``, and the readings are ``f(d)`` plus
noise of covariance ``R``. Gauss-Newton minimises

    1/2 (y - f(d))^T R^-1 (y - f(d))  +  1/2 d^T D^-1 d

and Laplace's approximation about the minimum gives the evidence (MacKay 2003, Information Theory, Inference, and
Learning Algorithms, ch. 27, from memory): with the slopes J there and ``S = J D J^T + R``, the logarithm is minus the
minimum, less half the logarithm of ``|S|`` and a constant of the readings. Hypotheses that fall far behind are not
followed further.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array
from ..golfer.pieces import DEPARTURES

MOST_ITERATIONS = 8
FOLLOWED = (10.0, 6.0)
"""A hypothesis whose evidence is smaller than the best one's by more than these powers of e is left where it is: after
the first, linear look, and later (six powers of e are one in 400)."""
SETTLED = 0.1
"""A step of less than so many prior spreads of every departure is the last."""


class Shows(Protocol):
    """What films show of departures."""

    def readings_and_slopes(self, golfer: NDArray[np.intp], departures: Array) -> tuple[Array, Array]:
        """Readings ``(N, 13)`` rad and m of ``departures (N, 8)``, and how they grow with each ``(N, 13, 8)``."""


@dataclass(frozen=True)
class Fit:
    """Every hypothesis fitted to every swing; ``S`` swings, ``H`` hypotheses.

    Attributes:
        departures: ``(S, H, 8)`` rad and m, the most probable.
        covariance: ``(S, H, 8, 8)``.
        log_evidence: ``(S, H)`` up to a constant of each swing.
        misfit: ``(S, H)`` twice the minimum: of chi-squared distribution, with as many degrees of freedom as there
            are readings, if the hypothesis holds and ``f`` is straight.
        shown: ``(S, H, 13)`` rad and m, what films would show of those departures.
        slopes: ``(S, H, 13, 8)``.
    """

    departures: Array
    covariance: Array
    log_evidence: Array
    misfit: Array
    shown: Array
    slopes: Array


def fit(
    film: Shows,
    seen: Array,
    read: NDArray[np.intp],
    noise: Array,
    variance: Array,
    log_prior: Array,
    hopeless: float = np.inf,
) -> Fit:
    """Fit every hypothesis to every swing.

    Args:
        film: ``S`` golfers.
        seen: ``(S, m)`` rad and m, the readings.
        read: ``(m,)`` which of ``READINGS`` they are.
        noise: ``(S, m, m)`` their covariance.
        variance: ``(H, 8)`` prior variance of the departures.
        log_prior: ``(H,)`` what a hypothesis is followed for, besides its evidence; infinite for one that is followed
            in any case and that the others need not keep up with: one of the widest variances, so that none fits
            better.
        hopeless: when that one has settled with a larger ``misfit``, the others of its swing are not followed further.
    """
    swings, hypotheses = len(seen), len(variance)
    swing, hypothesis = np.divmod(np.arange(swings * hypotheses), hypotheses)
    spread = variance[hypothesis]
    # All hypotheses start from no departure at all, which is one evaluation for each swing.
    at = np.zeros((swing.size, len(DEPARTURES)))
    shown, slopes = (part[swing] for part in film.readings_and_slopes(np.arange(swings), at[:swings]))
    line = _straight(at, shown, slopes, seen[swing], read, noise[swing], spread)
    value = _value(at, shown, seen[swing], read, noise[swing], spread)
    look, trial, given_up = np.arange(swing.size), line.minimum, np.zeros(swings, dtype=bool)

    for followed in (FOLLOWED[0], *[FOLLOWED[1]] * (MOST_ITERATIONS - 1)):
        likely = (line.log_evidence.reshape(swings, hypotheses) + log_prior).reshape(-1)
        best = likely.reshape(swings, hypotheses)[:, np.isfinite(log_prior)].max(axis=1)
        unsettled = (np.abs(trial - at[look]) / np.sqrt(spread[look])).max(axis=1) > SETTLED
        settled = look[~unsettled & np.isinf(log_prior[hypothesis[look]])]
        given_up[swing[settled]] = line.misfit[settled] > hopeless
        go_on = unsettled & (likely[look] > best[swing[look]] - followed) & ~given_up[swing[look]]
        look, trial = look[go_on], trial[go_on]
        if look.size == 0:
            break
        tried, by_piece = film.readings_and_slopes(swing[look], trial)
        tried_value = _value(trial, tried, seen[swing[look]], read, noise[swing[look]], spread[look])
        better = tried_value <= value[look]
        new, stay = look[better], look[~better]
        # A step that leads up has met the end of a range, where the chain bends: its slope along the step was wrong.
        step = trial[~better] - at[stay]
        slopes[stay] += _slope_missed(step, tried[~better] - shown[stay], slopes[stay], spread[stay])
        at[new], value[new] = trial[better], tried_value[better]
        shown[new], slopes[new] = tried[better], by_piece[better]
        line.put(
            look,
            _straight(at[look], shown[look], slopes[look], seen[swing[look]], read, noise[swing[look]], spread[look]),
        )
        trial = line.minimum[look]
    # What has not settled is taken to be at the best that was tried.
    line.stay(look, at[look], value[look])
    shown = shown + (slopes @ (line.minimum - at)[..., None])[..., 0]

    def by_swing(values: Array) -> Array:
        return values.reshape(swings, hypotheses, *values.shape[1:])

    parts = (line.minimum, line.covariance, line.log_evidence, line.misfit, shown, slopes)
    return Fit(*(by_swing(part) for part in parts))


@dataclass(frozen=True)
class _Straight:
    """The chain straightened at a point: where the minimum is, and what the evidence would be; ``N`` of them."""

    minimum: Array
    covariance: Array
    log_evidence: Array
    misfit: Array

    def put(self, index: NDArray[np.intp], new: _Straight) -> None:
        """Replace some, in place."""
        for name in ("minimum", "covariance", "log_evidence", "misfit"):
            getattr(self, name)[index] = getattr(new, name)

    def stay(self, index: NDArray[np.intp], at: Array, value: Array) -> None:
        """Take some to be where they are, with twice the minimised ``value`` found there, in place."""
        self.log_evidence[index] += 0.5 * (self.misfit[index] - value)
        self.minimum[index], self.misfit[index] = at, value


def _straight(
    at: Array, shown: Array, slopes: Array, seen: Array, read: NDArray[np.intp], noise: Array, variance: Array
) -> _Straight:
    """The exact answer for a chain that were straight, with these ``slopes`` about ``at``."""
    jacobian = slopes[:, read]
    spread = jacobian * variance[:, None, :]
    total = spread @ jacobian.swapaxes(-1, -2) + noise
    off = seen - shown[:, read] + (jacobian @ at[..., None])[..., 0]
    solved = np.linalg.solve(total, np.concatenate([off[..., None], spread], axis=-1))
    misfit = (off * solved[..., 0]).sum(axis=-1)
    _, log_size = np.linalg.slogdet(total)
    return _Straight(
        minimum=(spread.swapaxes(-1, -2) @ solved[..., :1])[..., 0],
        covariance=variance[:, :, None] * np.eye(at.shape[1]) - spread.swapaxes(-1, -2) @ solved[..., 1:],
        log_evidence=-0.5 * (misfit + log_size),
        misfit=misfit,
    )


def _slope_missed(step: Array, change: Array, slopes: Array, variance: Array) -> Array:
    """What to add to ``slopes (N, 13, 8)`` so that they explain the ``change (N, 13)`` made by ``step (N, 8)``.

    The smallest such change (Broyden 1965, Math. Comput. 19:577-593), each departure measured by its prior spread.
    """
    missed = change - (slopes @ step[..., None])[..., 0]
    along = step / variance
    return np.asarray(missed[..., None] * (along / (step * along).sum(axis=-1, keepdims=True))[:, None])


def _value(at: Array, shown: Array, seen: Array, read: NDArray[np.intp], noise: Array, variance: Array) -> Array:
    """Twice what is minimised ``(N,)``."""
    off = seen - shown[:, read]
    by_noise = np.linalg.solve(noise, off[..., None])[..., 0]
    return np.asarray((off * by_noise).sum(axis=-1) + (at**2 / variance).sum(axis=-1))
