"""What the lines of sight to some places meet first of a posed figure, triangle by triangle.

A picture tells it only at the middles of its pixels, up to half a pixel beside a place: where an edge runs between,
such as that of a head before its far ear, it tells of the wrong side.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from ....model.arrays import Array, BoolArray
from ....model.films.camera import Camera
from ....render.figure.figure import Posed
from ....render.stage.depth import NEAREST_M

THIN_PARTS = ("shaft", "grip")
"""What is so thin covers nothing."""
_TOGETHER = 32
"""Triangles in a group (measured)."""
_SLACK = np.float32(1e-4)
"""Of a metre for each metre of depth, a tenth of a pixel: single precision is off by a hundredth of that where a figure
is some metres away."""
_SPREAD = np.array([sum((cell >> bit & 1) << 3 * bit for bit in range(5)) for cell in range(32)], np.uint16)
"""A number of five bits with two empty bits before each of them."""
_NEXT = [1, 2, 0]
"""The corner after each."""
Precision = TypeVar("Precision", bound=np.floating[Any])


@dataclass(frozen=True)
class Runs:
    """A figure's triangles in runs of some that follow, and so lie near, each other: what does not change as it moves.

    Attributes:
        faces: ``(F,)`` which of the figure's triangles these are: all but those of what covers nothing.
        corners: ``(3, F)`` their vertex numbers.
        vertices: of each run the vertices that it has, run after run.
        starts: ``(G,)`` where each run's vertices begin among them.
    """

    faces: NDArray[np.intp]
    corners: NDArray[np.intp]
    vertices: NDArray[np.intp]
    starts: NDArray[np.intp]

    @classmethod
    def of(cls, posed: Posed) -> Runs:
        """Those of a figure, by where its triangles are in some posture."""
        figure = posed.figure
        solid = np.array([part.name not in THIN_PARTS for part in figure.parts])[figure.part_of_face]
        faces = np.flatnonzero(solid)
        faces = faces[np.argsort(_winding(posed.vertices.take(figure.faces[faces, 0], axis=0)), kind="stable")]
        corners = figure.faces.take(faces, axis=0).astype(np.int32)
        count = -(-len(faces) // _TOGETHER)
        filled = np.concatenate([corners, np.repeat(corners[-1:], count * _TOGETHER - len(faces), axis=0)])
        rows = np.sort(filled.reshape(count, -1), axis=1)
        new = np.ones(rows.shape, np.bool_)
        np.not_equal(rows[:, 1:], rows[:, :-1], out=new[:, 1:])
        held = new.sum(axis=1)
        vertices = rows[new].astype(np.intp)
        return cls(faces, np.ascontiguousarray(corners.T, np.intp), vertices, np.cumsum(held) - held)


def _winding(places: Array) -> NDArray[np.uint16]:
    """``(N,)`` how far along a way that winds through space, place by place, places ``(N, 3)`` lie (Morton's order)."""
    # Coordinate by coordinate, as least and greatest are found in a hundredth of the time.
    rows = np.ascontiguousarray(places.T)
    low, high = rows.min(axis=1, keepdims=True), rows.max(axis=1, keepdims=True)
    cells = ((rows - low) * (31.99 / np.maximum((high - low).max(), 1e-9))).astype(np.uint16)
    x, y, z = _SPREAD[cells]
    way: NDArray[np.uint16] = x | y << 1 | z << 2
    return way


def first_met(camera: Camera, posed: Posed, places: Array, runs: Runs | None = None) -> tuple[NDArray[np.uint8], Array]:
    """The first surface on each line of sight, in front of a place or beyond it, a club's shaft and grip left out.

    Args:
        camera: from where; its lens does not matter, since lines of sight are straight.
        posed: the figure; its ball is left out.
        places: ``(N, 3)`` metres in the camera's frame, before the camera.
        runs: of the figure's triangles, where they are known from another posture.

    Returns:
        ``(N,)`` id of the segment, 0 where nothing is met, and ``(N,)`` how far before the place the surface is,
        metres along the line of sight, negative beyond it, 0 where nothing is met.
    """
    ids, before = np.zeros(len(places), np.uint8), np.zeros(len(places))
    goal_x, goal_y = places[:, 0] / places[:, 2], places[:, 1] / places[:, 2]
    runs = runs or Runs.of(posed)
    goals, own = _near(camera, posed.vertices, runs, goal_x, goal_y)
    corners = runs.corners[:, own]
    x, y, z = _flattened(camera, posed.vertices[corners])
    boxed = _boxed(x, goal_x[goals]) & _boxed(y, goal_y[goals])
    goals, faces, x, y, near = goals[boxed], runs.faces[own[boxed]], x[:, boxed], y[:, boxed], z[:, boxed]
    # Twice the area between a place and each side, by the side's ends alone: neighbours find the same, with the other
    # sign, so that no line slips through between them.
    aside, up = x - goal_x[goals], y - goal_y[goals]
    across = aside * up[_NEXT] - up * aside[_NEXT]
    area = across.sum(axis=0)
    inside = ((across >= 0).all(axis=0) | (across <= 0).all(axis=0)) & (area != 0) & (near.min(axis=0) > NEAREST_M)
    goals, faces = goals[inside], faces[inside]
    # Of a plane, one over the depth is linear in the picture; a corner's share is the area of the side across from it.
    share = across[_NEXT][:, inside] / area[inside]
    depth = 1.0 / (share / near[:, inside]).sum(axis=0)
    # Of each place the nearest, which is written last.
    order = np.argsort(-depth, kind="stable")
    goals, depth = goals[order], depth[order]
    ids[goals] = posed.figure.segment_of_face[faces[order]]
    along = np.linalg.norm(places, axis=1) / places[:, 2]
    before[goals] = (places[goals, 2] - depth) * along[goals]
    return ids, before


def _flattened(camera: Camera, places: NDArray[Precision]) -> tuple[NDArray[Precision], ...]:
    """Of ``(..., 3)`` metres, world: aside and down for each metre of depth, and depth. Term by term: threads change
    nothing.
    """
    kind, world = places.dtype, np.moveaxis(places, -1, 0)
    x, y, z = (
        row[0] * world[0] + row[1] * world[1] + row[2] * world[2] + t
        for row, t in zip(camera.R.astype(kind), camera.t.astype(kind), strict=True)
    )
    return x / z, y / z, z


def _boxed(values: Array, goals: Array) -> BoolArray:
    """``(N,)`` whether goals lie between the least and the greatest of ``values (3, N)``."""
    # Rounding keeps an order, so that in single precision no triangle is lost.
    first, second, third = values.astype(np.float32)
    goal = goals.astype(np.float32)
    inside: BoolArray = (np.minimum(np.minimum(first, second), third) <= goal) & (
        goal <= np.maximum(np.maximum(first, second), third)
    )
    return inside


def _near(
    camera: Camera, vertices: Array, runs: Runs, goal_x: Array, goal_y: Array
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Which places may lie in the boxes round which of the runs' triangles: pairs of numbers. Runs are asked first.

    Worked out in single precision, in which a place is off by less than ``_SLACK``: none is missed, and few are found
    that must be looked at again.
    """
    x, y, _ = _flattened(camera, np.ascontiguousarray(vertices.T, np.float32).T)
    singles = [(values, goals.astype(np.float32)) for values, goals in ((x, goal_x), (y, goal_y))]
    near = np.ones((len(goal_x), len(runs.starts)), np.bool_)
    for values, goals in singles:
        held = values.take(runs.vertices)
        near &= np.minimum.reduceat(held, runs.starts) - _SLACK <= goals[:, None]
        near &= goals[:, None] <= np.maximum.reduceat(held, runs.starts) + _SLACK
    numbers, groups = np.divmod(np.flatnonzero(near), len(runs.starts))
    faces = (groups[:, None] * _TOGETHER + np.arange(_TOGETHER)).ravel()
    numbers = np.repeat(numbers, _TOGETHER)
    there = faces < runs.corners.shape[1]
    numbers, faces = numbers[there], faces[there]
    corners, boxed = runs.corners.take(faces, axis=1), np.ones(len(faces), np.bool_)
    for values, goals in singles:
        first, second, third = values[corners]
        goal = goals[numbers]
        boxed &= np.minimum(np.minimum(first, second), third) - _SLACK <= goal
        boxed &= goal <= np.maximum(np.maximum(first, second), third) + _SLACK
    return numbers[boxed], faces[boxed]
