"""Where the face went between address and the top, as a detector saw it."""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from .filmed_golfer import FACE, FITTED
from .swaps import bridge, medians
from .tracks import KEYPOINTS, Track

SMOOTH_S = 0.06
"""To either side, of the running median."""
ALWAYS = 0.6
"""Share of the frames in which a keypoint of the face must be seen to count (our choice)."""


def face_path(track: Track, first: int, last: int) -> Array:
    """``(F, 2)`` pixels: the middle of the face's keypoints in each frame from one to another; empty if none is seen.

    Gaps are bridged, so that no keypoint that comes and goes pulls the middle about.
    """
    which = [KEYPOINTS.index(name) for name in FITTED[:FACE]]
    places = track.places[first : last + 1, which]
    kept = places[:, np.isfinite(places).all(axis=-1).mean(axis=0) >= ALWAYS]
    if not kept.size:
        return np.empty((0, 2))
    filled, _ = bridge(medians(kept, max(1, round(SMOOTH_S * track.fps))), len(kept))
    known = np.isfinite(filled).all(axis=(-2, -1))
    return np.asarray(filled[known].mean(axis=1))
