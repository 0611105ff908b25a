"""How near the detector came, and whether it took left for right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from turnstill.model.arrays import Array

from .landmarks import LANDMARKS, LEFT, PAIRS, RIGHT, joint_of
from .pictures import Truth
from .sight import OBLIQUE, BoolArray, IntArray

NEAR, LOOSE = 0.2, 0.5
"""Shares of the torso within which a joint counts as found."""
SWAP_MARGIN = 0.1
"""Share of the torso by which both joints of a pair must lie nearer to the other's place for the pair to be swapped."""
QUARTERS: tuple[str, ...] = ("first quarter", "second", "third", "last")
"""Of the way from address to the top."""
MIRROR = np.array([-1.0, 1.0])


@dataclass(frozen=True)
class Judged:
    """The detector's answers beside the truth; arrays of N pictures and J landmarks, or P pairs.

    Attributes:
        truths: the pictures.
        found: ``(N, J, 2)`` pixels, NaN where nobody was found.
        error: ``(N, J)`` torso lengths, infinite where nobody was found.
        offset: ``(N, J, 2)`` torso lengths from the truth to what was found, right and down.
        through: ``(N, J)`` half thicknesses of flesh before each joint, see ``sight.through``.
        swapped: ``(N, P)`` pairs taken for each other.
    """

    truths: Sequence[Truth]
    found: Array
    error: Array
    offset: Array
    through: Array
    swapped: BoolArray

    @classmethod
    def of(cls, truths: Sequence[Truth], found: Array) -> Judged:
        """Compare ``(N, J, 2)`` pixels with the truth."""
        true, torso = np.stack([one.places for one in truths]), np.array([one.torso for one in truths])
        offset = (found - true) / torso[:, None, None]
        distance = np.linalg.norm(offset, axis=-1)
        return cls(
            truths=truths,
            found=found,
            error=np.where(np.isnan(distance), np.inf, distance),
            offset=offset,
            through=np.stack([one.through for one in truths]),
            swapped=swapped(true, found, torso),
        )

    @property
    def visible(self) -> BoolArray:
        """``(N, J)`` whether the camera sees each joint."""
        return self.through <= OBLIQUE

    @property
    def person_found(self) -> BoolArray:
        """``(N,)`` whether anybody was found."""
        return np.isfinite(self.found).all(axis=(1, 2))

    @property
    def pair_visible(self) -> BoolArray:
        """``(N, P)`` whether both joints of a pair are visible."""
        return self.visible[:, LEFT] & self.visible[:, RIGHT]

    @property
    def turned_round(self) -> BoolArray:
        """``(N,)`` whether half of the pairs or more, hidden ones too, were swapped: the whole person."""
        return 2 * self.swapped.sum(axis=1) >= len(PAIRS)

    @property
    def quarter(self) -> IntArray:
        """``(N,)`` index into ``QUARTERS``."""
        progress = np.array([one.progress for one in self.truths])
        return np.minimum((progress * len(QUARTERS)).astype(int), len(QUARTERS) - 1)

    def offsets_of(self, joint: str, view: str, quarter: int | None = None) -> Array:
        """``(n, 2)`` torso lengths right and down of one of the model's joints, seen or hidden; left-handers mirrored.

        Args:
            joint: the model's name, such as ``shoulder_lead``.
            view: one of ``VIEWS``.
            quarter: index into ``QUARTERS``; every picture of the view if None.
        """
        rows = [
            (MIRROR if one.left_handed else 1.0) * self.offset[number, place]
            for number, one in enumerate(self.truths)
            for place, name in enumerate(LANDMARKS)
            if one.view == view and joint_of(name, one.left_handed) == joint
            if quarter in (None, self.quarter[number])
        ]
        return np.array(rows).reshape(-1, 2)

    def files(self, which: BoolArray) -> list[str]:
        """Names of the pictures ``(N,)`` for which something holds."""
        return [one.file for one, holds in zip(self.truths, which, strict=True) if holds]

    def pck(self, within: float, which: BoolArray) -> float:
        """Share of some joints ``(N, J)`` found within so many torso lengths; a person not found counts as wrong."""
        return float(np.mean(self.error[which] <= within)) if which.any() else float("nan")


def swapped(true: Array, found: Array, torso: Array) -> BoolArray:
    """``(N, P)`` whether each detected joint of a pair lies clearly nearer to the other's place than to its own.

    Args:
        true: ``(N, J, 2)`` pixels.
        found: ``(N, J, 2)`` pixels; NaN is never swapped.
        torso: ``(N,)`` pixels.
    """
    left, right = true[:, LEFT], true[:, RIGHT]
    margin = SWAP_MARGIN * torso[:, None]
    with np.errstate(invalid="ignore"):
        is_right = _length(found[:, LEFT] - right) + margin < _length(found[:, LEFT] - left)
        is_left = _length(found[:, RIGHT] - left) + margin < _length(found[:, RIGHT] - right)
    return np.asarray(is_right & is_left)


def _length(vectors: Array) -> Array:
    return np.asarray(np.linalg.norm(vectors, axis=-1))
