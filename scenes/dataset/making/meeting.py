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
    some = np.flatnonzero(_about(x, corners, goal_x) & _about(y, corners, goal_y) & ~_thin(posed.figure))
    goals, rows = np.nonzero(_spanned(x, corners[:, some], goal_x) & _spanned(y, corners[:, some], goal_y))
    faces = some[rows]
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


def _about(values: Array, corners: NDArray[np.intp], goals: Array) -> BoolArray:
    """``(F,)`` whether a triangle's extent along one axis takes in any of the places; ``(3, F)`` its corners."""
    # By how many places lie before each vertex, which is a small number to look up for every corner.
    ordered = np.sort(goals)
    below, up_to = (np.searchsorted(ordered, values, side).astype(np.int16)[corners] for side in ("left", "right"))
    return np.asarray(below.min(axis=0) < up_to.max(axis=0))


def _spanned(values: Array, corners: NDArray[np.intp], goals: Array) -> BoolArray:
    """``(N, F)`` the same of each place."""
    of_corners = values[corners]
    return np.asarray((of_corners.min(axis=0) <= goals[:, None]) & (goals[:, None] <= of_corners.max(axis=0)))


def _thin(figure: Figure) -> BoolArray:
    """``(F,)`` whether a triangle is of the shaft or the grip."""
    return np.asarray(np.isin([part.name for part in figure.parts], THIN_PARTS)[figure.part_of_face])
