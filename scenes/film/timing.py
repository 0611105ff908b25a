"""When a film shows which moment: back to the top, a rest, and the same way home, so that it loops without a jump."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.errors import TurnstillError
from ...model.golfer.impact import LEVEL_PAST

SHARE_AT_TOP, SHARE_AT_ADDRESS = 0.16, 0.08
"""Parts of the film that rest at the top and at address (our choice)."""
FEWEST_FRAMES, MOST_FRAMES = 12, 750
"""The most are half a minute at 25 a second; more would show the same simulated moments several times over."""
DENSE = 401
"""Moments simulated, of which a film takes the nearest: at most 0.00125 of the backswing off."""


TO_IMPACT = (DENSE - 1) // 2
"""Further moments to impact, and as many past it (`model.swing.phases`)."""
DOWN_SHARE = 1.0 / 3.0
"""Of the backswing's time: how long the way down to impact takes in a film (common practice: three to one)."""
SHARE_PAST = 0.12
"""Part of a film through impact that rests past the ball (our choice)."""


@dataclass(frozen=True)
class Timing:
    """The moments of a film and the order it shows them in.

    Attributes:
        picks: ``(K + 1,)`` indices into the moments simulated, never falling, address first and the end last.
        order: for each frame, which of ``picks`` it shows.
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
    frames = _frames(seconds, rate)
    rest = round(SHARE_AT_TOP * frames) + round(SHARE_AT_ADDRESS * frames)
    steps = 2 * int((frames - rest) / 3)
    share = np.arange(steps + 1) / steps
    eased = share * share * (3 - 2 * share)
    picks = np.round(eased * (DENSE - 1)).astype(int)
    home = list(range(steps - 2, 0, -2))
    at_address = round(SHARE_AT_ADDRESS * frames)
    at_top = frames - (steps + 1) - len(home) - at_address
    order = [*range(steps + 1), *([steps] * at_top), *home, *([0] * at_address)]
    return Timing(tuple(picks.tolist()), tuple(order), rate)


def timing_through_impact(seconds: float, rate: float) -> Timing:
    """Share out the frames of a film that goes on through impact.

    The way down takes a third of the backswing's time, and goes on past the ball at that pace; there the golfer rests
    until the film begins anew.

    Args:
        seconds: the film's length.
        rate: frames a second.

    Raises:
        TurnstillError: as `timing`.
    """
    frames = _frames(seconds, rate)
    at_address, at_top, past = (round(share * frames) for share in (SHARE_AT_ADDRESS, SHARE_AT_ADDRESS, SHARE_PAST))
    beyond = LEVEL_PAST - 1.0
    up = round((frames - at_address - at_top - past - 1) / (1.0 + DOWN_SHARE * (1.0 + beyond)))
    down = max(1, round(up * DOWN_SHARE))
    after = max(1, frames - at_address - at_top - past - 1 - up - down)
    share = np.arange(up + 1) / up
    eased = np.round(share * share * (3 - 2 * share) * (DENSE - 1))
    to_ball = DENSE - 1 + np.round(np.arange(1, down + 1) / down * TO_IMPACT)
    on = DENSE - 1 + TO_IMPACT + np.round(np.arange(1, after + 1) / after * TO_IMPACT)
    picks = np.concatenate([eased, to_ball, on]).astype(int)
    order = [*([0] * at_address), *range(up + 1), *([up] * at_top), *range(up + 1, len(picks))]
    order += [len(picks) - 1] * (frames - len(order))
    return Timing(tuple(picks.tolist()), tuple(order), rate)


def _frames(seconds: float, rate: float) -> int:
    """How many frames a film has.

    Raises:
        TurnstillError: if that is too few for a swing, or too many.
    """
    frames = round(seconds * rate) if np.isfinite(seconds) and abs(seconds) < 1e6 else 0
    if not FEWEST_FRAMES <= frames <= MOST_FRAMES:
        raise TurnstillError(
            f"--seconds was {seconds:g}, but must be from {FEWEST_FRAMES / rate:.2g} to {MOST_FRAMES / rate:.0f} "
            f"for a film of {rate:g} frames a second."
        )
    return frames
