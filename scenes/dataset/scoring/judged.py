"""How near a detector came, joint by joint, and whether it took left for right."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from ....model.arrays import Array
from ..layout.sample import KEYPOINTS, OUTSIDE
from .results import Found
from .truth import Truth

Flags = np.ndarray[Any, np.dtype[np.bool_]]
NEAR, LOOSE = 0.2, 0.5
"""Shares of the torso within which a joint counts as found."""
SWAP_MARGIN = 0.1
"""Share of the torso by which both joints of a pair must lie nearer to the other's place for the pair to be swapped
(assumption)."""
LEFT = np.array([k for k, name in enumerate(KEYPOINTS) if name.startswith("left_")])
RIGHT = np.array([KEYPOINTS.index(KEYPOINTS[k].replace("left_", "right_")) for k in LEFT])


@dataclass(frozen=True)
class Judged:
    """A detector's answers beside the truth, of N pictures, 17 keypoints, 8 pairs.

    Attributes:
        truth: the labels.
        found: ``(N, 17, 2)`` pixels, NaN where nobody was found.
        offset: ``(N, 17, 2)`` torso lengths from the truth to what was found, right and down.
        error: ``(N, 17)`` torso lengths, infinite where nobody was found.
        counts: ``(N, 17)`` whether the keypoint lies inside the picture, so that it can be judged.
        pair_counts: ``(N, 8)`` whether both of a pair do.
        swapped: ``(N, 8)`` pairs taken for each other.
    """

    truth: Truth
    found: Array
    offset: Array
    error: Array
    counts: Flags
    pair_counts: Flags
    swapped: Flags

    @classmethod
    def of(cls, truth: Truth, best: Mapping[int, Found]) -> Judged:
        """Compare the best person of each picture, by its id, with the labels."""
        found = np.full(truth.places.shape, np.nan)
        for image, one in best.items():
            found[image - 1] = one.places
        offset = (found - truth.places) / truth.torso[:, None, None]
        distance = np.linalg.norm(offset, axis=-1)
        counts = truth.sight != OUTSIDE
        pair_counts = counts[:, LEFT] & counts[:, RIGHT]
        return cls(
            truth=truth,
            found=found,
            offset=offset,
            error=np.where(np.isnan(distance), np.inf, distance),
            counts=counts,
            pair_counts=pair_counts,
            swapped=swapped(truth.places, found, truth.torso) & pair_counts,
        )

    @property
    def person_found(self) -> Flags:
        """``(N,)`` whether anybody was found."""
        return np.asarray(np.isfinite(self.found).all(axis=(1, 2)))

    @property
    def turned_round(self) -> Flags:
        """``(N,)`` whether half of the pairs or more were swapped: the whole person."""
        pairs = self.pair_counts.sum(axis=1)
        return np.asarray((pairs > 0) & (2 * self.swapped.sum(axis=1) >= pairs))

    def pck(self, within: float, which: Flags) -> float | None:
        """Share of some joints ``(N, 17)`` found within so many torso lengths; None of none."""
        judged = which & self.counts
        return float(np.mean(self.error[judged] <= within)) if judged.any() else None


def swapped(true: Array, found: Array, torso: Array) -> Flags:
    """``(N, 8)`` whether each found joint of a pair lies clearly nearer to the other's place than to its own.

    Args:
        true: ``(N, 17, 2)`` pixels.
        found: ``(N, 17, 2)`` pixels; NaN is never swapped.
        torso: ``(N,)`` pixels.
    """
    left, right = true[:, LEFT], true[:, RIGHT]
    margin = SWAP_MARGIN * torso[:, None]
    is_right = _length(found[:, LEFT] - right) + margin < _length(found[:, LEFT] - left)
    is_left = _length(found[:, RIGHT] - left) + margin < _length(found[:, RIGHT] - right)
    return np.asarray(is_right & is_left)


def _length(vectors: Array) -> Array:
    return np.asarray(np.linalg.norm(vectors, axis=-1))
