"""How far a detector is off: by keypoint, view and moment.

Part of it lasts through a film, half of its variance shared by the keypoints of a segment; it is the same at address
and at the top and costs little. The rest is not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from ..arrays import Array, BoolArray
from .filmed_golfer import FITTED

SEGMENT = np.array(
    [{"shoulder": 1, "hip": 2, "knee": 3, "ankle": 3}.get(name.rpartition("_")[2], 0) for name in FITTED]
)
"""``(13,)`` keypoints that are off together: head, shoulders, hips, and each leg on its own side."""
SEGMENT = np.where(SEGMENT == 3, np.where([name.startswith("left") for name in FITTED], 3, 4), SEGMENT)
WIDE_FACE_ON: Mapping[str, float] = {"shoulder": 4.0, "hip": 2.4}
"""How many times as far off a detector is face-on at the top: it puts the lead shoulder 10 cm too high and the trail
hip 6 cm low (measured with a detector on drawn films)."""

FACE_DRAGGED = 0.024
"""m per axis: pose nets drag the whole face by 3.4 cm at the top; face detectors, 0.3 cm, do not (both measured with a
detector on drawn films)."""


@dataclass(frozen=True)
class FilmNoise:
    """Standard deviations per axis of the picture, m at the golfer.

    Attributes:
        lasting: the same throughout a film.
        shared: share of its variance that a segment's keypoints have together.
        varying: at address and at the top, as medians of their windows.
        dragged: how far the whole face is off at the top together, in either view.
        wide: kind of keypoint to how many times ``varying`` it is at the top face-on.
    """

    lasting: float = 0.014
    shared: float = 0.5
    varying: tuple[float, float] = (0.0085, 0.0105)
    wide: Mapping[str, float] = field(default_factory=lambda: dict(WIDE_FACE_ON))
    dragged: float = FACE_DRAGGED

    def own(self) -> Array:
        """``(2, 2, 13)`` m^2 of each view, moment and keypoint alone: what varies."""
        variance = np.empty((2, 2, len(FITTED)))
        variance[:, 0], variance[:, 1] = self.varying[0] ** 2, self.varying[1] ** 2
        for kind, times in self.wide.items():
            which = np.array([name.endswith(f"_{kind}") for name in FITTED])
            variance[0, 1, which] *= times**2
        return variance

    def together(self) -> Array:
        """``(13, 13)`` m^2, covariance of what lasts."""
        same = SEGMENT[:, None] == SEGMENT
        return np.asarray(self.lasting**2 * (self.shared * same + (1.0 - self.shared) * np.eye(len(FITTED))))

    def _dragged(self) -> Array:
        """``(26, 26)`` m^2, moments in a row: what moves the whole face at the top."""
        face = np.concatenate([np.zeros(len(FITTED)), SEGMENT == 0])
        return np.asarray(self.dragged**2 * np.outer(face, face))

    def whitener(self, seen: BoolArray, weight: Array) -> Array:
        """Inverse square roots ``(S, 2, 26, 26)`` 1/m of the covariance of one axis of each view, moments in a row.

        Args:
            seen: ``(S, 2, 2, 13)`` whether it was seen, by view, moment, keypoint.
            weight: likewise, 0 to 1: how far one is trusted.
        """
        count, points = len(seen), 2 * len(FITTED)
        own = self.own() / np.maximum(weight, 1e-6)
        lasting = np.tile(self.together(), (2, 2))
        alone = np.where(seen, own, 1e6).reshape(count, 2, points)
        covariance = lasting + self._dragged() + alone[..., None] * np.eye(points)
        return np.asarray(np.linalg.inv(np.linalg.cholesky(covariance)))
