"""Whose flesh the seventeen keypoints lie in, and how thick that is."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ....model.arrays import Array
from ....model.films.keypoint_places import kind, side
from ....render.figure.segments import SEGMENT_ID
from ..layout.sample import KEYPOINTS

SIDES = ("left", "right")
MEETING: Mapping[str, tuple[str, ...]] = {
    "nose": ("head",), "eye": ("head",), "ear": ("head",),
    "shoulder": ("trunk", "upper_arm_"), "elbow": ("upper_arm_", "forearm_"), "wrist": ("forearm_", "hand_"),
    "hip": ("trunk", "pelvis", "thigh_"), "knee": ("thigh_", "shank_"), "ankle": ("shank_", "foot_"),
}  # fmt: skip
"""Kind of keypoint to the segments that meet there; an underscore at the end stands before its own side. A
shirt hangs over the hips."""
GIRTHS: Mapping[str, str] = {
    "shoulder": "biceps_circumference", "elbow": "forearm_circumference", "wrist": "wrist_circumference",
    "knee": "lower_thigh_circumference", "ankle": "ankle_circumference",
}  # fmt: skip
ON_SKIN_M = 0.01
"""Nose, eyes and ears lie on the skin: only their own rounding lies before them (assumption)."""
OWN_IDS: tuple[frozenset[int], ...] = tuple(
    frozenset(SEGMENT_ID[name + (side(point) if name.endswith("_") else "")] for name in MEETING[kind(point)])
    for point in KEYPOINTS
)
"""Of each keypoint, the ids of the segments that meet there, same side."""


def half_thickness(shape_cm: Mapping[str, float]) -> Array:
    """``(17,)`` metres of flesh between a keypoint and the skin, from the body's girths and depths in centimetres."""
    half = {name: shape_cm[girth] / (200 * np.pi) for name, girth in GIRTHS.items()}
    half["hip"] = shape_cm["buttock_depth"] / 200
    return np.array([half.get(kind(point), ON_SKIN_M) for point in KEYPOINTS])
