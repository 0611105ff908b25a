"""Standing: how far a piece is from its reference on a student's last film, from all the films there are.

The head of one film can be put right by many pieces, and most of them were not what moved it. What a piece itself does
changes only by what films showed was got of it. So a head that comes too far toward the target after feels of
extension says nothing of hips that were never too near to the target. The piece asked about is taken to be the one
that was at fault before the first film; the others then departed by no more than everybody's. With departures x of the
eight pieces, c what was got between two films and S how far each piece moves the head:

    x <- x + c,    head = S x + noise

All of it being normal, the departures after the last film are those of a Kalman filter (Kalman 1960, J. Basic Eng.
82:35-45, from memory). Radians and metres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..golfer.pieces import DEPARTURES, PIECES
from .dose import PRIOR, SCATTER, SLOPE_SD, Amount
from .fault_prior import AT_FAULT, FaultPrior

_SCATTER = np.array([SCATTER[PIECES[name].unit] for name in DEPARTURES])


@dataclass(frozen=True)
class Step:
    """One entry of a record, the oldest first.

    Attributes:
        piece: what was worked on; None for a film alone.
        change: what was got of it since the step before, rad or m; None for a film alone.
        head: ``(D,)`` m since address; nan where it was not read.
        head_sd: m, of each coordinate.
    """

    piece: str | None
    change: Amount | None
    head: Array
    head_sd: float


def change_read(piece: str, got: float, sd: float) -> Amount:
    """What a golfer's swing changed by, from what two films show of it: each is one swing, with its scatter."""
    return Amount(np.array(got), np.hypot(sd, np.sqrt(2.0) * SCATTER[PIECES[piece].unit]))


def change_expected(felt: float) -> Amount:
    """The same where nobody read the piece, from what was felt and what is believed of responses before any film."""
    return Amount(np.array(PRIOR.mean * felt), np.array(PRIOR.sd * abs(felt)))


def standing(steps: Sequence[Step], slopes: Array, piece: str, prior: FaultPrior | None = None) -> Amount:
    """How far a piece departs from its reference after the last step, if it was the one at fault before the first.

    Args:
        steps: the oldest first.
        slopes: ``(8, D)`` m per rad or m of each of ``DEPARTURES``.
        piece: which of them.
        prior: how far pieces depart, at fault or not.
    """
    prior, k = prior or FaultPrior(), DEPARTURES.index(piece)
    mean, own = np.zeros(len(DEPARTURES)), np.array([prior.spike[name] for name in DEPARTURES])
    own[k] = prior.slab[piece]
    covariance = np.diag(own**2)
    # What is worked on slips or goes on by itself from film to film; what nobody touches stays a habit.
    moving = np.array([name == piece or any(step.piece == name for step in steps) for name in DEPARTURES])
    for number, step in enumerate(steps):
        if number:
            covariance += np.diag(np.where(moving, _SCATTER, 0.0) ** 2)
        if step.piece is not None and step.change is not None:
            worked = DEPARTURES.index(step.piece)
            mean[worked] += step.change.mean
            covariance[worked, worked] += step.change.sd**2
        seen = np.isfinite(step.head)
        if seen.any():
            mean, covariance = _seen(mean, covariance, step.head[seen], step.head_sd, slopes[:, seen])
    return Amount(mean[k], np.sqrt(covariance[k, k]))


def _seen(mean: Array, covariance: Array, head: Array, sd: float, slopes: Array) -> tuple[Array, Array]:
    """Departures and their covariance after a reading of the head."""
    # Of reading, of one swing, and of how far the pieces move this golfer's head.
    noise = np.diag(sd**2 + np.square(SLOPE_SD * head)) + (slopes.T * _SCATTER**2) @ slopes
    gain = np.linalg.solve(slopes.T @ covariance @ slopes + noise, slopes.T @ covariance).T
    return mean + gain @ (head - slopes.T @ mean), covariance - gain @ slopes.T @ covariance


def within_reach(missing: Amount, stands: Amount, piece: str) -> Amount:
    """As much of what is missing as takes the piece to its reference, and no farther than everybody departs from it.

    Args:
        missing: what would bring the head nearest, rad or m.
        stands: how far the piece is from its reference now.
        piece: which it is.
    """
    way = np.sign(missing.mean)
    short = -way * stands.mean
    most = np.maximum(short + SCATTER[PIECES[piece].unit], 0.0)
    return Amount(way * np.minimum(np.abs(missing.mean), most), missing.sd)


def fault_from(piece: str, prior: FaultPrior | None = None) -> float:
    """The departure, rad or m, from which on a piece is more probably at fault than not, were it read exactly."""
    from scipy.optimize import brentq  # Half a second, and only for a record.

    prior = prior or FaultPrior()
    at_fault = float((np.exp(prior.log_probability) @ AT_FAULT)[DEPARTURES.index(piece)])
    left = float(prior.left[AT_FAULT.sum(axis=1) == 1][0])
    spike, slab = prior.spike[piece], prior.slab[piece]

    def odds(departure: float) -> float:
        hole = np.square(-np.expm1(-0.5 * np.square(departure / (prior.hole * slab)))) / left
        fault = np.log(at_fault * hole) + _log_density(departure, slab)
        return float(fault - np.log1p(-at_fault) - _log_density(departure, spike))

    return float(brentq(odds, 0.1 * spike, 10.0 * spike))


def _log_density(departure: float, sd: float) -> float:
    """Of a normal distribution about zero, without its constant."""
    return float(-0.5 * np.square(departure / sd) - np.log(sd))
