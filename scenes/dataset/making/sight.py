"""Which keypoints a picture shows, from what its pixels show and how far away that is.

A keypoint is **seen** where the pixel nearest to it shows its own flesh: one of the segments that meet at the joint, of
the same side, no farther before the joint than ``OBLIQUE`` half thicknesses of the flesh there and ``CLOTHES_M``. So a
limb seen lengthways covers the joint at its far end. How far that is, is taken between the four pixels round the place.
Where the pixel shows ground or backdrop, nothing lies before the joint: it is seen. What is as thin as a shaft covers
nothing: where the pixel shows the club, the nearest one within ``THIN_M`` that does not answers for it. Everything else
covers it. Outside the picture it is neither.

The rule reads nothing but what is stored, rounded as it is stored, so that anybody can follow it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from ....model.arrays import Array
from ....render.figure.segments import SEGMENT_ID
from ..layout.sample import COVERED, OUTSIDE, SEEN
from .keypoints import OWN_IDS, half_thickness

OBLIQUE = 1.5
"""Lines of sight up to about 48 degrees off the straightest way in (assumption)."""
CLOTHES_M = 0.02
"""Cloth and shoes add so much at most (assumption)."""
THIN_M = 0.02
"""A club's shaft and grip are thinner."""
SAME_SURFACE_M = 0.05
"""Pixels side by side that show the same segment at depths no farther apart show one surface (assumption)."""
_CLUB, _NOTHING = SEGMENT_ID["club"], 0


def visibility(
    places_px: Sequence[Sequence[float]],
    places_camera_m: Sequence[Sequence[float]],
    shape_cm: Mapping[str, float],
    focal_px: float,
    segments: NDArray[np.uint8],
    depth_m: NDArray[np.float32],
) -> list[int]:
    """The v of each of the seventeen keypoints.

    Args:
        places_px: ``(17, 2)`` x, y in the picture, middles of pixels at integers; not finite behind the camera.
        places_camera_m: ``(17, 3)`` in the camera's frame.
        shape_cm: the body's breadths, depths and girths.
        focal_px: the camera's focal length.
        segments: ``(h, w)`` ids.
        depth_m: ``(h, w)`` along the optical axis; anything where the id is 0.
    """
    allowed = OBLIQUE * half_thickness(shape_cm) + CLOTHES_M
    rows = zip(places_px, places_camera_m, allowed, OWN_IDS, strict=True)
    return [_seen(np.asarray(px), np.asarray(at), most, own, focal_px, segments, depth_m) for px, at, most, own in rows]


def _seen(
    px: Array,
    at: Array,
    most: float,
    own: frozenset[int],
    focal_px: float,
    segments: NDArray[np.uint8],
    depth_m: NDArray[np.float32],
) -> int:
    height, width = segments.shape
    if not (np.all(np.isfinite(px)) and at[2] > 0):
        return OUTSIDE
    column, row = (int(np.floor(value + 0.5)) for value in px)
    if not (0 <= column < width and 0 <= row < height):
        return OUTSIDE
    shown = segments[row, column]
    if shown == _CLUB:
        beside = _beside(segments, row, column, THIN_M * focal_px / at[2])
        if beside is None:
            return COVERED
        row, column = beside
        shown = segments[beside]
    if shown == _NOTHING:
        return SEEN
    away = _between(px, row, column, segments, depth_m)
    # Along the line of sight, not the axis.
    before = (at[2] - away) * float(np.linalg.norm(at)) / at[2]
    return SEEN if int(shown) in own and before <= most else COVERED


def _between(px: Array, row: int, column: int, segments: NDArray[np.uint8], depth_m: NDArray[np.float32]) -> float:
    """Metres along the axis at a place between pixels, of those round it that show the same surface as the nearest."""
    height, width = segments.shape
    first = np.clip(np.floor(px).astype(int), 0, (width - 1, height - 1))
    second = np.minimum(first + 1, (width - 1, height - 1))
    share = np.clip(px - first, 0.0, 1.0)
    round_it = np.ix_((first[1], second[1]), (first[0], second[0]))
    weight = np.outer((1 - share[1], share[1]), (1 - share[0], share[0]))
    nearest = float(depth_m[row, column])
    alike = (segments[round_it] == segments[row, column]) & (np.abs(depth_m[round_it] - nearest) <= SAME_SURFACE_M)
    weight = np.where(alike, weight, 0.0)
    # Of the pixel beside a club none of the four may be alike.
    return float((weight * np.where(alike, depth_m[round_it], 0.0)).sum() / weight.sum()) if weight.any() else nearest


def _beside(segments: NDArray[np.uint8], row: int, column: int, reach_px: float) -> tuple[int, int] | None:
    """The nearest pixel that does not show the club; of several the first in reading order."""
    reach = max(int(np.ceil(reach_px)), 1)
    top, left = max(row - reach, 0), max(column - reach, 0)
    rows, columns = np.nonzero(segments[top : row + reach + 1, left : column + reach + 1] != _CLUB)
    away = (rows + top - row) ** 2 + (columns + left - column) ** 2
    if not away.size or away.min() > max(reach_px, 1.0) ** 2:
        return None
    nearest = int(np.argmin(away))
    return int(rows[nearest] + top), int(columns[nearest] + left)
