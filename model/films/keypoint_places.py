"""Where a golfer's keypoints are, by the chain's joints and the face's landmarks."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..arrays import Array
from .tracks import KEYPOINTS


def kind(keypoint: str) -> str:
    """``left_knee`` is a ``knee``."""
    return keypoint.rpartition("_")[2]


def side(keypoint: str) -> str:
    """``left``, ``right`` or nothing."""
    return keypoint.partition("_")[0] if "_" in keypoint else ""


def places(joints: Mapping[str, Array], *, left_handed: bool) -> Array:
    """``(17, ...)`` of the keypoints, from joints and landmarks by their names; lead is a right-hander's left."""
    of_side = {"left": "trail", "right": "lead"} if left_handed else {"left": "lead", "right": "trail"}
    names = [f"{kind(point)}_{of_side[side(point)]}" if side(point) else point for point in KEYPOINTS]
    return np.stack([np.asarray(joints[name], float) for name in names])
