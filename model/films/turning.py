"""When the hands turn round at the top, by where the wrists were about it.

They come to rest at one instant and leave at another, the same or later. Before, each wrist's coordinate goes by
``a s^2 + b s^3`` of the time s still to go, afterwards by another such pair of the time gone since; in between it
rests. Of pairs of instants on a grid each is a linear problem with a closed form (Bayesian regression with a normal
and inverse-gamma prior: Gelman et al., Bayesian Data Analysis, 3rd ed 2013, ch. 14; from memory); the mean over all of
them, by how probable they are, is the answer, and their spread is how sure it is.

What a detector is off by lasts for some time, which is more frames the more there are a second. So its covariance is
one of time: many frames a second tell hardly more than few, and are not believed to.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array
from .swaps import medians
from .tracks import KEYPOINTS, Track

STEP = 0.0125
"""s between instants of the grid."""
LONGEST_REST = 0.8
"""s that hands rest at the top, at most."""
USUAL_REST = 0.1
"""s, of the exponential distribution of rests that is believed in before the film (assumption)."""
LATEST = 1.6
"""s before the hands are fastest from which on they may leave the top: beyond what any swing takes, so that a film
whose rate of frames is wrong shows it."""
NOISE_SD, NOISE_KNOWN = 0.04, 5.0
"""Torso lengths per axis, 2 cm, that a wrist's place varies by, and as how many pairs of coordinates that counts beside
those of the film (assumptions: detectors guess wrists at the top)."""
LASTS, LASTING = 0.06, 0.9
"""s for which what a wrist is off by lasts, and its share of the variance; the rest is new in each frame (by
trying)."""
USUAL_DOWN, DOWN_SD = 0.23, 0.4
"""s from leaving the top to being fastest, and the standard deviation of its logarithm, before the film (common
practice: a quarter; down the line a fifth is seen): half or twice as long is unusual, not impossible."""
ACCELERATION = (12.0, 60.0, 25.0, 150.0)
"""a and b before and after, standard deviations in torso lengths by s^2 and s^3, where the noise is as believed
(assumption: a backswing of a second and a way down of a quarter have some 2 and 20 by s^2). They go with the noise:
of tracks with hardly any the top is found some 15 ms early."""
LEAVING = 0.75
"""Of the way from coming to rest to leaving, where the top is said to be: hands leave it faster than they come, and
slow ones seem to rest before they do (by trying)."""
ASTRAY = 0.25
"""Torso lengths from the median of three frames beyond which a wrist is taken as not seen."""
FEWEST = 4
"""Frames in which a wrist must be seen to count."""
_WRISTS = [KEYPOINTS.index("left_wrist"), KEYPOINTS.index("right_wrist")]


@dataclass(frozen=True)
class Turning:
    """Instants in s since a track's first frame, with their standard deviations.

    Attributes:
        top, top_sd: the hands turn round.
        arrive, arrive_sd: they come to rest.
        leave: they leave.
    """

    top: float
    top_sd: float
    arrive: float
    arrive_sd: float
    leave: float


def turning(track: Track, first: int, last: int, fastest: int) -> Turning | None:
    """When the hands turn round, None where the wrists are not seen often enough.

    Args:
        track: of a film.
        first: frame of the track from which on the hands are high, without interruption.
        last: of these frames.
        fastest: frame in which they are fastest afterwards.
    """
    end, wide = fastest / track.fps, LATEST + LONGEST_REST
    first = max(0, first - 1, int((end - wide) * track.fps) - 1)
    last = min(track.frames - 1, last + 1)
    early = max(first / track.fps, end - wide)
    grid = np.arange(early, max(early, min(last / track.fps, end)) + 0.5 * STEP, STEP)
    arrive, leave = np.triu_indices(grid.size)
    rest = grid[leave] - grid[arrive]
    possible = (rest <= LONGEST_REST) & (grid[leave] >= end - LATEST)
    arrive, leave, rest = arrive[possible], leave[possible], rest[possible]
    down = np.log(np.maximum(end - grid[leave], STEP) / USUAL_DOWN) / DOWN_SD
    log_odds = -rest / USUAL_REST - 0.5 * down**2
    left, count = np.full(rest.size, NOISE_KNOWN * NOISE_SD**2), 0
    for seconds, places in _wrists(track, first, last):
        determinant, squares = _fits(seconds, places, grid, arrive, leave)
        log_odds = log_odds - determinant
        left, count = left + 0.5 * squares, count + places.size
    if not count or not arrive.size:
        return None
    log_odds = log_odds - (NOISE_KNOWN + 0.5 * count) * np.log(left)
    weight = np.exp(log_odds - log_odds.max())
    weight /= weight.sum()

    def told(instant: Array) -> tuple[float, float]:
        mean = float(weight @ instant)
        return mean, float(np.sqrt(weight @ (instant - mean) ** 2 + STEP**2 / 12.0))

    top, came = (1.0 - LEAVING) * grid[arrive] + LEAVING * grid[leave], told(grid[arrive])
    return Turning(*told(top), *came, told(grid[leave])[0])


def _wrists(track: Track, first: int, last: int) -> Iterator[tuple[Array, Array]]:
    """Of each wrist that is seen when, s ``(n,)``, and where, torso lengths from its mean ``(n, 2)``."""
    places = track.places[:, _WRISTS] / track.torso
    astray = np.linalg.norm(places - medians(places, 1), axis=-1) > ASTRAY
    for k in range(len(_WRISTS)):
        known = np.isfinite(places[first : last + 1, k]).all(axis=-1) & ~astray[first : last + 1, k]
        if known.sum() >= FEWEST:
            own = places[first : last + 1, k][known]
            yield (first + np.flatnonzero(known)) / track.fps, own - own.mean(axis=0)


def _fits(
    seconds: Array, places: Array, grid: Array, arrive: NDArray[np.intp], leave: NDArray[np.intp]
) -> tuple[Array, Array]:
    """How well each pair of instants goes with a wrist: what its evidence loses by the determinants, and the squares
    left over ``(P,)``, torso lengths squared.

    Args:
        seconds: ``(n,)`` s.
        places: ``(n, 2)`` torso lengths.
        grid: ``(T,)`` s, instants.
        arrive: ``(P,)`` which of them the hands come to rest at.
        leave: ``(P,)`` which they leave at.
    """
    apart = np.abs(seconds[:, None] - seconds)
    noise = LASTING * np.exp(-apart / LASTS) + (1.0 - LASTING) * np.eye(seconds.size)
    before, after = np.minimum(seconds[:, None] - grid, 0.0), np.maximum(seconds[:, None] - grid, 0.0)
    powers = (before**2, before**3, after**2, after**3)
    # In standard deviations of the noise, so that what is believed of each coefficient has variance one.
    columns = [size / NOISE_SD * power for size, power in zip(ACCELERATION, powers, strict=True)]
    level = np.full((seconds.size, 1), 10.0 / NOISE_SD)
    white = np.linalg.solve(np.linalg.cholesky(noise), np.concatenate([level, *columns, places], axis=1))
    every = white.T @ white
    count = grid.size
    own = [1 + k * count + (arrive if k < 2 else leave) for k in range(len(powers))]
    which = np.stack([np.zeros_like(arrive), *own], axis=-1)
    gram = every[which[:, :, None], which[:, None]] + np.eye(5)
    pull = every[which][..., -2:]
    half = np.linalg.cholesky(gram)
    explained = (np.linalg.solve(gram, pull) * pull).sum(axis=(-2, -1))
    # A determinant for each axis of the picture, half of its logarithm each.
    return 2.0 * np.log(np.einsum("pii->pi", half)).sum(axis=-1), np.trace(every[-2:, -2:]) - explained
