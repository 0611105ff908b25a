"""What the lines of sight to some places meet first of a posed figure, triangle by triangle.

A picture tells it only at the middles of its pixels, up to half a pixel beside a place: where an edge runs between,
such as that of a head before its far ear, it tells of the wrong side.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ....model.arrays import Array, BoolArray
from ....model.films.camera import Camera
from ....render.figure.figure import Figure, Posed
from ....render.stage.depth import NEAREST_M

THIN_PARTS = ("shaft", "grip")
"""What is so thin covers nothing."""
_TOGETHER = 32
"""Triangles in a group (measured)."""


def first_met(camera: Camera, posed: Posed, places: Array) -> tuple[NDArray[np.uint8], Array]:
    """The first surface on each line of sight, in front of a place or beyond it, a club's shaft and grip left out.

    Args:
        camera: from where; its lens does not matter, since lines of sight are straight.
        posed: the figure; its ball is left out.
        places: ``(N, 3)`` metres in the camera's frame, before the camera.

    Returns:
        ``(N,)`` id of the segment, 0 where nothing is met, and ``(N,)`` how far before the place the surface is,
        metres along the line of sight, negative beyond it, 0 where nothing is met.
    """
    ids, before = np.zeros(len(places), np.uint8), np.zeros(len(places))
    x, y, z = _flattened(camera, posed.vertices)
    goal_x, goal_y = places[:, 0] / places[:, 2], places[:, 1] / places[:, 2]
    corners = np.ascontiguousarray(posed.figure.faces.T)
    goals, faces = _about(x, y, corners, goal_x, goal_y)
    solid = ~_thin(posed.figure)[faces]
    goals, faces = goals[solid], faces[solid]
    corners = corners[:, faces]
    # Twice the area between a place and each side, by the side's ends alone: neighbours find the same, with the other
    # sign, so that no line slips through between them.
    aside, up, near = x[corners] - goal_x[goals], y[corners] - goal_y[goals], z[corners]
    next_aside, next_up = np.roll(aside, -1, axis=0), np.roll(up, -1, axis=0)
    across = aside * next_up - up * next_aside
    area = across.sum(axis=0)
    inside = ((across >= 0).all(axis=0) | (across <= 0).all(axis=0)) & (area != 0) & (near.min(axis=0) > NEAREST_M)
    goals, faces = goals[inside], faces[inside]
    # Of a plane, one over the depth is linear in the picture; a corner's share is the area of the side across from it.
    share = np.roll(across[:, inside], -1, axis=0) / area[inside]
    depth = 1.0 / (share / near[:, inside]).sum(axis=0)
    # Of each place the nearest, which is written last.
    order = np.argsort(-depth, kind="stable")
    goals, depth = goals[order], depth[order]
    ids[goals] = posed.figure.segment_of_face[faces[order]]
    along = np.linalg.norm(places, axis=1) / places[:, 2]
    before[goals] = (places[goals, 2] - depth) * along[goals]
    return ids, before


def _flattened(camera: Camera, vertices: Array) -> tuple[Array, Array, Array]:
    """Three of ``(V,)``: aside and down for each metre of depth, and depth. Term by term: threads change nothing."""
    world = vertices.T
    x, y, z = (
        row[0] * world[0] + row[1] * world[1] + row[2] * world[2] + t for row, t in zip(camera.R, camera.t, strict=True)
    )
    return x / z, y / z, z


def _about(
    x: Array, y: Array, corners: NDArray[np.intp], goal_x: Array, goal_y: Array
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Which places lie in the boxes round which triangles: pairs of their numbers; ``(3, F)`` the triangles' corners.

    Triangles are asked some at a time first: those that follow each other lie near each other.
    """
    boxes, rows = [], []
    starts = np.arange(0, corners.shape[1], _TOGETHER)
    for values, goals in ((x, goal_x), (y, goal_y)):
        # Rounding keeps an order, so that in single precision no triangle is lost.
        single = values.astype(np.float32)
        first, second, third = (single.take(own) for own in corners)
        low, high = np.minimum(np.minimum(first, second), third), np.maximum(np.maximum(first, second), third)
        rounded = goals.astype(np.float32)[:, None]
        boxes.append((low, high, rounded))
        rows.append((np.minimum.reduceat(low, starts) <= rounded) & (rounded <= np.maximum.reduceat(high, starts)))
    numbers, groups = np.nonzero(rows[0] & rows[1])
    faces = (starts[groups][:, None] + np.arange(_TOGETHER)).ravel()
    numbers = np.repeat(numbers, _TOGETHER)
    there = faces < corners.shape[1]
    for low, high, rounded in boxes:
        goal, one = rounded[numbers, 0], np.minimum(faces, corners.shape[1] - 1)
        there &= (low[one] <= goal) & (goal <= high[one])
    return numbers[there], faces[there]


def _thin(figure: Figure) -> BoolArray:
    """``(F,)`` whether a triangle is of the shaft or the grip."""
    return np.asarray(np.isin([part.name for part in figure.parts], THIN_PARTS)[figure.part_of_face])
