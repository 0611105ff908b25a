"""How far a detector that is known is off, in each view: it errs by habit, and most at the top of the backswing.

All figures are root mean squares, habits and scatter together, so nothing is corrected by them: what a net does to
drawn golfers it does not do to people in just that way. They were measured on drawn films, those of pairs at the top of
16 golfers and those of followed faces of another 24 (`tests/benchmarks/detector_noise.py`), the others of 24 by the
detector's one look at whole pictures, before it had a window and a second look; none of them was used to judge the
reading (`docs/film_reading.md`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

WIDER = 1.25
"""How many times as far off a known detector is taken to be as it was measured: the golfers were few, and people are
not drawn. On 24 golfers it made what is said for sure of one film right, and cost nothing with both."""
Axes = tuple[float, float]
"""Across the picture and down it."""
FaceBy = Literal["pose_net", "face_detector", "followed"]
"""What says where the face is: one net for the whole body, one for faces, or what moves with a face that such
a one found at address."""


@dataclass(frozen=True)
class Pair:
    """How far the two keypoints of a pair are off at the top, besides what lasts.

    Attributes:
        lead, trail: standard deviations, m at the golfer. Face-on the trail shoulder is behind the head, and guessed.
        together: their correlation: below zero where a net does not see which way the line between the two lies, but
            where its middle is.
    """

    lead: Axes
    trail: Axes
    together: Axes


@dataclass(frozen=True)
class ViewNoise:
    """Standard deviations in one view as they were measured, m at the golfer, by kind of keypoint.

    Attributes:
        lasting: the same throughout a film, per axis.
        varying: at address and at the top, besides, each keypoint by itself, per axis.
        pairs: at the top.
        face: how far the whole face is off at the top together, by what says where it is.
    """

    lasting: Mapping[str, float]
    varying: float
    pairs: Mapping[str, Pair]
    face: Mapping[FaceBy, Axes]


KNOWN: Mapping[str, tuple[ViewNoise, ViewNoise]] = {
    "mediapipe": (
        ViewNoise(
            lasting={"nose": 0.015, "eye": 0.015, "ear": 0.045, "shoulder": 0.02, "hip": 0.02, "knee": 0.024,
                     "ankle": 0.025},
            varying=0.005,
            pairs={
                "shoulder": Pair((0.042, 0.085), (0.110, 0.086), (-0.80, -0.93)),
                "hip": Pair((0.023, 0.023), (0.028, 0.051), (0.01, 0.79)),
                "knee": Pair((0.013, 0.018), (0.015, 0.052), (-0.79, 0.66)),
                "ankle": Pair((0.004, 0.015), (0.005, 0.009), (-0.32, 0.45)),
            },
            face={"pose_net": (0.024, 0.055), "face_detector": (0.012, 0.012), "followed": (0.005, 0.004)},
        ),
        ViewNoise(
            lasting={"nose": 0.015, "eye": 0.018, "ear": 0.04, "shoulder": 0.038, "hip": 0.022, "knee": 0.018,
                     "ankle": 0.023},
            varying=0.006,
            pairs={
                "shoulder": Pair((0.119, 0.108), (0.101, 0.121), (-0.96, -0.94)),
                "hip": Pair((0.050, 0.021), (0.032, 0.016), (-0.93, -0.11)),
                "knee": Pair((0.028, 0.036), (0.035, 0.015), (-0.81, 0.45)),
                "ankle": Pair((0.009, 0.027), (0.012, 0.027), (-0.41, -0.81)),
            },
            face={"pose_net": (0.028, 0.013), "face_detector": (0.011, 0.011), "followed": (0.006, 0.005)},
        ),
    ),
}  # fmt: skip
"""By the first word of a detector's name; face-on and down the line."""
