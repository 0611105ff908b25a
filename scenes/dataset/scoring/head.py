"""How far the head went as a coach reads it from a detector's keypoints, beside the label."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ....model.arrays import Array
from ...views.names import DOWN_THE_LINE, FACE_ON
from .truth import HEAD, Truth

READ: Mapping[str, tuple[str, str]] = {FACE_ON: ("toward_target", "up"), DOWN_THE_LINE: ("toward_ball", "up")}
"""What each view shows of ``head_cm``: across the picture, and up it."""


@dataclass(frozen=True)
class HeadReading:
    """One direction in one view.

    Attributes:
        view: which.
        direction: a key of ``head_cm``.
        said: ``(n,)`` cm, what the keypoints say; NaN where nobody was found in this picture or the swing's first.
        label: ``(n,)`` cm.
    """

    view: str
    direction: str
    said: Array
    label: Array


def read_heads(truth: Truth, places: Array) -> list[HeadReading]:
    """The head's way since address in every later picture.

    The middle of nose, eyes and ears in a picture less that in the swing's first from the same tripod, in centimetres
    at the head's distance from the camera at address, along the picture's own columns and rows: a lens that bends or a
    camera off square is not put right.

    Args:
        truth: the labels.
        places: ``(N, 17, 2)`` pixels of keypoints.
    """
    middle = places[:, HEAD].mean(axis=1)
    views = truth.names("view")
    found = []
    for view, (across, up) in READ.items():
        later = (views == view) & (truth.first >= 0) & (truth.first != np.arange(len(views)))
        rows = [int(row) for row in np.nonzero(later)[0]]
        scale = np.array([_cm_per_pixel(truth, int(first)) for first in truth.first[rows]])
        moved = (middle[rows] - middle[truth.first[rows]]) * scale[:, None]
        to_right = np.array([_to_the_right(truth, row, across) for row in rows])
        for direction, said in ((across, moved[:, 0] * to_right), (up, -moved[:, 1])):
            label = np.array([truth.labels[row]["head_cm"][direction] for row in rows])
            found.append(HeadReading(view, direction, said, label))
    return found


def _cm_per_pixel(truth: Truth, row: int) -> float:
    label = truth.labels[row]
    away = float(np.mean([point[2] for point in label["keypoints_3d_camera_m"][HEAD]]))
    return 100 * away / float(label["camera"]["K"][0][0])


def _to_the_right(truth: Truth, row: int, direction: str) -> float:
    """1 where the direction shows to the right in the picture, -1 where to the left."""
    right = truth.labels[row]["camera"]["R"][0]
    along = right[0] if direction == "toward_ball" else right[1] * (-1 if truth.left_handed[row] else 1)
    return 1.0 if along > 0 else -1.0
