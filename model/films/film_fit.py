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
from typing import ClassVar

import numpy as np

from ..arrays import Array, BoolArray
from ..golfer.pieces import Pieces
from . import phone_camera
from .film_noise import FilmNoise
from .filmed_golfer import CHAIN, FITTED, HEAD_SD_RAD, HEADS, STEPS, Known, Posed, posed

CAMERA = len(phone_camera.NUMBERS)
NUMBERS = CHAIN + HEADS + 2 * CAMERA
"""Unknowns of a swing."""
LOOKS = 6
"""How often the true chain is looked at after the first time, at most."""
SLOPES_AFTER = (0, 2)
"""After which of these its slopes are taken anew."""
STEPS_BETWEEN = 3
"""Steps on the chain straightened, cameras and heads as they are, between two looks."""
SETTLED = 0.002
"""m: keypoints that the last look moved by less than this, for any one unknown, had settled."""
FAR = 4.0
"""Standard deviations: no unknown goes further from its prior's mean."""
TRUSTED_TO = 2.0
"""Standard deviations a keypoint may be off before it is trusted less."""
CAMERAS_FIRST = 8
"""Steps in which cameras alone are fitted, to the usual golfer."""
_SMALL = 1e-4


@dataclass(frozen=True)
class Seen:
    """What the films of ``S`` swings show.

    Attributes:
        places: ``(S, 2, 2, 13, 2)`` pixels, by view (face-on, down the line), moment (address, top) and keypoint of
            ``FITTED``; NaN where it was not seen, everywhere where there is no such film.
        size: ``(S, 2, 2)`` width and height of the pictures, pixels; ones where there is no film.
    """

    places: Array
    size: Array

    @property
    def seen(self) -> BoolArray:
        """``(S, 2, 2, 13)``."""
        return np.asarray(np.isfinite(self.places).all(axis=-1))


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
    problem = _Problem(known, films, noise, reference)
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
        slopes = _Slopes(*(_where(better, getattr(tried_slopes, n), getattr(slopes, n)) for n in _Slopes.NAMES))
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


@dataclass(frozen=True)
class _Slopes:
    """Of keypoints ``(S, 23, 2, 13, 3)``, readings ``(S, 13, 23)`` and pieces ``(S, 8, 23)`` by the chain's numbers."""

    points: Array
    shown: Array
    amounts: Array

    NAMES: ClassVar[tuple[str, ...]] = ("points", "shown", "amounts")


@dataclass(frozen=True)
class _Problem:
    known: Known
    films: Seen
    noise: FilmNoise
    reference: Pieces

    def pose(self, at: Array) -> Posed:
        return posed(self.known, at[:, :CHAIN], self.reference)

    def turned(self, at: Array) -> Array:
        """``(S, 2, 3)`` rad: heads from where the chain has them."""
        return np.asarray(HEAD_SD_RAD * at[:, CHAIN : CHAIN + HEADS].reshape(-1, 2, 3))

    def chain(self, at: Array) -> tuple[Posed, _Slopes]:
        """Golfers, and how they change with each of the chain's numbers."""
        count = len(at)
        # A step past the end of what is believed goes the other way.
        step = np.where(at[:, :CHAIN] + STEPS > FAR, -STEPS, STEPS)
        many = np.repeat(at[None], CHAIN + 1, axis=0)
        for k in range(CHAIN):
            many[1 + k, :, k] += step[:, k]
        again = np.tile(np.arange(count), CHAIN + 1)
        known = Known(self.known.stature[again], self.known.female[again], self.known.stature_sd)
        flat = many.reshape(-1, NUMBERS)
        every = posed(known, flat[:, :CHAIN], self.reference)
        points = every.keypoints(self.turned(flat)).reshape(CHAIN + 1, count, 2, len(FITTED), 3)
        by = (points[1:] - points[0]) / step.T[:, :, None, None, None]
        rest = [part.reshape(CHAIN + 1, count, -1) for part in (every.shown, every.amounts)]
        shown, amounts = (np.moveaxis((part[1:] - part[0]) / step.T[:, :, None], 0, -1) for part in rest)
        return every[np.arange(count)], _Slopes(np.swapaxes(by, 0, 1), shown, amounts)

    def pixels(self, at: Array, pose: Posed) -> Array:
        """``(S, 2, 2, 13, 2)`` where cameras show the golfers."""
        return self.shown_by(at, pose.keypoints(self.turned(at)))

    def shown_by(self, at: Array, points: Array) -> Array:
        """The same of keypoints ``(S, 2, 13, 3)``."""
        flat = points.reshape(*points.shape[:-3], -1, 3)
        views = []
        for view in (0, 1):
            own = at[..., self.camera(view)]
            size = self.films.size[:, view].reshape(-1, *[1] * (own.ndim - 2), 2)
            size = np.broadcast_to(size, (*own.shape[:-1], 2))
            views.append(phone_camera.project(own, view, size, flat).reshape(*points.shape[:-1], 2))
        return np.stack(views, axis=-4)

    def straight(self, about: Array, at: Array, pose: Posed, slopes: _Slopes) -> Array:
        """Keypoints ``(S, 2, 13, 3)`` m at ``at``, the chain straight about another place whose ``pose`` it is."""
        run = np.einsum("sk,skmpc->smpc", at[:, :CHAIN] - about[:, :CHAIN], slopes.points)
        return pose.keypoints(self.turned(at)) + run

    def off(self, shown: Array) -> Array:
        """``(S, 2, 2, 13, 2)`` pixels from what is shown to what was seen; zero where nothing was."""
        return np.where(self.films.seen[..., None], self.films.places - shown, 0.0)

    def by_numbers(self, at: Array, base: Array, pose: Posed, slopes: _Slopes, shown: Array) -> Array:
        """``(S, 2, 2, 13, 2, 43)`` how pixels grow with every unknown, keypoints being at ``base (S, 2, 13, 3)``."""
        turned = self.turned(at)
        turns = turned[:, None] + _SMALL * HEAD_SD_RAD * np.eye(HEADS).reshape(HEADS, 2, 3)
        many = pose[np.repeat(np.arange(len(at)), HEADS)].keypoints(turns.reshape(-1, 2, 3))
        by_heads = many.reshape(len(at), HEADS, *base.shape[1:]) - pose.keypoints(turned)[:, None]
        moved = base[:, None] + np.concatenate([_SMALL * slopes.points, by_heads], axis=1)
        by = np.zeros((*shown.shape, NUMBERS))
        # Golfers first, all their numbers in one batch; then each view's camera.
        of_golfer = self.shown_by(at[:, None], moved) - shown[:, None]
        by[..., : CHAIN + HEADS] = np.moveaxis(of_golfer, 1, -1) / _SMALL
        for view in (0, 1):
            by[:, view, ..., self.camera(view)] = self.by_camera(at, base, view, shown[:, view])
        return np.where(self.films.seen[..., None, None], by, 0.0)

    def camera(self, view: int) -> slice:
        """Which of the unknowns are a view's camera."""
        first = CHAIN + HEADS + view * CAMERA
        return slice(first, first + CAMERA)

    def by_camera(self, at: Array, points: Array, view: int, shown: Array) -> Array:
        """``(S, 2, 13, 2, 7)`` how pixels ``shown (S, 2, 13, 2)`` of ``points (S, 2, 13, 3)`` grow with a camera."""
        own = at[:, None, self.camera(view)] + _SMALL * np.eye(CAMERA)
        size, flat = self.films.size[:, None, view], points.reshape(len(at), 1, -1, 3)
        moved = phone_camera.project(own, view, np.broadcast_to(size, (*own.shape[:-1], 2)), flat)
        change = moved.reshape(len(at), CAMERA, *shown.shape[1:]) - shown[:, None]
        return np.asarray(np.moveaxis(change, 1, -1) / _SMALL)

    def first_cameras(self, at: Array, pose: Posed) -> Array:
        """Fit the cameras to the usual golfer, in place; pixels a metre at the golfer ``(S, 2)``."""
        points = pose.keypoints(self.turned(at))
        seen = self.films.seen
        for _ in range(CAMERAS_FIRST):
            shown = self.shown_by(at, points)
            scale = self.scale(at)
            for view in (0, 1):
                span, by = self.camera(view), self.by_camera(at, points, view, shown[:, view])
                # Before the golfer is fitted, a keypoint is some 6 cm from where the usual golfer's is.
                weight = seen[:, view, ..., None] / (0.06 * scale[:, view])[:, None, None, None]
                jacobian = (by * weight[..., None]).reshape(len(at), -1, CAMERA)
                off = np.where(seen[:, view, ..., None], self.films.places[:, view] - shown[:, view], 0.0) * weight
                normal = np.swapaxes(jacobian, -1, -2) @ jacobian + np.eye(CAMERA)
                pull = (np.swapaxes(jacobian, -1, -2) @ off.reshape(len(at), -1, 1))[..., 0] - at[:, span]
                at[:, span] += np.clip(np.linalg.solve(normal, pull[..., None])[..., 0], -1.0, 1.0)
        return self.scale(at)

    def scale(self, at: Array) -> Array:
        """``(S, 2)`` pixels a metre at the golfer's distance."""
        out = []
        for view in (0, 1):
            told = phone_camera.told(at[:, self.camera(view)])
            out.append(told["focal"] * self.films.size[:, view].max(axis=-1) / told["distance"])
        return np.stack(out, axis=-1)


def _on_straight(
    problem: _Problem, whitener: Array, at: Array, pose: Posed, slopes: _Slopes, scale: Array, damping: Array
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


def _weight_of(slopes: _Slopes) -> Array:
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


def _value(problem: _Problem, whitener: Array, at: Array, shown: Array, scale: Array) -> Array:
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
