"""After a diagnosis: what these readings leave open, which one to read next, and what taking a piece back would do."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from scipy.integrate import trapezoid
from scipy.special import xlogy

from ..arrays import Array, ArrayLike, BoolArray
from ..golfer.pieces import Pieces
from .diagnose import Diagnosis
from .fault_prior import AT_FAULT
from .readings import READINGS, USUAL_SD, Film

OPEN = 0.1
"""Two pieces are told apart where one of them is less probably at fault without the other."""
PROBABLY = 0.5
_GRID = 401


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
        sd: uncertainty of the readings to come, rad or m; ``USUAL_SD`` where it is missing.
        among: ``(S, 8)`` or ``(8,)`` the pieces it might be, if not all: two of them to ask what tells a pair apart.
    """
    fitted = diagnosis.hypotheses
    own = np.array([float(np.asarray((sd or {}).get(n, USUAL_SD[unit]))) for n, unit in READINGS.items()])
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


def take_back(diagnosis: Diagnosis) -> Array:
    """What films would show differently ``(S, 8, 13)`` rad and m if one piece's departure were taken back alone.

    Each piece under the most probable hypothesis in which it is at fault, on the true chain.
    """
    swings, pieces = diagnosis.largest.shape
    there = diagnosis.likeliest_with_fault().reshape(-1, pieces)
    without = np.where(np.tile(np.eye(pieces, dtype=bool), (swings, 1)), 0.0, there)
    who = np.repeat(diagnosis.swings, pieces)
    shown = diagnosis.film.readings(np.concatenate([who, who]), np.concatenate([without, there]))
    return np.asarray((shown[: who.size] - shown[who.size :]).reshape(swings, pieces, -1))


def beyond_centred(diagnosis: Diagnosis) -> Array:
    """Departures ``(S, 8)`` from the amounts of the centred turn of `Pieces`, under the most probable hypothesis.

    They differ from those of a diagnosis in tilt and extension: a short turn with a still head needs less extension
    than the centred one, which is no fault of extension.
    """
    made = diagnosis.film.amounts(diagnosis.swings, diagnosis.likeliest())
    film = Film.of(diagnosis.film.golfers, Pieces())
    centred = film.amounts(diagnosis.swings, np.zeros_like(made))
    return np.asarray(made - centred)
