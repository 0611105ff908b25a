"""Ground, target line and backdrop of a place, seen through a camera: drawn once a tripod."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.films.camera import Camera
from ..palette import Colour
from ..shapes.carriers import smoothstep
from ..stage.scenery import FADE_FROM_M, FADE_TO_M, STEEP_FROM, STEEP_TO, target_line_shapes
from .backdrop import BEHIND_M, backdrop_picture, plain_backdrop
from .colours import Picture, mixed
from .ground import from_ball, ground_picture, plain_ground
from .place import Place
from .sights import Plane, Sights

HAZE_FROM_M, HAZE_TO_M = 7.0, 26.0
"""Covered ground fades into a plain backdrop between these distances from the ball (by looking)."""
WIDE_M = 11.3
"""How far along a backdrop a turn of one radian leads, so that two views show different parts of it."""
BAND_ROWS = 32
"""Rows that are worked out together: few enough to stay near the processor from one step to the next (our choice)."""
LINE_SHARE = 0.85
"""How much of the target line's own colour it has; the rest is the ground's."""


def scene_picture(
    camera: Camera, sights: Sights, place: Place, ball: Array, line: Colour, *, left_handed: bool = False
) -> Picture:
    """``(height, width, 3)`` red, green, blue: all that stands still, without what stands in front.

    Args:
        camera: where from.
        sights: its lines of sight.
        place: what is there.
        ball: ``(3,)`` metres, world.
        line: the target line's colour.
        left_handed: the target lies toward -y.

    """
    stands = None if place.backdrop == "plain" else _upright(camera, place)
    if stands is None:
        scene = plain_backdrop(place, camera.height, camera.width)
    else:
        scene = _painted(camera, sights, place, *stands)
    for rows in _bands(sights.looking_down()):
        low = sights.rows(rows)
        if stands is not None:
            # Ground is what lies before the foot of the backdrop.
            ahead, away = stands
            height = low.position[2] * low.along(ahead) / np.float32(away) + low.rays[2]
            share = np.clip(np.float32(0.5) - height / np.float32(low.pixel), 0, 1)
            if share.max() <= 0:
                continue
        depth = low.ground_depth()
        x, y = low.level_places(depth)
        if stands is None:
            share = _faded(low, place, from_ball(x, y, ball))
        scene[rows] = mixed(scene[rows], _ground(low, place, x, y, ball, depth), share)
    if place.target_line:
        _paint_line(scene, camera, ball, line, -1.0 if left_handed else 1.0)
    return scene


def _bands(rows: slice) -> Iterator[slice]:
    """The same rows, a few at a time."""
    for start in range(rows.start, rows.stop, BAND_ROWS):
        yield slice(start, min(start + BAND_ROWS, rows.stop))


def _ground(sights: Sights, place: Place, x: Plane, y: Plane, ball: Array, depth: Plane) -> Picture:
    if place.ground == "plain":
        return plain_ground(place, from_ball(x, y, ball), FADE_TO_M)
    # A pixel takes more ground along the sight than across it; patterns go by the mean of both.
    across = depth * np.float32(sights.pixel)
    footprint = across * np.sqrt(np.maximum(depth, sights.position[2]) / sights.position[2])
    return ground_picture(place, x, y, footprint)


def _faded(sights: Sights, place: Place, far: Plane) -> Plane:
    """``(h, w)`` 0 to 1: how much of the ground is left where it fades into a plain backdrop."""
    near, gone = (FADE_FROM_M, FADE_TO_M) if place.ground == "plain" else (HAZE_FROM_M, HAZE_TO_M)
    here = smoothstep((np.float32(gone) - far) / np.float32(gone - near))
    x, y, z = sights.rays
    if -z.min() <= STEEP_FROM:  # As rays are at least a metre long, none goes down as steeply.
        return here
    down = -z / np.sqrt(x * x + y * y + z * z)
    return np.maximum(here, smoothstep((down - np.float32(STEEP_FROM)) / np.float32(STEEP_TO - STEEP_FROM)))


def _upright(camera: Camera, place: Place) -> tuple[Array, float]:
    """Which way the backdrop stands ``(3,)``, level, and how far from the camera, metres."""
    ahead = camera.R[2] * [1.0, 1.0, 0.0]
    length = float(np.linalg.norm(ahead))
    # Straight down there is no backdrop, whichever way it is said to stand.
    ahead = ahead / length if length > 1e-6 else np.array([1.0, 0.0, 0.0])
    return ahead, BEHIND_M[place.backdrop] - float(camera.position @ ahead)


def _painted(camera: Camera, sights: Sights, place: Place, ahead: Array, away: float) -> Picture:
    """The backdrop, down to its foot and past it."""
    import cv2

    right = np.array([ahead[1], -ahead[0], 0.0])
    # Out of focus so far behind, so that every second pixel each way tells enough.
    coarse = sights.every_second()
    led = coarse.along(ahead)
    height = sights.position[2] * led / np.float32(away) + coarse.rays[2]
    rows = np.flatnonzero((height > -2 * coarse.pixel).any(axis=1))
    scene = np.zeros((camera.height, camera.width, 3), np.uint8)
    if not len(rows):
        return scene
    first, end = int(rows[0]), int(rows[-1]) + 1
    # Another way round, another part of it.
    aside = float(camera.position @ right) + WIDE_M * float(np.arctan2(ahead[1], ahead[0]))
    painted = np.empty((end - first, coarse.rays[0].shape[1], 3), np.uint8)
    for band in _bands(slice(first, end)):
        some = coarse.rows(band)
        depth: Plane = np.divide(np.float32(away), np.maximum(led[band], np.float32(1e-3)))
        along = np.float32(aside) + depth * some.along(right)
        high = some.position[2] + depth * some.rays[2]
        painted[band.start - first : band.stop - first] = backdrop_picture(
            place, along, high, depth * np.float32(some.pixel)
        )
    part = scene[2 * first : 2 * end]
    part[:] = cv2.resize(painted, (camera.width, 2 * (end - first)))[: len(part)]
    return scene


def _paint_line(picture: Picture, camera: Camera, ball: Array, colour: Colour, toward_target: float) -> None:
    """Lay the target line over the ground, in place."""
    outlines = [_round(shape, ball, toward_target) for shape in target_line_shapes()]
    if (camera.depth(np.concatenate(outlines)) <= 0).any():
        return
    places = camera.project(np.concatenate(outlines))
    size = np.array([camera.width, camera.height])
    low = np.clip(np.floor(places.min(axis=0)) - 1, 0, size).astype(int)
    high = np.clip(np.ceil(places.max(axis=0)) + 2, 0, size).astype(int)
    if (high <= low).any():
        return
    part = camera.cropped((int(low[0]), int(low[1]), int(high[0]), int(high[1])))
    rows, columns = slice(low[1], high[1]), slice(low[0], high[0])
    line = np.empty((part.height, part.width, 3), np.uint8)
    line[:] = colour
    picture[rows, columns] = mixed(picture[rows, columns], line, np.float32(LINE_SHARE) * _filled(part, outlines))


def _round(shape: list[tuple[float, float]], ball: Array, toward_target: float) -> Array:
    """``(N, 3)`` world: an outline on the ground, with places along its sides, which a lens bends."""
    corners = np.array([[ball[0] + x, ball[1] + toward_target * y, 0.0] for x, y in shape])
    steps = np.arange(8)[:, None] / 8
    return np.concatenate([a + steps * (b - a) for a, b in zip(corners, np.roll(corners, -1, 0), strict=True)])


def _filled(camera: Camera, outlines: list[Array]) -> Plane:
    """``(h, w)`` 0 to 1: how much of each pixel the outlines cover."""
    import cv2

    fine, shift = 4, 4
    large = camera.scaled(fine)
    image = np.zeros((large.height, large.width), np.uint8)
    for outline in outlines:
        places: NDArray[np.int32] = np.round(large.project(outline) * (1 << shift)).astype(np.int32)
        cv2.fillPoly(image, [places], 255, shift=shift)
    small = cv2.resize(image, (camera.width, camera.height), interpolation=cv2.INTER_AREA)
    covered: Plane = small * np.float32(1 / 255)
    return covered
