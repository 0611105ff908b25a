"""The moments of a swing: up to the top, and back to the ball and past it where the swing goes on.

Progress is 0 at address, 1 at the top, 2 at impact and 3 with the club level past the ball.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..errors import OutOfRange
from ..golfer.impact import LEVEL_PAST

TOP, IMPACT, PAST = 1.0, 2.0, 3.0
MOST_FRAMES = 100_001


@dataclass(frozen=True)
class Phases:
    """Moments of swings: the same of every golfer, or each one's own.

    Attributes:
        progress: ``(M,)`` of all, or ``(B, M)``.
    """

    progress: Array

    @classmethod
    def of(cls, frames: int, through_impact: bool = False) -> Phases:
        """``frames`` moments up to the top; then half as many to impact, and half as many past it.

        Raises:
            OutOfRange: an impossible number of moments.
        """
        if not 2 <= frames <= MOST_FRAMES:
            raise OutOfRange("frames", frames, 2, MOST_FRAMES)
        up = np.linspace(0.0, TOP, frames)
        if not through_impact:
            return cls(up)
        half = frames // 2
        down, past = (np.linspace(start, start + 1.0, half + 1)[1:] for start in (TOP, IMPACT))
        return cls(np.concatenate([up, down, past]))

    @classmethod
    def on_the_way(cls, ways: Array) -> Phases:
        """Moments at the given ``ways (..., M)`` back, above 0."""
        past = np.maximum(ways - 1.0, 0.0) / (LEVEL_PAST - 1.0)
        return cls(TOP + np.minimum(ways, 1.0) + past)

    @property
    def count(self) -> int:
        """How many moments there are of each golfer."""
        return self.progress.shape[-1]

    def each(self, values: Array, golfers: int) -> Array:
        """What holds of the moments, ``values`` shaped like ``progress``, for every moment of ``golfers``, flat."""
        return np.broadcast_to(values, (golfers, self.count)).reshape(-1)

    @property
    def up(self) -> Array:
        """Progress of the way up, 1 from the top on."""
        return np.minimum(self.progress, TOP)

    @property
    def way(self) -> Array:
        """The way back: 0 up to the top, 1 at impact, `LEVEL_PAST` at the end."""
        past = np.maximum(self.progress - IMPACT, 0.0)
        return (self.progress - TOP).clip(0.0, 1.0) + past * (LEVEL_PAST - 1.0)

    @property
    def at_top(self) -> int:
        """Number of the moment at the top, of moments that all golfers share."""
        return int(np.searchsorted(self.progress, TOP))
