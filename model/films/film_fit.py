"""Fitting the golfer's own chain, and a camera for each view, to what two films show at address and at the top.

Gauss-Newton with Levenberg's damping (1944, Q. Appl. Math. 2:164-168, from memory), many swings at once: what is
unknown are the numbers of `filmed_golfer`, how the head is turned, and seven numbers of each camera, all with priors of
variance one. The chain is looked at a few times, its slopes (secants, all of them one batch) fewer; between two looks
it is taken to be straight, and cameras and heads as they are, since they cost nothing. A step after which the true
chain is further off is taken back and damped. Outliers among keypoints are trusted less, by reweighting (Huber 1964,
Ann. Math. Stat. 35:73-101, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array, BoolArray
from ..golfer.pieces import Pieces
from .film_noise import FilmNoise
from .film_problem import FAR, NUMBERS, Problem, Seen, Slopes
from .filmed_golfer import CHAIN, Known, Posed

LOOKS = 6
"""How often the true chain is looked at after the first time, at most."""
SLOPES_AFTER = (0, 2)
"""After which of these its slopes are taken anew."""
STEPS_BETWEEN = 3
"""Steps on the chain straightened, cameras and heads as they are, between two looks."""
SETTLED = 0.002
"""m: keypoints that the last look moved by less than this, for any one unknown, had settled."""
TRUSTED_TO = 2.0
"""Standard deviations a keypoint may be off before it is trusted less."""


@dataclass(frozen=True)
class FilmFit:
    """The most probable golfers and cameras.

    Attributes:
        numbers: ``(S, 43)`` in standard deviations of the prior: chain, heads, cameras.
        covariance: ``(S, 43, 43)``.
        pose: golfers as fitted.
        by_chain: ``(S, 13, 23)`` how the readings grow with the chain's numbers.
        amounts_by_chain: ``(S, 8, 23)`` how the pieces do.
        residual: ``(S, 2, 2, 13)`` keypoints off, in standard deviations of all that moves them, radially over root 2.
        off_m: ``(S, 2, 2, 13, 2)`` the same in m at the golfer, x right and y down.
        misfit: ``(S,)`` twice the minimum, priors included.
        seen: ``(S,)`` coordinates that were seen.
        settled: ``(S,)`` whether the last step changed nothing that matters.
    """

    numbers: Array
    covariance: Array
    pose: Posed
    by_chain: Array
    amounts_by_chain: Array
    residual: Array
    off_m: Array
    misfit: Array
    seen: Array
    settled: BoolArray


def fit(known: Known, films: Seen, noise: FilmNoise | None = None, reference: Pieces | None = None) -> FilmFit:
    """Fit ``S`` swings.

    Args:
        known: of the golfers.
        films: what they show.
        noise: of the detector.
        reference: the turn departures are counted from, the centred pivot if not given.
    """
    noise, reference = noise or FilmNoise(), reference or Pieces()
    count, seen = len(films.places), films.seen
    at, whitener = np.zeros((count, NUMBERS)), noise.whitener(seen, np.ones(seen.shape))
    problem = Problem(known, films, reference)
    pose, slopes = problem.chain(at)
    scale = problem.first_cameras(at, pose)
    shown = problem.pixels(at, pose)
    value, damping = _value(problem, whitener, at, shown, scale), np.full(count, 1e-3)
    for look in range(LOOKS):
        trial = _on_straight(problem, whitener, at, pose, slopes, scale, damping)
        settled = (np.abs(trial - at)[:, :CHAIN] * _weight_of(slopes)).max(axis=1) < SETTLED
        anew = look in SLOPES_AFTER
        tried, tried_slopes = problem.chain(trial) if anew else (problem.pose(trial), slopes)
        tried_shown = problem.pixels(trial, tried)
        better = _value(problem, whitener, trial, tried_shown, scale) <= value
        settled &= better
        damping = np.where(better, 1e-3, damping * 100.0)
        at, shown, pose = _where(better, trial, at), _where(better, tried_shown, shown), _chosen(better, tried, pose)
        slopes = Slopes(*(_where(better, getattr(tried_slopes, n), getattr(slopes, n)) for n in Slopes.NAMES))
        if look < LOOKS - 1:
            whitener = noise.whitener(seen, _trust(noise, problem.off(shown), seen, scale))
        value = _value(problem, whitener, at, shown, scale)
        if settled.all() and look >= SLOPES_AFTER[-1]:
            break
    jacobian = _whitened(
        whitener, problem.by_numbers(at, pose.keypoints(problem.turned(at)), pose, slopes, shown), scale
    )
    normal = np.swapaxes(jacobian, -1, -2) @ jacobian + np.eye(NUMBERS)
    off_m = problem.off(shown) / scale[:, :, None, None, None]
    covariance, in_sd = np.asarray(np.linalg.inv(normal)), _in_sd(noise, problem.off(shown), scale)
    return FilmFit(
        at, covariance, pose, slopes.shown, slopes.amounts, in_sd,
        np.where(seen[..., None], off_m, np.nan), value, 2 * seen.sum(axis=(1, 2, 3)), settled,
    )  # fmt: skip


def _on_straight(
    problem: Problem, whitener: Array, at: Array, pose: Posed, slopes: Slopes, scale: Array, damping: Array
) -> Array:
    """Where the minimum ``(S, 43)`` would be if the chain were straight about ``at``, but not cameras and heads."""
    now = at
    for _ in range(STEPS_BETWEEN):
        points = problem.straight(at, now, pose, slopes)
        shown = problem.shown_by(now, points)
        by = problem.by_numbers(now, points, pose, slopes, shown)
        jacobian = _whitened(whitener, by, scale)
        off = _whitened(whitener, problem.off(shown)[..., None], scale)
        normal = np.swapaxes(jacobian, -1, -2) @ jacobian + np.eye(NUMBERS)
        normal = normal + damping[:, None, None] * np.einsum("sii->si", normal)[:, :, None] * np.eye(NUMBERS)
        pull = (np.swapaxes(jacobian, -1, -2) @ off)[..., 0] - now
        now = np.clip(now + np.linalg.solve(normal, pull[..., None])[..., 0], -FAR, FAR)
    return now


def _weight_of(slopes: Slopes) -> Array:
    """``(S, 23)`` m, how far one standard deviation of each of the chain's numbers moves the keypoint it moves most."""
    return np.asarray(np.linalg.norm(slopes.points, axis=-1).max(axis=(-2, -1)))


def _where(better: BoolArray, new: Array, old: Array) -> Array:
    """The new rows where they are better."""
    return np.where(better.reshape(-1, *[1] * (new.ndim - 1)), new, old)


def _whitened(whitener: Array, pixels: Array, scale: Array) -> Array:
    """``(S, 104, n)`` of ``(S, 2, 2, 13, 2, n)``: uncorrelated, of variance one."""
    metres = pixels / scale[:, :, None, None, None, None]
    count, _, _, points, axes, columns = metres.shape
    rows = np.moveaxis(metres.reshape(count, 2, 2 * points, axes, columns), 3, 2)
    return np.asarray((whitener @ rows).reshape(count, -1, columns))


def _value(problem: Problem, whitener: Array, at: Array, shown: Array, scale: Array) -> Array:
    """Twice what is minimised, ``(S,)``."""
    off = _whitened(whitener, problem.off(shown)[..., None], scale)[..., 0]
    return np.asarray((off**2).sum(axis=-1) + (at**2).sum(axis=-1))


def _in_sd(noise: FilmNoise, off: Array, scale: Array) -> Array:
    """``(S, 2, 2, 13)`` how far keypoints are off, in standard deviations of all that moves them."""
    in_sd = off / (noise.whole() * scale[:, :, None, None, None])
    return np.asarray(np.linalg.norm(in_sd, axis=-1) / np.sqrt(2.0))


def _trust(noise: FilmNoise, off: Array, seen: BoolArray, scale: Array) -> Array:
    """``(S, 2, 2, 13)`` how far keypoints are trusted: less the further beyond ``TRUSTED_TO`` they are off."""
    far = np.maximum(_in_sd(noise, off, scale), 1e-9)
    return np.where(seen, np.minimum(1.0, (TRUSTED_TO / far) ** 2), 1.0)


def _chosen(better: BoolArray, new: Posed, old: Posed) -> Posed:
    """The new golfers where they are better."""
    both = Posed.stack([old, new])
    return both[better.astype(int), np.arange(better.size)]
