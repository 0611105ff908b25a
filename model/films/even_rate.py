"""Films whose frames are not evenly timed, as tracks of an even rate: many phones slow down where light is scarce."""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from ..errors import TurnstillError

EVEN_WITHIN = 0.25
"""Of a frame's time: a film whose frames come within that of an even rate is taken to have it."""
LONGEST_STEP = 2.5
"""Frames of the usual time apart that two may be and still be joined by a straight line; between others is a gap."""


def evenly(places: Array, confidence: Array, seconds: Array) -> tuple[Array, Array, float]:
    """Keypoints at an even rate.

    Where the film has one, they stay as they are. Else they are taken to move in straight lines between two frames, and
    the rate is that of the usual time between two.

    Args:
        places: ``(F, K, 2)`` pixels, NaN where not seen.
        confidence: ``(F, K)``.
        seconds: ``(F,)`` when each frame was taken, growing.

    Returns:
        Places ``(G, K, 2)``, confidence ``(G, K)`` and frames a second; frame g is g over that after the first.

    Raises:
        TurnstillError: times that do not grow.
    """
    steps = np.diff(seconds)
    if not steps.size or not (steps > 0.0).all():
        raise TurnstillError("The film's frames have no times that grow; copy it again from the camera.")
    rate = steps.size / float(seconds[-1] - seconds[0])
    if np.abs(seconds - seconds[0] - np.arange(len(seconds)) / rate).max() * rate <= EVEN_WITHIN:
        return places, confidence, rate
    rate = 1.0 / float(np.median(steps))
    when = seconds[0] + np.arange(round(float(seconds[-1] - seconds[0]) * rate) + 1) / rate
    after = np.clip(np.searchsorted(seconds, when), 1, len(seconds) - 1)
    before = after - 1
    share = np.clip((when - seconds[before]) / steps[before], 0.0, 1.0)[:, None]
    joined = (steps[before] * rate <= LONGEST_STEP)[:, None]
    # On a frame itself its neighbour does not matter, which may not have been seen.
    first, second = (1.0 - share) > 1e-6, share > 1e-6
    moved = np.where(first[..., None], (1.0 - share)[..., None] * places[before], 0.0)
    moved = moved + np.where(second[..., None], share[..., None] * places[after], 0.0)
    sure = np.minimum(np.where(first, confidence[before], 1.0), np.where(second, confidence[after], 1.0))
    kept = (joined | ~first | ~second) & np.isfinite(moved).all(axis=-1)
    return np.where(kept[..., None], moved, np.nan), np.where(kept, sure, 0.0), rate
