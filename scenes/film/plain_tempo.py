"""When a plain film shows which moment: a still address, the backswing, the way down and past the ball.

The way back to the ball goes on evenly, since how far the pieces have gone on it is the model's to say
(``model.golfer.impact``); past the ball it slows down to rest where the model ends, with the club level.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.errors import OutOfRange
from ...model.golfer.impact import LEVEL_PAST
from ...model.swing.phases import IMPACT, PAST, TOP

STILL_S, BACK_S, DOWN_S, AFTER_S = (0.6, 1.2), (0.75, 1.1), (0.24, 0.34), 0.6
"""s, the shortest and the longest: address before the takeaway, backswing, way down to the ball (common practice); and
what is filmed after that."""
FPS = (24.0, 240.0)
"""Frames a second that phones film at."""


@dataclass(frozen=True)
class Tempo:
    """A plain film's time.

    Attributes:
        fps: frames a second.
        still_s, back_s, down_s: how long address, backswing and the way down to the ball take.
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

    def progress(self) -> Array:
        """Of every frame, as a swing through impact counts it: 1 at the top, 2 at impact, 3 at the end."""
        whole = self.still_s + self.back_s + self.down_s + AFTER_S
        t = np.arange(round(whole * self.fps)) / self.fps - self.still_s
        back = np.clip(t / self.back_s, 0.0, 1.0)
        down = (t - self.back_s) / self.down_s
        # As fast past the ball as to it, then slower and slower.
        room = LEVEL_PAST - 1.0
        past = np.clip(0.5 * (down - 1.0) / room, 0.0, 1.0)
        gone = 1.0 - (1.0 - past) ** 2
        up = TOP * back * back * (3.0 - 2.0 * back)
        return np.asarray(up + (IMPACT - TOP) * np.clip(down, 0.0, 1.0) + (PAST - IMPACT) * gone)

    def moments(self, progress: Array) -> list[int]:
        """Of every frame, which moment of a swing it shows: the nearest.

        Args:
            progress: ``(M,)`` of the swing's moments, rising.
        """
        wanted = self.progress()
        after = np.clip(np.searchsorted(progress, wanted), 1, len(progress) - 1)
        nearer = after - (wanted - progress[after - 1] < progress[after] - wanted)
        return [int(moment) for moment in nearer]
