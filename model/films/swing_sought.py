"""Where in a long film the swing is, by hands that were seen every tenth of a second or so.

From the top hands come down by more than a trunk's length in a quarter of a second (common practice), which waggling,
walking and bending down do not by far. They are counted from the hips, so that a camera that is moved brings nothing
down.
"""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from .tracks import KEYPOINTS

EVERY = 0.1
"""s between two looks, about: hands are high for two of them before they come down (a quarter of a second is usual;
common practice)."""
LEAST_FALL = 0.2
"""Trunk lengths between two looks, at least: of 120 films of simulated swings all showed 0.42, so that a practice swing
of half the speed is found and a film slowed down by four is not (our choice)."""
LONGEST_GAP = 2.5
"""Times that between two looks that tell how fast hands were."""


def falls_at(places: Array, seconds: Array) -> float | None:
    """When the hands come down fastest, s; None where that was nowhere seen.

    They must have been high in two looks, so that one in which a detector lost them is no swing.

    Args:
        places: ``(F, 17, 2)`` pixels, NaN where not seen.
        seconds: ``(F,)`` of each look, growing.
    """
    shoulders, hips, wrists = (_middle(places, kind) for kind in ("shoulder", "hip", "wrist"))
    height = (hips - wrists)[:, 1]
    known = np.flatnonzero(np.isfinite(height) & np.isfinite(shoulders).all(axis=-1))
    if known.size < 3:
        return None
    trunk = np.median(np.linalg.norm(shoulders[known] - hips[known], axis=-1))
    height, when = height[known] / trunk, seconds[known]
    fell = np.minimum(height[:-2], height[1:-1]) - height[2:]
    near = when[2:] - when[:-2] <= 2.0 * LONGEST_GAP * float(np.median(np.diff(seconds)))
    fell = np.where(near, fell, -np.inf)
    last = int(fell.argmax())
    return float(0.5 * (when[last + 1] + when[last + 2])) if fell[last] >= LEAST_FALL else None


def _middle(places: Array, kind: str) -> Array:
    """``(F, 2)`` between a pair, which no exchange of left and right moves."""
    return np.asarray(0.5 * (places[:, KEYPOINTS.index(f"left_{kind}")] + places[:, KEYPOINTS.index(f"right_{kind}")]))
