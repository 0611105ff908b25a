"""Mixtures of Gaussians, some with a hole at zero: quantiles, and which of several amounts is likely the largest.

A Gaussian with a hole in some of its amounts is that Gaussian times ``(1 - exp(-x^2 / 2 width^2))^2`` for each of
them: next to nothing of it is left near zero, nearly all of it beyond three times the width. A Gaussian times a
Gaussian is one again, so this is a sum of Gaussians with shares of both signs, and whatever is linear in a density is
exact for it too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array, BoolArray

_HALVINGS = 50
_DRAWS = 512
_NEGLIGIBLE = 1e-4
_AT_ONCE = 1024
_LEAST_LEFT = 1e-9
"""Where a hole leaves less than this of a component, its shape would be a difference of equal numbers."""
HOLE: Mapping[int, float] = {1: -2.0, 2: 1.0}
"""The square written out: a hole is one, and these times the powers of ``exp(-x^2 / 2 width^2)``."""


@dataclass(frozen=True)
class Holed:
    """Components with holes as ``T`` Gaussian terms; ``S`` mixtures of ``C`` components of ``P`` amounts.

    Attributes:
        left: ``(S, C)`` how much of each component the holes leave, the Gaussian itself counted as one.
        component: ``(T,)`` of which each term is part.
        share: ``(S, T)`` of either sign, adding up to one over the terms of a component.
        mean, spread: ``(S, T, P)`` of each amount; standard deviations.
    """

    left: Array
    component: NDArray[np.intp]
    share: Array
    mean: Array
    spread: Array


def with_holes(mean: Array, covariance: Array, holes: BoolArray, width: Array) -> Holed:
    """Make holes in Gaussian components.

    Args:
        mean: ``(S, C, P)``.
        covariance: ``(S, C, P, P)``.
        holes: ``(C, P)`` which amounts of which components have one.
        width: ``(P)`` of each hole, in the unit of the amount.
    """
    component = np.arange(mean.shape[1])
    share = np.ones(mean.shape[:2])
    for amount, own in enumerate(width):
        cut = np.flatnonzero(holes[component, amount])
        middle, about, whole = mean[:, cut], covariance[:, cut], share[:, cut]
        which = component[cut]
        for power, times in HOLE.items():
            total = about[..., amount, amount] + own**2 / power
            kept = own / np.sqrt(power * total) * np.exp(-0.5 * middle[..., amount] ** 2 / total)
            gain = about[..., amount] / total[..., None]
            narrower = about - gain[..., None] * about[..., amount, None, :]
            mean = np.concatenate([mean, middle - gain * middle[..., amount, None]], axis=1)
            covariance = np.concatenate([covariance, narrower], axis=1)
            share = np.concatenate([share, times * whole * kept], axis=1)
            component = np.concatenate([component, which])
    left = share @ (component[:, None] == np.arange(len(holes)))
    spread = np.sqrt(np.einsum("stpp->stp", covariance))
    # What a hole all but empties keeps the shape that it had.
    first = np.arange(component.size) < len(holes)
    share = np.where((left > _LEAST_LEFT)[:, component], share / np.maximum(left, _LEAST_LEFT)[:, component], first)
    return Holed(np.maximum(left, _LEAST_LEFT), component, share, mean, spread)


def quantile(share: float, weight: Array, mean: Array, spread: Array) -> Array:
    """Where the mixture's distribution function is ``share``, by halving.

    Args:
        share: between 0 and 1.
        weight: ``(..., C)`` of each component, adding up to one over the last axis; of either sign, as long as no
            density is below zero.
        mean: ``(..., C)``.
        spread: ``(..., C)`` standard deviations, above zero.

    Returns:
        ``(...)`` in the unit of ``mean``.
    """
    from scipy.special import ndtr  # A quarter of a second, and only for a diagnosis.

    low, high = (mean - 9.0 * spread).min(axis=-1), (mean + 9.0 * spread).max(axis=-1)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        below = (weight * ndtr((middle[..., None] - mean) / spread)).sum(axis=-1)
        low, high = np.where(below < share, middle, low), np.where(below < share, high, middle)
    return np.asarray(0.5 * (low + high))


def probability_of_largest(
    weight: Array, mean: Array, covariance: Array, holes: BoolArray | None = None, width: Array | None = None
) -> Array:
    """How probable it is, in each component, that each of ``P`` amounts is the largest in size.

    By counting in draws from each component that matters, the same draws every time, so that the same question has the
    same answer; a component of negligible weight gets all of it for the largest mean.

    Args:
        weight: ``(S, C)`` adding up to one.
        mean: ``(S, C, P)``, in units that make the amounts comparable.
        covariance: ``(S, C, P, P)``.
        holes: ``(C, P)`` which amounts of which components have a hole, if any: a draw counts by what the holes leave
            of it.
        width: ``(P)`` of the holes, in the unit of ``mean``; must be given with ``holes``.

    Returns:
        ``(S, C, P)``, adding up to one over the last axis.
    """
    amounts = np.arange(mean.shape[-1])
    normal = np.random.default_rng(0).standard_normal((_DRAWS // 2, amounts.size))
    normal = np.concatenate([normal, -normal])
    out = (np.abs(mean).argmax(axis=-1)[..., None] == amounts).astype(float)
    swing, component = np.nonzero(weight > _NEGLIGIBLE)
    for first in range(0, swing.size, _AT_ONCE):
        at = swing[first : first + _AT_ONCE], component[first : first + _AT_ONCE]
        root = np.linalg.cholesky(covariance[at])
        drawn = np.abs(mean[at][:, None] + np.einsum("nij,dj->ndi", root, normal))
        counts = np.full(drawn.shape[:2], 1.0 / _DRAWS)
        if holes is not None and width is not None:
            left = np.expm1(-0.5 * (drawn / width) ** 2) ** 2
            counts = np.where(holes[at[1]][:, None], left, 1.0).prod(axis=-1)
            counts /= counts.sum(axis=1, keepdims=True)
        out[at] = ((drawn.argmax(axis=-1)[..., None] == amounts) * counts[..., None]).sum(axis=1)
    return out
