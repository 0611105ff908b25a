"""How far a share of right answers may be off, golfers being drawn and not swings."""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.special import stdtrit

from ....model.arrays import BoolArray

_Z = 1.959963984540054
"""Quantile of the normal distribution for 95 %."""


def interval(right: BoolArray, golfer: np.ndarray[Any, np.dtype[np.intp]]) -> tuple[float, float]:
    """95 % interval of a share, of golfers like these.

    Wilson's score interval (Wilson 1927, "Probable inference, the law of succession, and statistical inference") for
    as many swings as those would be worth that had nothing to do with each other: the golfers' own variance and the t
    quantile of their number, as Korn and Graubard 1998 ("Confidence intervals for proportions with small expected
    number of positive counts estimated from survey data") do it for another interval. Both from memory. Where all or
    none are right the golfers cannot tell how alike their swings are, and each counts once.

    Args:
        right: ``(n,)``.
        golfer: ``(n,)`` whose swing each is.

    Returns:
        Least and most; 0 and 1 of one golfer, who says nothing about others.
    """
    golfers, of = np.unique(golfer, return_inverse=True)
    groups, n = len(golfers), len(right)
    if groups < 2:
        return 0.0, 1.0
    share = float(right.mean())
    off = np.bincount(of, weights=right - share, minlength=groups)
    variance = groups / (groups - 1) * float((off**2).sum()) / n**2
    alone = share * (1.0 - share)
    # No share is surer than if every swing stood alone.
    worth = groups if alone == 0.0 else n if variance * n <= alone else alone / variance
    return wilson(share, worth * (_Z / float(stdtrit(groups - 1, 0.975))) ** 2)


def wilson(share: float, n: float) -> tuple[float, float]:
    """Wilson's 95 % score interval of a share of ``n``."""
    middle = (share + _Z**2 / (2 * n)) / (1 + _Z**2 / n)
    half = _Z / (1 + _Z**2 / n) * float(np.sqrt(share * (1 - share) / n + _Z**2 / (4 * n**2)))
    return max(0.0, middle - half), min(1.0, middle + half)
