"""Closed parts of a figure as plain arrays, and the shapes they are made from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array, ArrayLike
from ...model.chain.skeleton import Skeleton

IntArray = NDArray[np.int64]
SIDES = 36
"""Corners of a ring: enough for a round outline at a picture 900 pixels high (chosen by looking)."""
SOLE_M = 0.018
"""Thickness of the sole, metres (assumption)."""


class Carrier(Protocol):
    """What moves a part: a number of frames that follow the skeleton."""

    def places(self, skeleton: Skeleton) -> tuple[Array, Array]:
        """Origins ``(..., n, 3)`` metres, world, and rotations ``(..., n, 3, 3)`` carrier_to_world."""
        ...


@dataclass(frozen=True)
class Part:
    """One closed surface that moves with a carrier.

    Attributes:
        name: what it is.
        colour: the field of ``Look`` that colours it.
        local: ``(V, 3)`` metres, each vertex in the frame that carries it.
        frame: ``(V,)`` which of the carrier's frames carries each vertex.
        faces: ``(F, 3)`` vertex numbers, counter-clockwise seen from outside.
        carrier: gives the frames.

    """

    name: str
    colour: str
    local: Array
    frame: IntArray
    faces: IntArray
    carrier: Carrier

    @property
    def count(self) -> int:
        """How many vertices."""
        return len(self.local)


def outline(front: ArrayLike, back: ArrayLike, lead: ArrayLike, trail: ArrayLike, square: ArrayLike = 2.0) -> Array:
    """Egg-shaped rings: four quarter superellipses of different half axes.

    Args:
        front: ``(R,)`` metres, half axis toward +x.
        back: ``(R,)`` metres, half axis toward -x.
        lead: ``(R,)`` metres, half axis toward +y.
        trail: ``(R,)`` metres, half axis toward -y.
        square: exponent, 2 an ellipse, larger squarer.

    Returns:
        ``(R, SIDES, 2)`` metres, counter-clockwise from +x.

    """
    angle = np.arange(SIDES) * (2 * np.pi / SIDES)
    power = 2.0 / np.atleast_1d(np.asarray(square, float))[:, None]
    c, s = np.cos(angle)[None], np.sin(angle)[None]
    columns = [np.atleast_1d(np.asarray(v, float))[:, None] for v in (front, back, lead, trail)]
    x = np.where(c >= 0, columns[0], columns[1]) * np.sign(c) * np.abs(c) ** power
    y = np.where(s >= 0, columns[2], columns[3]) * np.sign(s) * np.abs(s) ** power
    return np.stack(np.broadcast_arrays(x, y), axis=-1)


def tube_faces(rings: int) -> IntArray:
    """``(F, 3)`` triangles of a closed tube: rings from low to high z, then the low and the high pole."""
    low, high = rings * SIDES, rings * SIDES + 1
    here = np.arange(SIDES)
    after = (here + 1) % SIDES
    base = (np.arange(rings - 1) * SIDES)[:, None]
    a, b, c, d = base + here, base + after, base + SIDES + after, base + SIDES + here
    walls = np.concatenate([np.stack([a, b, c], -1).reshape(-1, 3), np.stack([a, c, d], -1).reshape(-1, 3)])
    bottom = np.stack([after, here, np.full(SIDES, low)], -1)
    last = (rings - 1) * SIDES
    top = np.stack([last + here, last + after, np.full(SIDES, high)], -1)
    return np.concatenate([walls, bottom, top]).astype(np.int64)


def loft(
    name: str, colour: str, carrier: Carrier, rings: Array, frame: ArrayLike | None = None, cap_m: float = 0.0
) -> Part:
    """A closed tube through rings that are listed from low to high along their z.

    Args:
        name: of the part.
        colour: field of ``Look``.
        carrier: what carries the rings.
        rings: ``(R, SIDES, 3)`` metres, each in its carrying frame.
        frame: ``(R,)`` the carrier's frame of each ring; the first frame for all by default.
        cap_m: how far the two end poles stand out beyond the last rings, metres.

    """
    count = len(rings)
    which = np.zeros(count, np.int64) if frame is None else np.asarray(frame, np.int64)
    poles = rings[[0, -1]].mean(axis=1) + np.array([[0, 0, -cap_m], [0, 0, cap_m]])
    local = np.concatenate([rings.reshape(-1, 3), poles])
    carried = np.concatenate([np.repeat(which, SIDES), which[[0, -1]]])
    return Part(name, colour, local, carried, tube_faces(count), carrier)


def upright_rings(z: ArrayLike, sections: Array, centre_x: ArrayLike = 0.0, centre_y: ArrayLike = 0.0) -> Array:
    """``(R, SIDES, 3)`` rings level in one frame: sections ``(R, SIDES, 2)`` at heights z ``(R,)``."""
    heights = np.asarray(z, float)
    rings = np.empty((*sections.shape[:2], 3))
    rings[..., 0] = sections[..., 0] + np.broadcast_to(centre_x, heights.shape)[:, None]
    rings[..., 1] = sections[..., 1] + np.broadcast_to(centre_y, heights.shape)[:, None]
    rings[..., 2] = heights[:, None]
    return rings


def ellipsoid(
    name: str,
    colour: str,
    carrier: Carrier,
    centre: ArrayLike,
    half_axes: ArrayLike,
    turn: Array | None = None,
    subdivisions: int = 2,
) -> Part:
    """A closed ellipsoid carried by the carrier's first frame.

    Args:
        name: of the part.
        colour: field of ``Look``.
        carrier: what carries it.
        centre: ``(3,)`` metres, carrying frame.
        half_axes: ``(3,)`` metres.
        turn: ``(3, 3)`` rotation of the half axes in the carrying frame.
        subdivisions: of the icosahedron it grows from.

    """
    round_points, faces = _ball(subdivisions)
    points = round_points * np.asarray(half_axes, float)
    if turn is not None:
        points = points @ turn.T
    local = points + np.asarray(centre, float)
    return Part(name, colour, local, np.zeros(len(local), np.int64), faces, carrier)


@lru_cache
def _ball(subdivisions: int) -> tuple[Array, IntArray]:
    """``(V, 3)`` and ``(F, 3)``: a ball of radius one."""
    import trimesh

    ball = trimesh.creation.icosphere(subdivisions=subdivisions)
    vertices, faces = np.array(ball.vertices, float), np.array(ball.faces, np.int64)
    for made in (vertices, faces):
        made.flags.writeable = False
    return vertices, faces


def smooth_table(stations: ArrayLike, values: ArrayLike, at: ArrayLike) -> Array:
    """Shape-keeping cubic through a profile table: ``(R, C)`` values at ``(R,)`` stations, seen ``at``."""
    from scipy.interpolate import PchipInterpolator

    seen: Array = PchipInterpolator(np.asarray(stations, float), np.asarray(values, float), axis=0)(
        np.asarray(at, float)
    )
    return seen
