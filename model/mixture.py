"""Questions to mixtures of Gaussians: quantiles, and which of several amounts is likely the largest."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtr

from .arrays import Array

_HALVINGS = 50
_DRAWS = 512
_NEGLIGIBLE = 1e-4
_AT_ONCE = 1024


def quantile(share: float, weight: Array, mean: Array, spread: Array) -> Array:
    """Where the mixture's distribution function is ``share``, by halving.

    Args:
        share: between 0 and 1.
        weight: ``(..., C)`` of each component, adding up to one over the last axis.
        mean: ``(..., C)``.
        spread: ``(..., C)`` standard deviations, above zero.

    Returns:
        ``(...)`` in the unit of ``mean``.
    """
    low, high = (mean - 9.0 * spread).min(axis=-1), (mean + 9.0 * spread).max(axis=-1)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        below = (weight * ndtr((middle[..., None] - mean) / spread)).sum(axis=-1)
        low, high = np.where(below < share, middle, low), np.where(below < share, high, middle)
    return np.asarray(0.5 * (low + high))


def probability_of_largest(weight: Array, mean: Array, covariance: Array) -> Array:
    """How probable it is, in each component, that each of ``P`` amounts is the largest in size.

    By counting in draws from each component that matters, the same draws every time, so that the same question has the
    same answer; a component of negligible weight gets all of it for the largest mean.

    Args:
        weight: ``(S, C)`` adding up to one.
        mean: ``(S, C, P)``, in units that make the amounts comparable.
        covariance: ``(S, C, P, P)``.

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
        out[at] = (drawn.argmax(axis=-1)[..., None] == amounts).mean(axis=1)
    return out
