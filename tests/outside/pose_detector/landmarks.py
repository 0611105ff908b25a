"""The joints that the detector and the model both have, and what each calls them."""

from __future__ import annotations

import numpy as np

from turnstill.model.arrays import Array
from turnstill.model.chain.skeleton import Skeleton

PAIRS: tuple[str, ...] = ("shoulder", "elbow", "wrist", "hip", "knee", "ankle")
LANDMARKS: tuple[str, ...] = ("nose", *(f"{side}_{name}" for name in PAIRS for side in ("left", "right")))
"""The detector's names; left and right are the golfer's own."""
LEFT = np.array([LANDMARKS.index(f"left_{name}") for name in PAIRS])
RIGHT = np.array([LANDMARKS.index(f"right_{name}") for name in PAIRS])


def kind(landmark: str) -> str:
    """A landmark without its side."""
    return landmark.rpartition("_")[2]


def joint_of(landmark: str, left_handed: bool) -> str:
    """The model's name: a right-handed golfer's lead side is the left."""
    side, _, name = landmark.rpartition("_")
    if not side:
        return name
    return f"{name}_lead" if (side == "left") != left_handed else f"{name}_trail"


def places(skeleton: Skeleton, left_handed: bool) -> Array:
    """``(..., len(LANDMARKS), 3)`` metres, world."""
    return np.stack([skeleton.joints[joint_of(name, left_handed)] for name in LANDMARKS], axis=-2)
