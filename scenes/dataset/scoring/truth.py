"""What a split's labels say, as arrays to judge a detector by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from ....model.arrays import Array
from ..layout.sample import KEYPOINTS

Label = Mapping[str, Any]
PARTS_OF_WAY = ("first quarter", "second quarter", "third quarter", "last quarter", "way down", "past the ball")
"""Quarters of the way from address to the top, and what comes after it in a swing that goes on; impact is on the way
down."""
HEAD = slice(0, 5)
"""Nose, eyes and ears."""
_TORSO = ("shoulder_lead", "shoulder_trail", "hip_lead", "hip_trail")


@dataclass(frozen=True)
class Truth:
    """Of N pictures in the order of their ids.

    Attributes:
        labels: the labels themselves.
        places: ``(N, 17, 2)`` pixels; those of keypoints outside the picture mean nothing.
        sight: ``(N, 17)`` v.
        torso: ``(N,)`` pixels, middle of the shoulders to middle of the hips at this swing's address from this tripod.
        part: ``(N,)`` index into ``PARTS_OF_WAY``.
        left_handed: ``(N,)``.
        first: ``(N,)`` index of the swing's address picture from the same tripod, -1 where there is none.
    """

    labels: Sequence[Label]
    places: Array
    sight: np.ndarray[Any, np.dtype[np.intp]]
    torso: Array
    part: np.ndarray[Any, np.dtype[np.intp]]
    left_handed: np.ndarray[Any, np.dtype[np.bool_]]
    first: np.ndarray[Any, np.dtype[np.intp]]

    @classmethod
    def of(cls, labels: Sequence[Label]) -> Truth:
        """From the labels of a split, in the order of its archives."""
        points = np.array([label["keypoints"] for label in labels], float).reshape(-1, len(KEYPOINTS), 3)
        address = {_tripod(label): k for k, label in enumerate(labels) if label["moment"] == 0}
        first = np.array([address.get(_tripod(label), -1) for label in labels], np.intp)
        own = np.array([torso_px(label) for label in labels])
        progress = np.array([label["progress"] for label in labels])
        return cls(
            labels=labels,
            places=points[..., :2],
            sight=points[..., 2].astype(np.intp),
            torso=np.where(first >= 0, own[first], own),
            part=np.where(progress <= 1, np.minimum(progress * 4, 3), 4 + (progress > 2)).astype(np.intp),
            left_handed=np.array([label["body"]["handedness"] == "left" for label in labels]),
            first=first,
        )

    def names(self, name: str) -> np.ndarray[Any, np.dtype[np.str_]]:
        """``(N,)`` a text of every label."""
        return np.array([str(label[name]) for label in self.labels])


def torso_px(label: Label) -> float:
    """From the middle of the shoulders to the middle of the hips in the picture, whether inside its edges or not."""
    lead, trail, hip_lead, hip_trail = (np.array(label["joints_px"][name]) for name in _TORSO)
    return float(np.linalg.norm((lead + trail - hip_lead - hip_trail) / 2))


def _tripod(label: Label) -> tuple[int, int, str]:
    return label["subject"], label["swing"], label["view"]
