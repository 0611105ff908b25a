"""Closing in on the places of a path that matter, where the path is known by asking it.

A path is asked where it is at chosen ways, and what it answers is taken as the polynomial through Chebyshev's points
(Trefethen 2013, Approximation Theory and Approximation Practice, from memory). Its last coefficients say whether it is
that path: where the path is smooth they are nothing, where it has a corner they are not. There the place is looked for
again on a quarter of the way about where it seemed to be, and so on, until the polynomial fits. So a corner elsewhere
costs a place nothing, and one near it is closed in on.
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
WHOLE, PART = 16, 10
"""Points of a whole path and of a part of it: the error of a smooth one is then far below a micrometre (tests)."""
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


_TO_SERIES = {points: np.linalg.inv(chebyshev.chebvander(_nodes(points), points - 1)) for points in (WHOLE, PART)}


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

    def passing(self) -> Array:
        """At which way each first comes past the ball along the target line, ``(P,)``; NaN where none does."""
        before = self._on_grid(1) <= 0.0
        cell = before.argmin(axis=1)
        return np.where(before[:, 0] & ~before[:, -1], self._root(_GRID[cell] - 0.5 * _CELL, 1, 0), np.nan)

    def lowest(self) -> Array:
        """At which way each is lowest, ``(P,)``; NaN where that is at an end."""
        cell = self._on_grid(2).argmin(axis=1)
        inside = (cell > 0) & (cell < _GRID.size - 1)
        return np.where(inside, self._root(_GRID[cell], 2, 1), np.nan)

    def passing_near(self, way: Array) -> Array:
        """At which way each passes the ball near a ``way (P,)``, which may lie beyond its end."""
        return self._root(self._share(way), 1, 0)

    def earlier(self, places: Places, number: NDArray[np.intp], way: Array) -> Part:
        """As long parts of the same paths, whose numbers are these, that end a little before a ``way (P,)``."""
        half = float(self.half[0])
        return Part.through(places, number, way - 1.5 * half, half)

    def put(self, rows: NDArray[np.intp], other: Part) -> None:
        """Set some, in place."""
        for name in ("series", "middle", "half", "fits"):
            getattr(self, name)[rows] = getattr(other, name)

    def _share(self, way: Array) -> Array:
        return np.asarray((way - self.middle) / self.half)

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
    places: Places, count: int, span: tuple[float, float], find: Sequence[Callable[[Part], Array]]
) -> list[tuple[Part, Array]]:
    """Parts of ``count`` paths about what each of ``find`` finds on them, and at which way that is.

    Args:
        places: the paths.
        count: how many they are.
        span: the ways between which to look.
        find: what is looked for, as a way ``(P,)`` of a part; NaN where there is nothing to find.

    Returns:
        for each of ``find`` the parts and the ways ``(count,)``; NaN where the whole path has nothing to find. A part
        that does not fit is one of the shortest: the path has a corner within it.
    """
    start, half = span[0], 0.5 * (span[1] - span[0])
    whole = Part.through(places, np.arange(count), np.full(count, start + half), half, WHOLE)
    part = whole[np.tile(np.arange(count), len(find))]
    way = np.concatenate([one(whole) for one in find])
    open_ = np.flatnonzero(~part.fits & ~np.isnan(way))
    for level in range(1, DEEPEST + 1):
        if not open_.size:
            break
        half /= NARROWER
        # Middles lie half a part apart, so that places near each other, and paths alike, are seen on the same part.
        number = np.clip(np.rint((way[open_] - start) / half), 1, 2 * NARROWER**level - 1).astype(np.intp)
        (path, middle), of = np.unique(np.stack([open_ % count, number]), axis=1, return_inverse=True)
        narrow = Part.through(places, path, start + half * middle, half)[of.reshape(-1)]
        part.put(open_, narrow)
        found = np.empty(open_.size)
        for k, one in enumerate(find):
            mine = np.flatnonzero(open_ // count == k)
            found[mine] = one(narrow[mine])
        # What was seen on a longer part and is not on this one lies at its end.
        way[open_] = np.where(np.isnan(found), way[open_], found)
        open_ = open_[~narrow.fits | np.isnan(found)]
    rows = np.split(np.arange(part.fits.size), len(find))
    return [(part[mine], way[mine]) for mine in rows]


def _value(series: Array, at: Array) -> Array:
    """Each of ``series (P, k, i)`` at its own ``at (P,)``: ``(P, i)``."""
    return np.asarray(np.einsum("pk,pki->pi", chebyshev.chebvander(at, series.shape[1] - 1), series))
