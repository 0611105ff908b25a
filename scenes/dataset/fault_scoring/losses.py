"""How good probabilities are: log loss, Brier score, how they rank, and how often what was said came about."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ....model.arrays import Array, BoolArray

FLOOR = 1e-6
"""A probability below it counts as it in a logarithm: 13.8 nats, where 0 would be infinitely many (our choice)."""
BINS = 10


def log_loss(said: Array, true: BoolArray, *, of_one: bool) -> float:
    """Nats a swing.

    Args:
        said: ``(n, K)`` probabilities.
        true: ``(n, K)`` what came about.
        of_one: whether a row is one distribution: then what came about counts alone, else each column by itself, yes
            and no, added up.
    """
    came = np.log(np.maximum(said, FLOOR))
    stayed = 0.0 if of_one else np.log(np.maximum(1.0 - said, FLOOR))
    return 0.0 - float(np.where(true, came, stayed).sum(axis=1).mean())


def brier(said: Array, true: BoolArray) -> float:
    """Squared distance from what came about, ``(n, K)`` each, added over the columns, mean over swings (Brier 1950,
    from memory).
    """
    return float(((said - true) ** 2).sum(axis=1).mean())


def ranked_above(said: Array, true: BoolArray) -> float | None:
    """Area under the curve of true against false positives: how often a true one is above a false one.

    Mann and Whitney's U over all pairs, ties counting half; None where there are no pairs.
    """
    from scipy.stats import rankdata

    positives = int(true.sum())
    pairs = positives * (len(true) - positives)
    if not pairs:
        return None
    return float((rankdata(said)[true].sum() - positives * (positives + 1) / 2) / pairs)


@dataclass(frozen=True)
class Bin:
    """Answers between two probabilities.

    Attributes:
        least, most: which.
        count: how many.
        said: their mean; None of none.
        came: share that came about; None of none.
    """

    least: float
    most: float
    count: int
    said: float | None
    came: float | None


def reliability(said: Array, true: BoolArray) -> list[Bin]:
    """Answers ``(n,)`` in ten bins of equal width, beside what came about."""
    which = np.minimum((said * BINS).astype(int), BINS - 1)
    found = []
    for k in range(BINS):
        inside = which == k
        means = (float(said[inside].mean()), float(true[inside].mean())) if inside.any() else (None, None)
        found.append(Bin(k / BINS, (k + 1) / BINS, int(inside.sum()), *means))
    return found


def calibration_error(bins: list[Bin]) -> float | None:
    """Expected calibration error: mean over answers of how far their bin's mean is from what came about."""
    told = [(one.count, one.said - one.came) for one in bins if one.said is not None and one.came is not None]
    return sum(count * abs(off) for count, off in told) / sum(count for count, _ in told) if told else None
