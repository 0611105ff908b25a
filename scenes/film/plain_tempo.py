"""When a plain film shows which moment: a still address, the backswing, and fast the same way back.

It is the backswing played backward, no downswing, which nothing here simulates; but hands turn round at the top and
are fastest after it, as in a film of a swing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.errors import OutOfRange
from .timing import DENSE

STILL_S, BACK_S, DOWN_S, AFTER_S = (0.6, 1.2), (0.75, 1.1), (0.26, 0.36), 0.5
"""s, the shortest and the longest: address before the takeaway, backswing, way down (common practice); and what is
filmed after it."""
FPS = (24.0, 240.0)
"""Frames a second that phones film at."""


@dataclass(frozen=True)
class Tempo:
    """A plain film's time.

    Attributes:
        fps: frames a second.
        still_s, back_s, down_s: how long address, backswing and the way down take.
    """

    fps: float
    still_s: float
    back_s: float
    down_s: float

    @classmethod
    def drawn(cls, rng: np.random.Generator, fps: float) -> Tempo:
        """A tempo.

        Raises:
            OutOfRange: for a rate that no phone films at.
        """
        if not FPS[0] <= fps <= FPS[1]:
            raise OutOfRange("--fps", float(fps), *FPS)
        return cls(fps, *(float(rng.uniform(*ends)) for ends in (STILL_S, BACK_S, DOWN_S)))

    @property
    def takeaway(self) -> float:
        """The frame, a part of one too, at which the backswing begins."""
        return self.still_s * self.fps

    @property
    def top(self) -> float:
        """The same of the top."""
        return (self.still_s + self.back_s) * self.fps

    def moments(self) -> list[int]:
        """Of every frame, which of ``DENSE`` moments it shows."""
        whole = self.still_s + self.back_s + self.down_s + AFTER_S
        t = np.arange(round(whole * self.fps)) / self.fps
        back = np.clip((t - self.still_s) / self.back_s, 0.0, 1.0)
        down = np.clip((t - self.still_s - self.back_s) / self.down_s, 0.0, 1.0)
        progress = np.where(down > 0.0, _left(down), back * back * (3.0 - 2.0 * back))
        return [int(moment) for moment in np.round(progress * (DENSE - 1))]


def _left(share: Array) -> Array:
    """What is left of the backswing after a share of the way down: from rest to rest, fastest after two thirds.

    The speed goes as w (1 - w)^(1/2), whose integral from 0, in parts of the whole, is 1 - (1 - w)^(3/2) (1 + 3 w / 2).
    """
    return np.asarray((1.0 - share) ** 1.5 * (1.0 + 1.5 * share))
