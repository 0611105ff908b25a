"""After a diagnosis: what these readings leave open, which one to read next, and what taking a piece back would do.

A piece taken back is put back alone: everything else stays as it was, tilt and extension in degrees included. Faults
are counted otherwise, from what holds the head for the turn that is made; so where a turn, a knee or the hips are put
back, tilt and extension may be more or less than hold the head.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array, ArrayLike, BoolArray
from ..golfer.pieces import DEPARTURES, MAY_BE_STEADY
from .diagnose import Diagnosis
from .fault_prior import AT_FAULT
from .readings import READINGS, Film

OPEN = 0.1
"""Two pieces are told apart where one of them is less probably at fault without the other."""
PROBABLY = 0.5
_GRID = 401
HEAD = tuple(name for name in READINGS if name.startswith("head_"))
"""The readings of the head."""
FAR = 2.25
"""A reading so many standard deviations from where all the others would have it is hardly explained by chance: one in
forty is (our choice)."""


def cannot_tell_apart(diagnosis: Diagnosis) -> BoolArray:
    """Pairs of pieces ``(S, 8, 8)``, symmetric: probably one of them is at fault, but it may well be this or that.

    That is, each is at fault without the other with a probability of ``OPEN`` or more, and either with ``PROBABLY``.
    """
    alone = np.einsum("sh,ha,hb->sab", diagnosis.weight, AT_FAULT, ~AT_FAULT)
    either = alone + diagnosis.probability[:, None, :]
    return np.asarray((alone >= OPEN) & (alone.swapaxes(1, 2) >= OPEN) & (either >= PROBABLY))


def worth_reading(
    diagnosis: Diagnosis, sd: Mapping[str, ArrayLike] | None = None, among: BoolArray | None = None
) -> Array:
    """What one more reading would say about which piece departs furthest, ``(S, 13)`` nats; zero for what was read.

    The mutual information of reading and piece (Cover & Thomas 2006, Elements of Information Theory, ch. 8, from
    memory): the entropy of the reading, less what is left of it once the piece is known. What each piece makes of the
    reading is taken as Gaussian, the holes of slabs left out; their mixture is integrated numerically.

    Args:
        diagnosis: of ``S`` swings.
        sd: uncertainty of the readings to come, rad or m; the usual one of that moment where it is missing.
        among: ``(S, 8)`` or ``(8,)`` the pieces it might be, if not all: two of them to ask what tells a pair apart.
    """
    from scipy.integrate import trapezoid  # A third of a second, and only for a diagnosis.
    from scipy.special import xlogy

    fitted = diagnosis.hypotheses
    usual = diagnosis.film.usual_sd
    own = np.array([float(np.asarray((sd or {}).get(n, usual[unit]))) for n, unit in READINGS.items()])
    spread = np.einsum("shri,shij,shrj->shr", fitted.slopes, fitted.covariance, fitted.slopes) + own**2
    share = diagnosis.weight[..., None] * diagnosis.largest_if
    piece = share.sum(axis=1)
    share = share / np.maximum(piece, 1e-300)[:, None]
    mean = np.einsum("shp,shr->srp", share, fitted.shown)
    variance = np.maximum(np.einsum("shp,shr->srp", share, spread + fitted.shown**2) - mean**2, own[:, None] ** 2)
    if among is not None:
        piece = piece * among
    piece = (piece / np.maximum(piece.sum(axis=-1, keepdims=True), 1e-300))[:, None]

    one_sd = np.sqrt(variance)
    low, high = (mean - 5.0 * one_sd).min(axis=-1), (mean + 5.0 * one_sd).max(axis=-1)
    at = low + (high - low) * np.linspace(0.0, 1.0, _GRID)[:, None, None]  # (grid, S, 13)
    off = (at[..., None] - mean) / one_sd
    density = (piece * np.exp(-0.5 * off**2) / (one_sd * np.sqrt(2.0 * np.pi))).sum(axis=-1)
    unknown = trapezoid(-xlogy(density, density), at, axis=0)
    known = (piece * 0.5 * np.log(2.0 * np.pi * np.e * variance)).sum(axis=-1)
    worth = np.maximum(unknown - known, 0.0)
    worth[:, diagnosis.read] = 0.0
    return np.asarray(worth)


def leading(
    diagnosis: Diagnosis, seen: Mapping[str, ArrayLike], sd: Mapping[str, ArrayLike], usual: ArrayLike
) -> BoolArray:
    """The candidates ``(S, 8)`` that could have moved the head as it was read; all where fewer than two could.

    Those whose usual fault, to one side or the other, moves the head by more than reading it may be off, along the way
    it went. The others are candidates only because the head does not show them.

    Args:
        diagnosis: of ``S`` swings.
        seen: name of ``READINGS`` to ``(S,)`` or a scalar, m or rad: what was read.
        sd: uncertainty of each of them.
        usual: ``(8,)`` rad and m, the size of a usual fault.
    """
    heads = [name for name in HEAD if name in seen]
    if not heads:
        return diagnosis.candidates
    swings, pieces = diagnosis.largest.shape
    film, rows = diagnosis.film, [list(READINGS).index(name) for name in heads]
    fault = np.asarray(usual, dtype=float) * np.stack([np.eye(pieces), -np.eye(pieces)])
    there = np.broadcast_to(fault[:, None], (2, swings, pieces, pieces)).reshape(-1, pieces)
    who = np.tile(np.repeat(diagnosis.swings, pieces), 2)
    there = _trunk_kept(film, who, there, np.zeros_like(there))
    none = np.zeros((swings, pieces))
    shown = film.readings(np.concatenate([who, diagnosis.swings]), np.concatenate([there, none]))[:, rows]
    due = shown[who.size :]
    moved = shown[: who.size].reshape(2, swings, pieces, -1) - due[:, None]
    off = np.stack([np.broadcast_to(np.asarray(seen[name], dtype=float), swings) for name in heads], axis=-1) - due
    unsure = np.max([np.broadcast_to(np.asarray(sd[name], dtype=float), swings) for name in heads], axis=0)
    way = off / np.maximum(np.linalg.norm(off, axis=-1, keepdims=True), 1e-12)
    along = np.einsum("dspr,sr->dsp", moved, way).max(axis=0)
    told = diagnosis.candidates & (along > unsure[:, None])
    return np.asarray(np.where(told.sum(axis=1, keepdims=True) >= 2, told, diagnosis.candidates))


def hardly_explained(diagnosis: Diagnosis) -> BoolArray:
    """Readings of the head that the likeliest hypothesis hardly explains, ``(S, m)`` in the order of ``read``.

    Two things are true of such a one. Less than half of what it is off, from what films of a swing without departures
    show, is what the hypothesis shows. And it is ``FAR`` from where that hypothesis and all the other readings would
    have it, in standard deviations of that. With y what was read, r the residual at the minimum, R the noise, J the
    slopes, C the covariance of the departures and S = J D J' + R, that is, for Gaussians,

        (y_k - E[y_k | others]) / sd = (S^-1 (y - f + J d))_k / sqrt((S^-1)_kk)

    with S^-1 (y - f + J d) = R^-1 r at the minimum, and S^-1 = R^-1 - R^-1 J C J' R^-1 (Woodbury). The residual by
    itself is less: a hypothesis bends toward what it is fitted to.
    """
    swings, best, rows = diagnosis.swings, diagnosis.weight.argmax(axis=1), diagnosis.read
    fitted = diagnosis.hypotheses
    slopes, covariance = fitted.slopes[swings, best][:, rows], fitted.covariance[swings, best]
    shown = fitted.shown[swings, best][:, rows]
    due = diagnosis.film.readings(swings, np.zeros((len(swings), len(DEPARTURES))))[:, rows]
    off, left = diagnosis.seen - due, diagnosis.seen - shown
    precision = np.linalg.inv(diagnosis.noise)
    moved = precision @ slopes
    of_others = np.einsum("sii->si", precision - moved @ covariance @ np.swapaxes(moved, -1, -2))
    far = np.abs(precision @ left[..., None])[..., 0] > FAR * np.sqrt(np.maximum(of_others, 0.0))
    # Overshot by half and more, or moved the other way, it is explained as little.
    of_head = np.isin(rows, [list(READINGS).index(name) for name in HEAD])
    return np.asarray(of_head & far & (np.abs(left) > 0.5 * np.abs(off)))


@dataclass(frozen=True)
class TakenBack:
    """What one piece put back alone would do.

    Attributes:
        shown: ``(S, 8, 13)`` rad and m, what films would show differently, for each piece (second axis); NaN where its
            amount cannot be told.
        beyond: ``(S, 8, 8)`` rad and m, the departures there would then be.
    """

    shown: Array
    beyond: Array


def take_back(diagnosis: Diagnosis) -> TakenBack:
    """Put each piece back from its most likely departure, the others as in the likeliest hypothesis that blames it.

    On the true chain, everything else as it was, tilt and extension in degrees included.
    """
    swings, pieces = diagnosis.largest.shape
    film, who = diagnosis.film, np.repeat(diagnosis.swings, pieces)
    known, itself = np.isfinite(diagnosis.amount), np.eye(pieces, dtype=bool)
    others = np.where(itself, 0.0, diagnosis.likeliest_with_fault())
    there = (others + itself * np.where(known, diagnosis.amount, 0.0)[..., None]).reshape(-1, pieces)
    without = _trunk_kept(film, who, others.reshape(-1, pieces), there)
    shown = film.readings(np.concatenate([who, who]), np.concatenate([without, there]))
    changed = (shown[: who.size] - shown[who.size :]).reshape(swings, pieces, -1)
    return TakenBack(np.where(known[..., None], changed, np.nan), without.reshape(swings, pieces, pieces))


def _trunk_kept(film: Film, who: NDArray[np.intp], departures: Array, before: Array) -> Array:
    """Departures ``(N, 8)`` whose tilt and extension come to what they came to before, but for their own change."""
    both = np.concatenate([departures, before])
    held, held_before = np.split(film.amounts(np.concatenate([who, who]), both) - both, 2)
    trunk = [name in MAY_BE_STEADY for name in DEPARTURES]
    return departures - np.where(trunk, held - held_before, 0.0)


def beyond_centred(diagnosis: Diagnosis) -> Array:
    """Departures ``(S, 8)`` from the amounts of the centred turn at that moment, under the most probable hypothesis.

    They differ from those of a diagnosis in tilt and extension: a short turn with a still head needs less extension
    than the centred one, which is no fault of extension.
    """
    made = diagnosis.film.amounts(diagnosis.swings, diagnosis.likeliest())
    centred = diagnosis.film.centred().amounts(diagnosis.swings, np.zeros_like(made))
    return np.asarray(made - centred)
