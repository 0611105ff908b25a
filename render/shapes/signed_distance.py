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

    def distance(self, x: Field, y: Field, z: Field) -> Field:
        """``(...)`` metres from points to the surface, negative inside; their coordinates broadcast to ``(...)``."""
        ...

    def bounds(self) -> tuple[Array, Array]:
        """Lower and upper corner ``(3,)`` of a box that holds the member."""
        ...


def smooth_union(first: Field, second: Field, reach_m: float) -> Field:
    """Distance to the union, rounded where both surfaces are within ``reach_m`` of each other.

    The quadratic polynomial blend of I. Quilez ("smooth minimum", from memory): it never removes anything and adds at
    most a quarter of the reach.
    """
    over = first - second
    np.abs(over, out=over)
    np.subtract(reach_m, over, out=over)
    np.maximum(over, 0.0, out=over)
    over *= over
    over *= np.float32(0.25 / reach_m)
    blended: Field = np.minimum(first, second)
    blended -= over
    return blended


def _along(way: Array, x: Field, y: Field, z: Field) -> Field:
    """How far points lie along ``way (3,)``: an open grid's stay open along each axis that it stands square to."""
    first, *others = [np.float32(share) * axis for share, axis in zip(way.tolist(), (x, y, z), strict=True) if share]
    for one in others:
        first = first + one
    return first


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

    def distance(self, x: Field, y: Field, z: Field) -> Field:
        """``(...)`` metres from points, negative inside; their coordinates broadcast to ``(...)``."""
        x, y, z = (axis - np.float32(start) for axis, start in zip((x, y, z), self.origin, strict=True))
        x, y, z = (_along(way, x, y, z) for way in self.frame.T)
        spacing = (self.last - self.first) / (SAMPLES - 1)
        row = np.clip((z - self.first) / spacing, 0, SAMPLES - 1.001)
        low = row.astype(np.intp)
        front, back, left, right, middle_x, middle_y, power = self._seen(low, row - low.astype(np.float32))
        dx, dy = x - middle_x, y - middle_y
        a = front if front is back else np.where(dx > 0, front, back)
        b = left if left is right else np.where(dy > 0, left, right)
        u, v = np.abs(dx) / a, np.abs(dy) / b
        if np.ndim(power) == 0 and power == 2:
            size = np.sqrt(u * u + v * v)
            size += np.float32(1e-6)
            u /= a
            v /= b
            slope = np.sqrt(u * u + v * v)
            slope /= size
        else:
            u += np.float32(1e-6)
            v += np.float32(1e-6)
            u_less, v_less = u ** (power - 1), v ** (power - 1)
            whole = u * u_less + v * v_less
            size = whole ** (1 / power)
            u_less /= a
            v_less /= b
            slope = np.sqrt(u_less * u_less + v_less * v_less)
            slope *= size
            slope /= whole
        # Deep inside the slope says nothing: never steeper than the narrow half axis.
        np.maximum(slope, 1e-3, out=slope)
        side = np.subtract(size, 1, out=size)
        side /= slope
        taper = np.gradient(self.rows[:, :4].mean(axis=1), spacing)
        side *= (1 / np.sqrt(1 + taper * taper)).astype(np.float32)[low]
        # Past an end the nearest place is on its rim.
        beyond = np.maximum(self.first - z, z - self.last)
        outside = np.maximum(side, 0)
        outside *= outside
        outside += np.maximum(beyond, 0) ** 2
        found: Field = np.sqrt(outside, out=outside)
        found += np.minimum(np.maximum(side, beyond), 0)
        return found

    def _seen(self, low: NDArray[np.intp], share: Field) -> list[Field]:
        """Each column of the profile between its rows ``low`` and the next, ``share`` of the way."""
        # Many of a profile's columns are alike, or one number all along.
        found: dict[bytes, Field] = {}
        columns = np.ascontiguousarray(self.rows.T)
        for column in columns:
            if column.min() == column.max():
                found[column.tobytes()] = column[0]
            elif column.tobytes() not in found:
                start, seen = column[low], column[low + 1]
                seen -= start
                seen *= share
                seen += start
                found[column.tobytes()] = seen
        return [found[column.tobytes()] for column in columns]


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

    def distance(self, x: Field, y: Field, z: Field) -> Field:
        """``(...)`` metres from points, negative inside; their coordinates broadcast to ``(...)``."""
        x, y, z = (axis - np.float32(middle) for axis, middle in zip((x, y, z), self.centre, strict=True))
        squares, steep = [], []
        for way, half in zip(self.frame.T, self.half_axes.tolist(), strict=True):
            square = _along(way / half, x, y, z) ** 2
            squares.append(square)
            steep.append(square * np.float32(1 / half**2))
        size = np.sqrt(squares[0] + squares[1] + squares[2]) + np.float32(1e-6)
        slope = np.sqrt(steep[0] + steep[1] + steep[2]) / size
        found: Field = (size - 1) / np.maximum(slope, 1e-3)
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

    def distance(self, x: Field, y: Field, z: Field) -> Field:
        """``(...)`` metres from points, negative inside; their coordinates broadcast to ``(...)``."""
        x, y, z = (axis - np.float32(start) for axis, start in zip((x, y, z), self.start, strict=True))
        run = self.end - self.start
        square = np.float32(run @ run)
        along = _along(run, x, y, z)
        share = np.clip(along * (1 / square), 0, 1)
        # From the axis: |away - share run|, without making the vectors.
        aside = x * x + y * y + z * z
        aside = aside + share * (share * square - 2 * along)
        found: Field = np.sqrt(np.maximum(aside, 0, out=aside), out=aside)
        share *= np.float32(self.end_radius - self.start_radius)
        share += np.float32(self.start_radius)
        found -= share
        return found
