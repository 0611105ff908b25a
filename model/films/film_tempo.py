"""How fast a filmed swing is beside what swings take, which tells a wrong rate of frames."""

from __future__ import annotations

import math

from .film_moments import Moments

USUAL_BACK = 1.0
USUAL_DOWN = {"face_on": 0.25, "down_the_line": 0.20}
"""s from takeaway to top and from there to the hands' fastest motion (common practice; down the line that is seen a
fifth earlier, as measured on simulated films)."""
SEEN_LATE = {"face_on": 0.0, "down_the_line": 0.18}
"""s that the takeaway shows late, along the camera's axis (measured on simulated films)."""
ODD = 1.42
"""Times as long, or as short, as usual from which on a tempo is odd: half way to twice."""
UNLIKE = 1.5
"""Times as long in one film as in the other from which on they are of no one's usual two swings (our choice)."""


def times_usual(moments: Moments, fps: float, view: str) -> float:
    """How many times as long as usual backswing and way down take: the geometric mean of both, NaN if unknown.

    A rate of frames that is wrong by two makes both half or twice as long; one golfer's are seldom both so.
    """
    back = (moments.top - moments.address) / fps + SEEN_LATE[view]
    down = (moments.fastest - moments.top) / fps
    return math.sqrt(back / USUAL_BACK * down / USUAL_DOWN[view]) if down > 0.0 else float("nan")
