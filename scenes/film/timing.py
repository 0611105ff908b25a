"""When a film shows which moment: back to the top, a rest, and the same way home, so that it loops without a jump."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.errors import TurnstillError

SHARE_AT_TOP, SHARE_AT_ADDRESS = 0.16, 0.08
"""Parts of the film that rest at the top and at address (our choice)."""
FEWEST_FRAMES, MOST_FRAMES = 12, 750
"""The most are half a minute at 25 a second; more would show the same simulated moments several times over."""
DENSE = 401
"""Moments simulated, of which a film takes the nearest: at most 0.00125 of the backswing off."""


@dataclass(frozen=True)
class Timing:
    """The moments of a film and the order it shows them in.

    Attributes:
        picks: ``(K + 1,)`` indices into ``DENSE`` moments, never falling, address first and top last.
        order: for each frame, which of ``picks`` it shows; the backswing's frames are 0 to K in order.
        rate: frames a second.

    """

    picks: tuple[int, ...]
    order: tuple[int, ...]
    rate: float

    @property
    def progress(self) -> Array:
        """``(K + 1,)`` 0 at address to 1 at the top."""
        return np.array(self.picks) / (DENSE - 1)


def timing(seconds: float, rate: float) -> Timing:
    """Share out a film's frames.

    The way back takes every second moment of the backswing: twice as fast, and nothing new to draw. It is the
    backswing played backward, no downswing.

    Args:
        seconds: the film's length.
        rate: frames a second.

    Raises:
        TurnstillError: if that is too few frames for a swing, or too many.

    """
    frames = round(seconds * rate) if np.isfinite(seconds) and abs(seconds) < 1e6 else 0
    rest = round(SHARE_AT_TOP * frames) + round(SHARE_AT_ADDRESS * frames)
    steps = 2 * int((frames - rest) / 3)
    if not FEWEST_FRAMES <= frames <= MOST_FRAMES:
        raise TurnstillError(
            f"--seconds was {seconds:g}, but must be from {FEWEST_FRAMES / rate:.2g} to {MOST_FRAMES / rate:.0f} "
            f"for a film of {rate:g} frames a second."
        )
    share = np.arange(steps + 1) / steps
    eased = share * share * (3 - 2 * share)
    picks = np.round(eased * (DENSE - 1)).astype(int)
    home = list(range(steps - 2, 0, -2))
    at_address = round(SHARE_AT_ADDRESS * frames)
    at_top = frames - (steps + 1) - len(home) - at_address
    order = [*range(steps + 1), *([steps] * at_top), *home, *([0] * at_address)]
    return Timing(tuple(picks.tolist()), tuple(order), rate)
