"""Which keypoints a picture shows, from what the line of sight to each meets first.

A keypoint is **seen** where that is its own flesh: one of the segments that meet at the joint, of the same side, no
farther before the joint than ``OBLIQUE`` half thicknesses of the flesh there and ``CLOTHES_M``. So a limb seen
lengthways covers the joint at its far end. Where it meets nothing, the joint is seen too. Everything else covers it.
Outside the picture it is neither.

What is met is found on the exact line of sight (``meeting.first_met``), since the nearest pixel's middle lies up to
half a pixel beside it; things in front and the ball, which are no part of the figure, by the nearest pixel.

The rule reads nothing but what is stored, rounded as it is stored, so that anybody can follow it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....model.arrays import Array
from ....model.films.camera import Camera
from ....render.figure.figure import Posed
from ....render.figure.segments import SEGMENT_ID
from ....render.stage.areas import Area
from ..layout.sample import COVERED, METRES_DECIMALS, OUTSIDE, SEEN
from .keypoints import OWN_IDS, half_thickness
from .meeting import Runs, first_met

Met = tuple[int, float]
"""Id of a segment, 0 for none, and how far before the place it is, metres along the line of sight."""
OBLIQUE = 1.5
"""Lines of sight up to about 48 degrees off the straightest way in (assumption)."""
CLOTHES_M = 0.02
"""Cloth and shoes add so much at most (assumption)."""
APART_IDS = (SEGMENT_ID["ball"], SEGMENT_ID["occluder"])
"""What is no part of the figure."""


def pixel_of(px: Sequence[float], height: int, width: int) -> tuple[int, int] | None:
    """Row and column of the pixel nearest to a place x, y; None outside the picture."""
    if not (math.isfinite(px[0]) and math.isfinite(px[1])):
        return None
    column, row = (math.floor(value + 0.5) for value in px)
    return (row, column) if 0 <= column < width and 0 <= row < height else None


def before_m(at: Sequence[float], depth_m: float) -> float:
    """How far before a place in the camera's frame something at a depth is, along the line of sight, not the axis."""
    return (at[2] - depth_m) * float(np.linalg.norm(at)) / at[2]


@dataclass(frozen=True)
class Stored:
    """Ids and depth of an area of a picture, as they are stored; beyond it all is 0.

    Attributes:
        segments: ``(h, w)`` ids of what each pixel shows.
        depth_steps: ``(h, w)`` along the optical axis.
        unit_m: of a step.
        area: which.
    """

    segments: NDArray[np.uint8]
    depth_steps: NDArray[np.uint16]
    unit_m: float
    area: Area

    def at(self, row: int, column: int) -> tuple[int, float]:
        """Id and metres of a pixel of the picture."""
        rows, columns = self.area
        if not (rows.start <= row < rows.stop and columns.start <= column < columns.stop):
            return 0, 0.0
        place = row - rows.start, column - columns.start
        return int(self.segments[place]), float(self.depth_steps[place] * np.float32(self.unit_m))


def met_first(
    camera: Camera,
    posed: Posed,
    places_px: Sequence[Sequence[float]],
    places_camera_m: Sequence[Sequence[float]],
    stored: Stored,
    runs: Runs | None = None,
) -> list[Met]:
    """What the line of sight to each keypoint meets first, as the label has it: 0, 0 outside the picture.

    Args:
        camera: from where.
        posed: the golfer.
        places_px: ``(N, 2)`` x, y in the picture, middles of pixels at integers.
        places_camera_m: ``(N, 3)`` in the camera's frame.
        stored: what the picture shows.
        runs: of the golfer's triangles, where they are known.
    """
    pixels = [pixel_of(px, camera.height, camera.width) for px in places_px]
    inside = [k for k, pixel in enumerate(pixels) if pixel is not None and places_camera_m[k][2] > 0]
    ids, before = first_met(camera, posed, np.asarray(places_camera_m, float)[inside], runs)
    met: list[Met] = [(0, 0.0)] * len(pixels)
    for k, one, away in zip(inside, ids.tolist(), before.tolist(), strict=True):
        shown, depth_m = stored.at(*(pixels[k] or (0, 0)))
        if shown in APART_IDS:
            one, away = shown, before_m(places_camera_m[k], depth_m)
        met[k] = one, round(away, METRES_DECIMALS) + 0.0
    return met


def visibility(
    places_px: Sequence[Sequence[float]],
    places_camera_m: Sequence[Sequence[float]],
    met: Sequence[Met],
    shape_cm: Mapping[str, float],
    size: tuple[int, int],
) -> list[int]:
    """The v of each of the seventeen keypoints.

    Args:
        places_px: ``(17, 2)`` x, y in the picture, middles of pixels at integers; not finite behind the camera.
        places_camera_m: ``(17, 3)`` in the camera's frame.
        met: what the line of sight to each meets first.
        shape_cm: the body's breadths, depths and girths.
        size: rows and columns of the picture.
    """
    allowed: Array = OBLIQUE * half_thickness(shape_cm) + CLOTHES_M
    found = []
    for px, at, (shown, before), most, own in zip(places_px, places_camera_m, met, allowed, OWN_IDS, strict=True):
        if pixel_of(px, *size) is None or at[2] <= 0:
            found.append(OUTSIDE)
        else:
            found.append(SEEN if shown == 0 or (shown in own and before <= most) else COVERED)
    return found
