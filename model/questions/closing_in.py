"""Closing in on the places of a path that matter, where the path is known by asking it.

A path is asked where it is at chosen ways, and what it answers is taken as the polynomial through Chebyshev's points
(Trefethen 2013, Approximation Theory and Approximation Practice, from memory). Its last coefficients say whether it is
that path: where the path is smooth they are nothing, where it has a corner they are not. There the place is looked for
again on a quarter of the way about where it seemed to be, and so on, until the polynomial fits. So a corner elsewhere
costs a place nothing, and one near it is closed in on. What a part has not inside is looked for on from that end beyond
which it lies.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from ..arrays import Array, BoolArray
from ..batch import Batch, Frame

Places: TypeAlias = Callable[[NDArray[np.intp], Array], Array]
"""Where the paths of the numbers ``(P,)`` are at ``ways (P, n)``: ``(P, n, 3)`` m."""
Found: TypeAlias = tuple[Array, NDArray[np.intp]]
"""At which way ``(P,)`` something is on each of some parts, and -1 or 1 where that is its first or last end, else 0."""
WHOLE, PART = 16, 10
"""Points of a whole path and of a part of it: the error of a smooth one is then far below a micrometre (tests)."""
BEFORE, LONGER = 3, 2
"""Points of a part that ends before a corner, and how much longer it is than the one with the corner. It is taken on
past its end, by 1.25 of its half at most: so low a degree multiplies by nine there what is not smooth (Chebyshev's
second at 2.25), that of `PART` by some 230,000."""
FITS = 1e-6
"""m per way: last coefficients below this share of half its length are those of a polynomial that fits. It errs by so
much, and by some ten times as much per way in how it goes; clubheads go some eleven metres per way."""
NARROWER = 4
DEEPEST = 6
"""How often a part is narrowed: the last ones are 5e-5 of a way long, some 0.6 mm."""
_GRID: Array = np.linspace(-1.0, 1.0, 129)
_CELL = 2.0 / 128
_NEWTON_STEPS = 6


def _nodes(points: int) -> Array:
    return np.asarray(-np.cos(np.pi * (np.arange(points) + 0.5) / points))


def whole_ways(span: tuple[float, float]) -> Array:
    """The ways ``(WHOLE,)`` at which whole paths between two ways are asked where they are."""
    return np.asarray(0.5 * (span[0] + span[1]) + 0.5 * (span[1] - span[0]) * _nodes(WHOLE))


_POINTS = (WHOLE, PART, BEFORE)
_TO_SERIES = {points: np.linalg.inv(chebyshev.chebvander(_nodes(points), points - 1)) for points in _POINTS}


@dataclass(frozen=True)
class Part(Batch):
    """Polynomials through parts of ``P`` paths.

    Attributes:
        series: ``(P, WHOLE, 3)`` m, coefficients of Chebyshev's polynomials.
        middle, half: ``(P,)`` ways, of the part's middle and half as long as it is.
        fits: ``(P,)`` whether the polynomial is the path.
    """

    series: Frame
    middle: Array
    half: Array
    fits: BoolArray

    @classmethod
    def through(cls, places: Places, number: NDArray[np.intp], middle: Array, half: float, points: int = PART) -> Part:
        """The parts of the paths ``number (P,)`` about ``middle (P,)``."""
        seen = places(number, middle[:, None] + half * _nodes(points))
        series = np.zeros((number.size, WHOLE, 3))
        series[:, :points] = np.einsum("kn,pni->pki", _TO_SERIES[points], seen)
        fits = np.abs(series[:, points - 2 : points]).max(axis=(1, 2)) < FITS * half
        return cls(series, middle, np.full(number.size, half), fits)

    def at(self, way: Array, order: int = 0) -> Array:
        """Each at its own ``way (P,)``, ``(P, 3)`` m, or a derivative per way."""
        return np.asarray(_value(self._derived(order), self._share(way)) / self.half[:, None] ** order)

    def passing(self) -> Found:
        """Where each first comes past the ball along the target line."""
        before = self._on_grid(1) <= 0.0
        end = np.where(~before[:, 0], -1, np.where(before[:, -1], 1, 0))
        return self._or_end(self._root(_GRID[before.argmin(axis=1)] - 0.5 * _CELL, 1, 0), end)

    def lowest(self) -> Found:
        """Where each is lowest."""
        cell = self._on_grid(2).argmin(axis=1)
        end = np.where(cell == 0, -1, np.where(cell == _GRID.size - 1, 1, 0))
        return self._or_end(self._root(_GRID[cell], 2, 1), end)

    def passing_near(self, way: Array) -> Array:
        """At which way each passes the ball near a ``way (P,)``, which may lie beyond its end."""
        return self._root(self._share(way), 1, 0)

    def earlier(self, places: Places, number: NDArray[np.intp]) -> Part:
        """Parts of the same paths, whose numbers are these, that end half of one of these before they begin.

        So they are before a corner in these, and before one just before these: a part does not fit beside it either,
        for corners of the chain are a little round.
        """
        half = LONGER * float(self.half[0])
        return Part.through(places, number, self.middle - 2.0 * self.half - half, half, BEFORE)

    def put(self, rows: NDArray[np.intp], other: Part) -> None:
        """Set some, in place."""
        for name in ("series", "middle", "half", "fits"):
            getattr(self, name)[rows] = getattr(other, name)

    def _share(self, way: Array) -> Array:
        return np.asarray((way - self.middle) / self.half)

    def _or_end(self, way: Array, end: NDArray[np.intp]) -> Found:
        """A ``way``, or that of the ``end`` where it is one."""
        return np.where(end == 0, way, self.middle + end * self.half), end

    def _derived(self, order: int) -> Array:
        return np.asarray(chebyshev.chebder(self.series, order, axis=1), dtype=float)

    def _on_grid(self, axis: int) -> Array:
        return np.asarray(self.series[:, :, axis] @ chebyshev.chebvander(_GRID, WHOLE - 1).T)

    def _root(self, start: Array, axis: int, order: int) -> Array:
        """At which way a coordinate, or a derivative of it, is nought near the share ``start (P,)``: Newton."""
        value, slope = (self._derived(order + more)[:, :, axis, None] for more in (0, 1))
        at = start
        for _ in range(_NEWTON_STEPS):
            steep = _value(slope, at)[:, 0]
            step = _value(value, at)[:, 0] / np.where(steep == 0.0, np.inf, steep)
            at = np.clip(at - step, start - _CELL, start + _CELL)
        return np.asarray(self.middle + self.half * at)


def closed_in(
    places: Places, count: int, span: tuple[float, float], find: Sequence[Callable[[Part], Found]]
) -> list[tuple[Part, Array]]:
    """Parts of ``count`` paths about what each of ``find`` finds on them, and at which way that is.

    Args:
        places: the paths.
        count: how many they are.
        span: the ways between which to look.
        find: what is looked for.

    Returns:
        for each of ``find`` the parts and the ways ``(count,)``; NaN where the whole path has it not inside. A part
        that does not fit is one of the shortest: the path has a corner within it.
    """
    start, half = span[0], 0.5 * (span[1] - span[0])
    whole = Part.through(places, np.arange(count), np.full(count, start + half), half, WHOLE)
    part = whole[np.tile(np.arange(count), len(find))]
    way, end = (np.concatenate(each) for each in zip(*(one(whole) for one in find), strict=True))
    way[end != 0] = np.nan
    open_ = np.flatnonzero(~part.fits & ~np.isnan(way))
    for level in range(1, DEEPEST + 1):
        if not open_.size:
            break
        half /= NARROWER
        # Middles lie half a part apart, so that places near each other, and paths alike, are seen on the same part.
        # What a longer part has and this one has not inside lies beyond the end that it is at: the next begins there.
        number = np.clip(np.rint((way[open_] - start) / half) + end[open_], 1, 2 * NARROWER**level - 1).astype(np.intp)
        (path, middle), of = np.unique(np.stack([open_ % count, number]), axis=1, return_inverse=True)
        narrow = Part.through(places, path, start + half * middle, half)[of.reshape(-1)]
        part.put(open_, narrow)
        for k, one in enumerate(find):
            mine = np.flatnonzero(open_ // count == k)
            way[open_[mine]], end[open_[mine]] = one(narrow[mine])
        open_ = open_[~narrow.fits | (end[open_] != 0)]
    rows = np.split(np.arange(part.fits.size), len(find))
    return [(part[mine], way[mine]) for mine in rows]


def _value(series: Array, at: Array) -> Array:
    """Each of ``series (P, k, i)`` at its own ``at (P,)``: ``(P, i)``."""
    return np.asarray(np.einsum("pk,pki->pi", chebyshev.chebvander(at, series.shape[1] - 1), series))
