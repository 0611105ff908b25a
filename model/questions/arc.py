"""A clubhead's path about the ball: where it is lowest, and which way it goes where it passes the ball.

The path is known at a few points and taken as the polynomial through them at Chebyshev's points. Where it is smooth
between them that is as exact as the points are (Trefethen 2013, Approximation Theory and Approximation Practice, from
memory); where a joint's range begins or ends to act there it has a corner, which the polynomial rounds (how much it
then errs: docs/strike.md). From the path alone nothing is told of speed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.polynomial import chebyshev

from ..arrays import Array, BoolArray
from ..batch import Batch

POINTS = 16
"""Points of a path: the error of a smooth one is then far below a micrometre (tests)."""
NODES: Array = -np.cos(np.pi * (np.arange(POINTS) + 0.5) / POINTS)
"""Where along a path from -1 to 1 its points lie."""
_TO_SERIES: Array = np.asarray(np.linalg.inv(chebyshev.chebvander(NODES, POINTS - 1)), dtype=float)
_GRID: Array = np.linspace(-1.0, 1.0, 129)
_ON_GRID = chebyshev.chebvander(_GRID, POINTS - 1)
_NEWTON_STEPS = 6


@dataclass(frozen=True)
class Arc(Batch):
    """What a path of batch shape ``(...)`` is at its lowest point and at the ball.

    Attributes:
        low_ahead: m, lowest point beyond the ball, toward the target positive; NaN where the path has none.
        low_up: m, lowest point above the ground.
        up: m, clubhead above the ground where it passes the ball.
        out: m, clubhead beyond the ball there, away from the golfer positive.
        descent: rad, how much its way there goes down: up is negative.
        outward: rad, how much its way there goes off the target line, away from the golfer positive.
        slope: rad, inclination of the plane in which it turns there to the ground.
        descent_by_along, outward_by_along: rad per m that these grow along the path's way toward the target.
        passes: whether the path passes the ball.
    """

    low_ahead: Array
    low_up: Array
    up: Array
    out: Array
    descent: Array
    outward: Array
    slope: Array
    descent_by_along: Array
    outward_by_along: Array
    passes: BoolArray

    @classmethod
    def of(cls, path: Array) -> Arc:
        """The arc of a ``path (..., POINTS, 3)`` m from the ball at the `NODES`: toward ball, toward target, up.

        The ball lies on the ground.
        """
        batch = path.shape[:-2]
        series = np.einsum("kp,npi->kni", _TO_SERIES, path.reshape(-1, POINTS, 3))
        rate, bend = (np.asarray(chebyshev.chebder(series, order, axis=0), dtype=float) for order in (1, 2))
        grid = np.einsum("gk,kni->gni", _ON_GRID, series)
        count = series.shape[1]
        lowest = grid[:, :, 2].argmin(axis=0)
        inside = (lowest > 0) & (lowest < _GRID.size - 1)
        low = _root(_GRID[lowest], rate[:, :, 2], bend[:, :, 2])
        low_at = _value(series, low)
        before = grid[:, :, 1] <= 0.0
        passes = before[0] & ~before[-1]
        at = _root(_GRID[np.minimum(before.argmin(axis=0), _GRID.size - 1)], series[:, :, 1], rate[:, :, 1])
        here, going, turning = (_value(one, at) for one in (series, rate, bend))
        level = np.hypot(going[:, 0], going[:, 1])
        descent, outward = np.arctan2(-going[:, 2], level), np.arctan2(going[:, 0], going[:, 1])
        normal = np.cross(going, turning)
        # How both angles grow, by the way toward the target.
        level_rate = (going[:, 0] * turning[:, 0] + going[:, 1] * turning[:, 1]) / level
        by_descent = (going[:, 2] * level_rate - turning[:, 2] * level) / (level**2 + going[:, 2] ** 2)
        by_outward = (turning[:, 0] * going[:, 1] - going[:, 0] * turning[:, 1]) / level**2
        nowhere = np.full(count, np.nan)
        arc = cls(
            low_ahead=np.where(inside, low_at[:, 1], nowhere),
            low_up=np.where(inside, low_at[:, 2], nowhere),
            up=here[:, 2],
            out=here[:, 0],
            descent=descent,
            outward=outward,
            slope=np.arctan2(np.hypot(normal[:, 0], normal[:, 1]), np.abs(normal[:, 2])),
            descent_by_along=by_descent / going[:, 1],
            outward_by_along=by_outward / going[:, 1],
            passes=passes,
        )
        return arc.reshaped(batch)


def along(path: Array, at: Array) -> Array:
    """Where a ``path (N, POINTS, 3)`` m at the `NODES` is at the same ``at (n,)`` from -1 to 1 each, ``(N, n, 3)``."""
    series = np.einsum("kp,npi->kni", _TO_SERIES, path)
    return np.asarray(np.einsum("gk,kni->ngi", chebyshev.chebvander(at, POINTS - 1), series))


def _root(start: Array, series: Array, rate: Array) -> Array:
    """Where a ``series (k, N)`` of the given ``rate`` is zero, near ``start (N,)``: Newton."""
    at = start
    for _ in range(_NEWTON_STEPS):
        slope = _value(rate[:, :, None], at)[:, 0]
        step = _value(series[:, :, None], at)[:, 0] / np.where(slope == 0.0, np.inf, slope)
        at = np.clip(at - np.clip(step, -0.1, 0.1), -1.0, 1.0)
    return at


def _value(series: Array, at: Array) -> Array:
    """Each of ``series (k, N, i)`` at its own ``at (N,)``: ``(N, i)``."""
    return np.asarray(np.einsum("nk,kni->ni", chebyshev.chebvander(at, len(series) - 1), series))
