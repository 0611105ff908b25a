"""How far a detector is off: by keypoint, view and moment.

Part of it lasts through a film, half of its variance shared by the keypoints of a segment; it is the same at address
and at the top and costs little. The rest is not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from ..arrays import Array, BoolArray
from .detector_noise import WIDER, FaceBy, ViewNoise
from .filmed_golfer import FITTED

KIND = np.array([name.rpartition("_")[2] for name in FITTED])
"""``(13,)`` ``shoulder`` of ``left_shoulder``."""

SEGMENT = np.array([{"shoulder": 1, "hip": 2, "knee": 3, "ankle": 3}.get(kind, 0) for kind in KIND])
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
        known: face-on and down the line, a detector whose habits were measured stands over all that.
        face: what says where the face is, where the detector is known.
    """

    lasting: float = 0.014
    shared: float = 0.5
    varying: tuple[float, float] = (0.0085, 0.0105)
    wide: Mapping[str, float] = field(default_factory=lambda: dict(WIDE_FACE_ON))
    dragged: float = FACE_DRAGGED
    known: tuple[ViewNoise | None, ViewNoise | None] = (None, None)
    face: tuple[FaceBy, FaceBy] = ("pose_net", "pose_net")

    def varying_by(self, view: int, axis: int) -> Array:
        """``(2, 13, 13)`` m^2, at address and at the top, covariance of what varies but for the face as a whole.

        Args:
            view: 0 face-on, 1 down the line.
            axis: of the picture, 0 across and 1 down.
        """
        known = self.known[view]
        if known is None:
            variance = np.repeat(np.square(self.varying)[:, None], len(FITTED), axis=1)
            for kind, times in self.wide.items() if view == 0 else ():
                variance[1, kind == KIND] *= times**2
            return variance[..., None] * np.eye(len(FITTED))
        covariance = np.repeat((WIDER * known.varying) ** 2 * np.eye(len(FITTED))[None], 2, axis=0)
        for kind, pair in known.pairs.items():
            # A right-hander's left side leads, and comes first.
            lead, trail = np.flatnonzero(kind == KIND)
            sd = WIDER * np.array([pair.lead[axis], pair.trail[axis]])
            both = np.array([[1.0, pair.together[axis]], [pair.together[axis], 1.0]])
            covariance[1][np.ix_([lead, trail], [lead, trail])] += np.outer(sd, sd) * both
        return covariance

    def lasting_by(self, view: int) -> Array:
        """``(13, 13)`` m^2, covariance of what lasts."""
        known = self.known[view]
        sd = (
            np.full(len(FITTED), self.lasting)
            if known is None
            else WIDER * np.array([known.lasting[kind] for kind in KIND])
        )
        same = SEGMENT[:, None] == SEGMENT
        return np.asarray(np.outer(sd, sd) * (self.shared * same + (1.0 - self.shared) * np.eye(len(FITTED))))

    def whole(self) -> Array:
        """``(2, 2, 13, 2)`` m, standard deviation by view, moment, keypoint and axis, but for the face as a whole."""
        variance = [
            [[np.diag(one) for one in self.varying_by(view, axis)] + np.diag(self.lasting_by(view)) for axis in (0, 1)]
            for view in (0, 1)
        ]
        return np.asarray(np.sqrt(np.moveaxis(np.array(variance), 1, -1)))

    def whitener(self, seen: BoolArray, weight: Array) -> Array:
        """Inverse square roots ``(S, 2, 2, 26, 26)`` 1/m of the covariance in each view and axis, moments in a row.

        Args:
            seen: ``(S, 2, 2, 13)`` whether it was seen, by view, moment, keypoint.
            weight: likewise, 0 to 1: how far one is trusted.
        """
        count, points = len(seen), 2 * len(FITTED)
        less = (1.0 / np.sqrt(np.maximum(weight, 1e-6))).reshape(count, 2, points)
        there = seen.reshape(count, 2, points)
        covariance = np.empty((count, 2, 2, points, points))
        for view, axis in np.ndindex(2, 2):
            varying = np.zeros((points, points))
            for moment, own in enumerate(self.varying_by(view, axis)):
                part = slice(moment * len(FITTED), (moment + 1) * len(FITTED))
                varying[part, part] = own
            off, both = less[:, view], there[:, view, :, None] & there[:, view, None]
            varying = np.where(both, varying * off[..., None] * off[:, None], 0.0)
            lasting = np.tile(self.lasting_by(view), (2, 2)) + self._dragged(view, axis)
            unseen = np.where(there[:, view], 0.0, 1e6)[..., None] * np.eye(points)
            covariance[:, view, axis] = lasting + varying + unseen
        return np.asarray(np.linalg.inv(np.linalg.cholesky(covariance)))

    def _dragged(self, view: int, axis: int) -> Array:
        """``(26, 26)`` m^2, moments in a row: what moves the whole face at the top."""
        known = self.known[view]
        sd = self.dragged
        if known is not None:
            sd = WIDER * known.face[self.face[view]][axis]
        face = np.concatenate([np.zeros(len(FITTED)), SEGMENT == 0])
        return np.asarray(sd**2 * np.outer(face, face))
