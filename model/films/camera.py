"""Calibrated pinhole cameras, the two places a coach films from and a third straight above."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array, ArrayLike
from ..errors import OutOfRange

COACH_DISTANCE_M = 5.0
"""Camera to golfer, several metres so that perspective hardly bends the figure (common practice)."""
SQUARE_FROM_ABOVE = 1.1
"""Side of the square at hand height that the view from above frames, in statures (by looking)."""


@dataclass(frozen=True)
class Camera:
    """A pinhole camera in the OpenCV convention: x right, y down, z forward, pixel centres at integers.

    A world point X is at ``R @ X + t`` in the camera and at ``K @ (R @ X + t)``, divided by its last
    component, in the picture (Hartley and Zisserman, Multiple View Geometry, 2nd ed 2004, eq. 6.7; from
    memory). A lens that bends moves what lies at x, y one unit ahead to ``(1 + distortion (x² + y²))`` times
    that: the first term of Brown and Conrady's model, as OpenCV has it.

    Attributes:
        K: ``(3, 3)`` intrinsic matrix, pixels.
        R: ``(3, 3)`` world_to_camera rotation.
        t: ``(3,)`` metres, the world's origin in the camera.
        width: pixels.
        height: pixels.
        distortion: k1 of the lens, 0 for none; below it straight lines bulge outward.

    """

    K: Array
    R: Array
    t: Array
    width: int
    height: int
    distortion: float = 0.0

    @property
    def position(self) -> Array:
        """``(3,)`` metres, world: where the camera stands."""
        place: Array = -self.R.T @ self.t
        return place

    def depth(self, points: ArrayLike) -> Array:
        """``(...)`` metres along the optical axis of ``(..., 3)`` world points."""
        ahead: Array = np.asarray(points, float) @ self.R[2] + self.t[2]
        return ahead

    def project(self, points: ArrayLike) -> Array:
        """Picture places of world points.

        Args:
            points: ``(..., 3)`` metres, world, in front of the camera.

        Returns:
            ``(..., 2)`` pixels, x to the right and y down; a point behind the camera gives NaN.

        """
        seen = np.asarray(points, float) @ self.R.T + self.t
        with np.errstate(divide="ignore", invalid="ignore"):
            ahead = np.where(seen[..., 2:] > 0, seen[..., 2:], np.nan)
            flat = seen / ahead
            if self.distortion:
                flat[..., :2] *= self._stretch(flat)[..., None]
        pixels: Array = flat @ self.K[:2].T
        return pixels

    def _stretch(self, flat: Array) -> Array:
        """``(...)`` how many times as far from the axis the lens shows places ``(..., 2 or 3)`` one unit ahead.

        A polynomial turns round far outside the picture, where nothing may be folded back into it: from there on it
        is left at its greatest reach.
        """
        square = (flat[..., :2] ** 2).sum(axis=-1)
        if self.distortion < 0:
            turning = -1 / (3 * self.distortion)
            reach = np.sqrt(turning / np.maximum(square, turning))
            return np.asarray((1 + self.distortion * np.minimum(square, turning)) * reach)
        return np.asarray(1 + self.distortion * square)

    def bent(self, points: ArrayLike) -> Array:
        """World points moved parallel to the picture, so that a pinhole shows them where this lens does.

        Args:
            points: ``(..., 3)`` metres, world.

        Returns:
            ``(..., 3)`` metres, world: as deep as before; what is behind the camera stays.

        """
        given = np.asarray(points, float)
        if not self.distortion:
            return given
        seen = given @ self.R.T + self.t
        ahead = np.where(seen[..., 2:] > 0, seen[..., 2:], np.inf)
        moved: Array = given + (seen[..., :2] * (self._stretch(seen / ahead) - 1)[..., None]) @ self.R[:2]
        return moved

    def rays(self) -> Array:
        """``(height, width, 3)`` world directions, one metre ahead, of what the middles of the pixels show."""
        rows, columns = np.mgrid[0 : self.height, 0 : self.width]
        pixels = np.stack([columns, rows, np.ones_like(rows)], -1).astype(float)
        flat = pixels @ np.linalg.inv(self.K).T
        if self.distortion:
            shown = np.linalg.norm(flat[..., :2], axis=-1)
            flat[..., :2] *= (self.undone(shown) / np.maximum(shown, 1e-12))[..., None]
        directions: Array = flat @ self.R
        return directions

    def undone(self, shown: Array) -> Array:
        """Distances from the axis, one unit ahead, of what the lens shows at ``shown (...)``: Newton's steps."""
        k = self.distortion
        limit = np.sqrt(-1 / (3 * k)) if k < 0 else np.inf
        way = np.minimum(shown, 0.999 * limit)
        for _ in range(12):
            way = np.minimum(way - (way + k * way**3 - shown) / (1 + 3 * k * way**2), 0.999 * limit)
        return way

    def scaled(self, s: float) -> Camera:
        """The same camera with s times as many pixels each way; the view does not change.

        Raises:
            OutOfRange: if s is not positive and finite.

        """
        if not (np.isfinite(s) and s > 0):
            raise OutOfRange("scale", float(s), 1e-3, 1e3)
        K = np.array(self.K, float)
        K[:2] *= s
        # Pixel centre i lies i + 0.5 pixels from the picture's edge, and edges scale, not centres.
        K[:2, 2] = (self.K[:2, 2] + 0.5) * s - 0.5
        return Camera(K, self.R, self.t, round(self.width * s), round(self.height * s), self.distortion)

    def cropped(self, box: tuple[int, int, int, int]) -> Camera:
        """The camera of a part of the picture: left, top, right, bottom in pixels, the last two not included."""
        left, top, right, bottom = box
        K = np.array(self.K, float)
        K[:2, 2] -= left, top
        return Camera(K, self.R, self.t, right - left, bottom - top, self.distortion)


def _level_camera(
    position: Array, forward: Array, width: int, height: int, stature_m: float, distance_m: float
) -> Camera:
    """A camera with a horizontal axis that frames a golfer from the ground to above the swinging club."""
    # Ground in front of the feet below, raised hands and club above; the fractions were chosen by looking.
    low_m, high_m = -0.17 * stature_m, 1.30 * stature_m
    focal = (height / (high_m - low_m)) * distance_m
    # The axis stays level at hand height, as a coach sets the tripod; the frame is a crop of that view.
    cy = height * (high_m - position[2]) / (high_m - low_m) - 0.5
    K = np.array([[focal, 0.0, width / 2 - 0.5], [0.0, focal, cy], [0.0, 0.0, 1.0]])
    up = np.array([0.0, 0.0, 1.0])
    R = np.stack([np.cross(forward, up), -up, forward])
    return Camera(K, R, -R @ position, width, height)


def _checked(name: str, value: float, low: float, high: float) -> float:
    if not low <= value <= high:
        raise OutOfRange(name, float(value), low, high)
    return float(value)


def face_on(
    hand_height_m: float,
    width: int = 720,
    height: int = 900,
    *,
    stature_m: float = 1.75,
    distance_m: float = COACH_DISTANCE_M,
    left_handed: bool = False,
) -> Camera:
    """The view square to the target line, from the ball side at hand height (common practice).

    A right-handed golfer's target is at the picture's right; a left-handed golfer's, whose whole world is
    mirrored (y negated), at its left.

    Args:
        hand_height_m: height of the camera, the hands' height at address, metres.
        width: pixels.
        height: pixels.
        stature_m: the golfer's stature, for the framing, metres.
        distance_m: from the middle of the feet to the camera, metres.
        left_handed: accepted so that both views are asked for alike; this place is its own mirror image.

    Raises:
        OutOfRange: for a place or size no camera stands at.

    """
    del left_handed
    distance = _checked("distance_m", distance_m, 1.5, 50.0)
    stature = _checked("stature_m", stature_m, 0.5, 3.0)
    position = np.array([distance, 0.0, _checked("hand_height_m", hand_height_m, 0.0, 3.0)])
    return _level_camera(position, np.array([-1.0, 0.0, 0.0]), width, height, stature, distance)


def down_the_line(
    hands_position: ArrayLike,
    width: int = 720,
    height: int = 900,
    *,
    stature_m: float = 1.75,
    distance_m: float = COACH_DISTANCE_M,
    left_handed: bool = False,
) -> Camera:
    """The view along the line through the hands toward the target, from the trail side (common practice).

    Args:
        hands_position: ``(3,)`` metres, world: the hands at address; the camera shares their x and height.
        width: pixels.
        height: pixels.
        stature_m: the golfer's stature, for the framing, metres.
        distance_m: from the middle of the feet to the camera, metres.
        left_handed: the golfer's world is mirrored, so the camera stands at +y and looks along -y.

    Raises:
        OutOfRange: for a place or size no camera stands at.

    """
    hands = np.asarray(hands_position, float)
    distance = _checked("distance_m", distance_m, 1.5, 50.0)
    stature = _checked("stature_m", stature_m, 0.5, 3.0)
    toward_target = -1.0 if left_handed else 1.0
    position = np.array(
        [
            _checked("hands_position x", hands[0], -3.0, 3.0),
            -toward_target * distance,
            _checked("hands_position z", hands[2], 0.0, 3.0),
        ]
    )
    forward = np.array([0.0, toward_target, 0.0])
    return _level_camera(position, forward, width, height, stature, distance)


def from_above(
    hands_position: ArrayLike,
    width: int = 720,
    height: int = 900,
    *,
    stature_m: float = 1.75,
    distance_m: float = COACH_DISTANCE_M,
) -> Camera:
    """The view straight down on the golfer, on which a turn is seen as it is.

    It is the face-on camera swung up over the golfer with its right kept: the target stays at the right for a
    right-handed golfer and at the left for a left-handed one, who faces down the picture, so that the ball lies at the
    bottom and the back is at the top. With the target at the right no other way round is possible, short of a mirror.

    Whatever lies level is shown without distortion, since the picture is parallel to the ground: an angle between
    level lines is the angle in the picture.

    Args:
        hands_position: ``(3,)`` metres, world: the hands at address; the camera shares their x and stands over the
            middle of the feet along the target line.
        width: pixels.
        height: pixels.
        stature_m: the golfer's stature, for the framing, metres.
        distance_m: from the hands' height up to the camera, metres; on a boom or a high ceiling (assumption).

    Raises:
        OutOfRange: for a place or size no camera stands at.

    """
    hands = np.asarray(hands_position, float)
    distance = _checked("distance_m", distance_m, 1.5, 50.0)
    stature = _checked("stature_m", stature_m, 0.5, 3.0)
    ahead = _checked("hands_position x", hands[0], -3.0, 3.0)
    position = np.array([ahead, 0.0, _checked("hands_position z", hands[2], 0.0, 3.0) + distance])
    focal = min(width, height) / (SQUARE_FROM_ABOVE * stature) * distance
    K = np.array([[focal, 0.0, width / 2 - 0.5], [0.0, focal, height / 2 - 0.5], [0.0, 0.0, 1.0]])
    R = np.array([[0.0, 1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, -1.0]])
    return Camera(K, R, -R @ position, width, height)
