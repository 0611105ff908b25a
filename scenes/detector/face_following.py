"""Following a face from picture to picture, by what moves with it; for the Python of the detector's own environment.

A face detector finds a face anew in each picture, and is off by a centimetre otherwise at the top than at address: the
head is turned and shaded another way, the shoulder comes up before it. Corners on the head, followed by optical flow
(Lucas and Kanade 1981; Bouguet's pyramids; corners of Shi and Tomasi 1994), tell how far it went with half the error.

Corners are found in one picture, the *key*, and each later picture is held against that, so that errors do not add up
from picture to picture. How the head went is the affinity that most corners agree on (Fischler and Bolles 1981): a head
that turns does not keep its shape in the picture. The others lie on what moves otherwise: background, a shoulder, a
shadow. As soon as fewer agree, the picture before becomes the key.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Picture = NDArray[np.uint8]
Affinity = Array
"""``(2, 3)`` of a place to another."""

TRUNK_PX = 300.0
"""The golfer's trunk in what corners are followed in; all that follows in pixels is of such a picture (by trying, as
are the numbers below)."""
WINDOW_PX, LEVELS = 31, 1
"""About a corner that is followed, and how often the picture is halved first."""
HEAD, ROOM = 0.17, 0.6
"""Trunk lengths about the middle of the face: corners lie in the first, and the head stays in the second."""
MOST_CORNERS, APART_PX, WORST = 150, 3, 0.01
"""How many corners, how far apart, and their quality in that of the best."""
THERE_AND_BACK_PX = 0.4
"""A corner that is followed to another picture and back comes home within this."""
AGREEING_PX = 2.0
FEWEST, KEPT = 8, 0.8
"""Corners that must agree; with less than this share of those that agreed first, there is a new key."""
LEAST_TRUNK_PX = 20.0
"""A golfer who is smaller has no face to follow."""
_SAME = np.eye(2, 3)


@dataclass(frozen=True)
class _Key:
    """A picture whose corners are sought in later ones.

    Attributes:
        corner, side: pixels of the picture, upper left one and length of the square about the head.
        grey: that square, enlarged.
        corners: ``(N, 1, 2)`` pixels in it.
        since: from the picture that following began with to this one, in pictures' pixels.
    """

    corner: NDArray[np.intp]
    side: int
    grey: Picture
    corners: NDArray[np.float32]
    since: Affinity


class FaceFollower:
    """Follows the face of one film, whose pictures come one after another."""

    def __init__(self) -> None:
        self._key: _Key | None = None
        self._agreed = 0
        """Corners of the key that agreed first; 0 before any did."""
        self._begun, self._trunk = np.zeros(2), 1.0
        self._since, self._before = _SAME, np.empty((0, 0, 3), np.uint8)
        """How the face has gone since following began, and the picture before."""

    def follow(self, picture: Picture, face: Array, trunk: float) -> Array:
        """Where the middle of the face went.

        Args:
            picture: ``(h, w, 3)``.
            face: ``(5, 2)`` pixels, where a detector has it; NaN where it has none.
            trunk: pixels from the middle of the shoulders to that of the hips; NaN where nobody was found.

        Returns:
            ``(2,)`` pixels: its place, counted from that of the face at which following began. NaN where it was
            lost: then following begins anew, at the next picture with a face.
        """
        if self._key is not None:
            found = self._matched(self._key, picture)
            if found is None:
                self._key = None
                return np.full(2, np.nan)
            self._since = found
        else:
            middle = face.mean(axis=0)
            if not (np.isfinite(middle).all() and np.isfinite(trunk)):
                return np.full(2, np.nan)
            self._begun, self._since, self._trunk = middle, _SAME, max(trunk, LEAST_TRUNK_PX)
            self._key, self._agreed = self._key_of(picture), 0
            if self._key is None:
                return np.full(2, np.nan)
        self._before = picture
        return _moved(self._since, self._begun)

    def _matched(self, key: _Key, picture: Picture) -> Affinity | None:
        """How the face has gone since following began, or None."""
        found, agree = self._held_against(key, picture)
        if agree < max(KEPT * self._agreed, FEWEST) and (newer := self._key_of(self._before)):
            by_newer, agree_newer = self._held_against(newer, picture)
            if by_newer is not None:
                self._key, self._agreed = newer, agree_newer
                return by_newer
        self._agreed = self._agreed or agree
        return found

    def _key_of(self, picture: Picture) -> _Key | None:
        """The key that a picture makes, the head being where it is known to be; None where there are no corners."""
        middle, half = _moved(self._since, self._begun), int(np.ceil(ROOM * self._trunk))
        corner, side = np.floor(middle).astype(int) - half, 2 * half
        grey = _square(picture, corner, side, round(side * TRUNK_PX / self._trunk))
        on_head = np.zeros_like(grey)
        across, down = np.rint(_moved(_enlarging(corner, side, len(grey)), middle)).astype(int)
        cv2.circle(on_head, (int(across), int(down)), round(HEAD * TRUNK_PX), 255, -1)
        corners = cv2.goodFeaturesToTrack(grey, MOST_CORNERS, WORST, APART_PX, mask=on_head, blockSize=5)
        return None if corners is None or len(corners) < FEWEST else _Key(corner, side, grey, corners, self._since)

    def _held_against(self, key: _Key, picture: Picture) -> tuple[Affinity | None, int]:
        """How the face has gone since following began, by the corners of a key, and how many of them agree."""
        grey = _square(picture, key.corner, key.side, len(key.grey))
        enlarging = _enlarging(key.corner, key.side, len(grey))
        back = _back(enlarging)
        guess = _after(enlarging, _after(_after(self._since, _back(key.since)), back))
        start = _moved(guess, key.corners.astype(float)).astype(np.float32)
        how: dict[str, Any] = {
            "winSize": (WINDOW_PX, WINDOW_PX), "maxLevel": LEVELS, "flags": cv2.OPTFLOW_USE_INITIAL_FLOW,
            "criteria": (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 40, 0.003),
        }  # fmt: skip
        there, seen, _ = cv2.calcOpticalFlowPyrLK(key.grey, grey, key.corners, start, **how)
        home, seen_home, _ = cv2.calcOpticalFlowPyrLK(grey, key.grey, there, key.corners.copy(), **how)
        off = np.linalg.norm((home - key.corners)[:, 0], axis=-1)
        good = (seen[:, 0] == 1) & (seen_home[:, 0] == 1) & (off < THERE_AND_BACK_PX)
        if good.sum() < FEWEST:
            return None, 0
        found, agree = cv2.estimateAffine2D(
            key.corners[good], there[good], method=cv2.RANSAC, ransacReprojThreshold=AGREEING_PX, maxIters=2000
        )
        if found is None or agree.sum() < FEWEST:
            return None, 0
        return _after(_after(_after(back, found), enlarging), key.since), int(agree.sum())


def _square(picture: Picture, corner: NDArray[np.intp], side: int, size: int) -> Picture:
    """A square of a picture in grey, enlarged to ``size``; what lies outside is as the picture's edge is."""
    down, across = (np.clip(corner[k] + np.arange(side), 0, picture.shape[1 - k] - 1) for k in (1, 0))
    grey = cv2.cvtColor(picture[down[:, None], across], cv2.COLOR_RGB2GRAY)
    way = cv2.INTER_AREA if size < side else cv2.INTER_CUBIC
    return np.asarray(cv2.resize(grey, (size, size), interpolation=way))


def _enlarging(corner: NDArray[np.intp], side: int, size: int) -> Affinity:
    """From a picture's pixels to those of a square of it: p' = (p - corner + 1/2) scale - 1/2."""
    scale = size / side
    return np.column_stack([scale * np.eye(2), (0.5 - corner) * scale - 0.5])


def _moved(affinity: Affinity, places: Array) -> Array:
    """Places ``(..., 2)`` moved by an affinity."""
    return np.asarray(places @ affinity[:, :2].T + affinity[:, 2])


def _after(second: Affinity, first: Affinity) -> Affinity:
    """One affinity after another."""
    return np.column_stack([second[:, :2] @ first[:, :2], _moved(second, first[:, 2])])


def _back(affinity: Affinity) -> Affinity:
    """The inverse."""
    inverse = np.linalg.inv(affinity[:, :2])
    return np.column_stack([inverse, -inverse @ affinity[:, 2]])
