"""Signed distances of a body's members, negative inside, and their smooth union.

The distances are first-order ones: exact in direction and slope at the surface, approximate away from it, which is all
that a contour and a blend of a few centimetres need.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from ...model.arrays import Array, ArrayLike
from .solids import smooth_table

Field = NDArray[np.float32]
SAMPLES = 256
"""Rows a profile is sampled at: finer than the mesh by far, so that looking a row up is as good as a cubic."""


ROUNDED_M = 0.014
"""How far along a member its profile's corners are rounded, metres."""


class Solid(Protocol):
    """One member of the body."""

    def distance(self, points: Field) -> Field:
        """``(N,)`` metres from points ``(N, 3)`` to the surface, negative inside."""
        ...

    def bounds(self) -> tuple[Array, Array]:
        """Lower and upper corner ``(3,)`` of a box that holds the member."""
        ...


def smooth_union(first: Field, second: Field, reach_m: float) -> Field:
    """Distance to the union, rounded where both surfaces are within ``reach_m`` of each other.

    The quadratic polynomial blend of I. Quilez ("smooth minimum", from memory): it never removes anything and adds at
    most a quarter of the reach.
    """
    over = np.maximum(reach_m - np.abs(first - second), 0.0)
    blended: Field = np.minimum(first, second) - over * over * np.float32(0.25 / reach_m)
    return blended


@dataclass(frozen=True)
class Tube:
    """A member along a straight axis, with an egg-shaped section that changes along it.

    Attributes:
        origin: ``(3,)`` metres: where the stations are counted from.
        frame: ``(3, 3)`` tube_to_rest; its z is the axis, its x the front.
        first: lowest station, metres along the axis.
        last: highest station.
        rows: ``(SAMPLES, 7)`` evenly spaced: front, back, left and right half axes, centre x and y (metres), and the
            exponent of the section.
    """

    origin: Array
    frame: Array
    first: float
    last: float
    rows: Field

    @classmethod
    def through(cls, origin: ArrayLike, frame: ArrayLike, table: ArrayLike) -> Tube:
        """A tube through a table.

        Args:
            origin: ``(3,)`` metres.
            frame: ``(3, 3)`` tube_to_rest.
            table: ``(R, 8)`` rising stations and what ``rows`` holds.
        """
        given = np.asarray(table, float)
        at = np.linspace(given[0, 0], given[-1, 0], SAMPLES)
        rows = smooth_table(given[:, 0], given[:, 1:], at)
        # The cubic's curvature jumps at its stations, which light shows as a line: a short mean takes that away.
        spacing = at[1] - at[0]
        middle = gaussian_filter1d(rows, ROUNDED_M / spacing, axis=0, mode="nearest")
        ends = np.minimum(at - at[0], at[-1] - at)[:, None] / (3 * ROUNDED_M)
        rows = rows + np.clip(ends, 0, 1) * (middle - rows)
        return cls(np.asarray(origin, float), np.asarray(frame, float), at[0], at[-1], rows.astype(np.float32))

    def bounds(self) -> tuple[Array, Array]:
        """Lower and upper corner of a box that holds the tube."""
        front, back, left, right, x, y = self.rows[:, :6].T
        at = np.linspace(self.first, self.last, SAMPLES)
        corners = [np.stack([x + dx, y + dy, at], -1) for dx in (front, -back) for dy in (left, -right)]
        places = self.origin + np.concatenate(corners) @ self.frame.T
        return places.min(axis=0), places.max(axis=0)

    def distance(self, points: Field) -> Field:
        """``(N,)`` metres from points ``(N, 3)``, negative inside."""
        local = (points - self.origin.astype(np.float32)) @ self.frame.astype(np.float32)
        z = local[:, 2]
        spacing = (self.last - self.first) / (SAMPLES - 1)
        row = np.clip((z - self.first) / spacing, 0, SAMPLES - 1.001)
        low = row.astype(np.int32)
        share = (row - low).astype(np.float32)
        less = 1 - share
        # Column by column, so that everything after runs along memory.
        front, back, left, right, x, y, power = (
            column[low] * less + column[low + 1] * share for column in np.ascontiguousarray(self.rows.T)
        )
        dx, dy = local[:, 0] - x, local[:, 1] - y
        a, b = np.where(dx > 0, front, back), np.where(dy > 0, left, right)
        u, v = np.abs(dx) / a, np.abs(dy) / b
        if np.ptp(self.rows[:, 6]) == 0 and self.rows[0, 6] == 2:
            size = np.sqrt(u * u + v * v) + np.float32(1e-6)
            slope = np.hypot(u / a, v / b) / size
        else:
            u_less, v_less = (u + 1e-6) ** (power - 1), (v + 1e-6) ** (power - 1)
            size = (u * u_less + v * v_less) ** (1 / power) + np.float32(1e-6)
            slope = np.hypot(u_less / a, v_less / b) / size ** (power - 1)
        # Deep inside the slope says nothing: never steeper than the narrow half axis.
        side = (size - 1) / np.maximum(slope, 1e-3)
        taper = np.gradient(self.rows[:, :4].mean(axis=1), spacing).astype(np.float32)[low]
        side = side / np.sqrt(1 + taper * taper)
        beyond = np.maximum(self.first - z, z - self.last)
        outside = np.hypot(np.maximum(side, 0), np.maximum(beyond, 0))
        found: Field = np.where(beyond > 0, outside, np.maximum(side, beyond)).astype(np.float32)
        return found


@dataclass(frozen=True)
class Ellipsoid:
    """An ellipsoid.

    Attributes:
        centre: ``(3,)`` metres.
        frame: ``(3, 3)`` ellipsoid_to_rest.
        half_axes: ``(3,)`` metres.
    """

    centre: Array
    frame: Array
    half_axes: Array

    def bounds(self) -> tuple[Array, Array]:
        """Lower and upper corner of a box that holds it."""
        reach = np.sqrt(((self.frame * self.half_axes) ** 2).sum(axis=1))
        return self.centre - reach, self.centre + reach

    def distance(self, points: Field) -> Field:
        """``(N,)`` metres from points ``(N, 3)``, negative inside."""
        local = ((points - self.centre) @ self.frame / self.half_axes).astype(np.float32)
        size = np.linalg.norm(local, axis=1) + np.float32(1e-6)
        slope = np.linalg.norm(local / self.half_axes.astype(np.float32), axis=1) / size
        found: Field = ((size - 1) / np.maximum(slope, 1e-3)).astype(np.float32)
        return found


@dataclass(frozen=True)
class Cone:
    """A cone with round ends.

    Attributes:
        start: ``(3,)`` metres.
        end: ``(3,)`` metres.
        start_radius: metres.
        end_radius: metres.
    """

    start: Array
    end: Array
    start_radius: float
    end_radius: float

    def bounds(self) -> tuple[Array, Array]:
        """Lower and upper corner of a box that holds it."""
        low = np.minimum(self.start - self.start_radius, self.end - self.end_radius)
        return low, np.maximum(self.start + self.start_radius, self.end + self.end_radius)

    def distance(self, points: Field) -> Field:
        """``(N,)`` metres from points ``(N, 3)``, negative inside."""
        run = (self.end - self.start).astype(np.float32)
        away = points - self.start.astype(np.float32)
        along, square = away @ run, run @ run
        share = np.clip(along / square, 0, 1)
        # From the axis: |away - share run|, without making the vectors.
        aside = np.einsum("ij,ij->i", away, away) + share * (share * square - 2 * along)
        radius = np.float32(self.start_radius) + share * np.float32(self.end_radius - self.start_radius)
        found: Field = np.sqrt(np.maximum(aside, 0)) - radius
        return found
