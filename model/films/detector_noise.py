"""How far a detector that is known is off, in each view: it errs by habit, and most at the top of the backswing.

All figures are root mean squares, habits and scatter together, so nothing is corrected by them: what a net does to
drawn golfers it does not do to people in just that way. They were measured on drawn films of 24 golfers, none of which
was used to judge the reading (`docs/film_reading.md`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

WIDER = 1.25
"""How many times as far off a known detector is taken to be as it was measured: the golfers were few, and people are
not drawn. On the same 24 golfers it made what is said for sure of one film right, and cost nothing with both."""
Axes = tuple[float, float]
"""Across the picture and down it."""


@dataclass(frozen=True)
class ViewNoise:
    """Standard deviations in one view as they were measured, m at the golfer, by kind of keypoint.

    Attributes:
        lasting: the same throughout a film, per axis.
        varying: at address and at the top, besides, each keypoint by itself, per axis.
        middle, apart: at the top, of the middle of a pair, and of half the line between the two. A net that does not
            see which way a line of shoulders lies may well know where its middle is.
        face_detector, pose_net: how far the whole face is off at the top together, by what found it.
    """

    lasting: Mapping[str, float]
    varying: float
    middle: Mapping[str, Axes]
    apart: Mapping[str, Axes]
    face_detector: Axes
    pose_net: Axes


KNOWN: Mapping[str, tuple[ViewNoise, ViewNoise]] = {
    "mediapipe": (
        ViewNoise(
            lasting={"nose": 0.015, "eye": 0.015, "ear": 0.045, "shoulder": 0.02, "hip": 0.02, "knee": 0.024,
                     "ankle": 0.025},
            varying=0.005,
            middle={"shoulder": (0.047, 0.020), "hip": (0.015, 0.035), "knee": (0.006, 0.030), "ankle": (0.006, 0.010)},
            apart={"shoulder": (0.076, 0.087), "hip": (0.012, 0.015), "knee": (0.011, 0.017), "ankle": (0.006, 0.006)},
            face_detector=(0.012, 0.012),
            pose_net=(0.024, 0.055),
        ),
        ViewNoise(
            lasting={"nose": 0.015, "eye": 0.018, "ear": 0.04, "shoulder": 0.038, "hip": 0.022, "knee": 0.018,
                     "ankle": 0.023},
            varying=0.006,
            middle={"shoulder": (0.024, 0.018), "hip": (0.008, 0.017), "knee": (0.012, 0.029), "ankle": (0.008, 0.013)},
            apart={"shoulder": (0.078, 0.081), "hip": (0.022, 0.010), "knee": (0.027, 0.013), "ankle": (0.011, 0.017)},
            face_detector=(0.011, 0.011),
            pose_net=(0.028, 0.013),
        ),
    ),
}  # fmt: skip
"""By the first word of a detector's name; face-on and down the line."""
