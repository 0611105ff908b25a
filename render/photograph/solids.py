"""Simple solids that lines of sight are met with in closed form, so that no lens, mesh or window is needed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ..palette import Colour

Floats = NDArray[np.floating]


@dataclass(frozen=True)
class Hits:
    """Where lines meet a solid.

    Attributes:
        at: ``(N,)`` how many lengths of its ray each line goes; infinite where it misses.
        normal: ``(3, N)`` outward unit normals, world; anything where it misses.

    """

    at: Floats
    normal: Floats


class Solid(Protocol):
    """What can be met."""

    @property
    def colour(self) -> Colour:
        """Red, green, blue."""

    def corners(self) -> Array:
        """``(8, 3)`` metres, world: of a box that holds it."""

    def met(self, origin: Floats, rays: Floats) -> Hits:
        """The first meeting ahead.

        Args:
            origin: ``(3, 1)`` or ``(3, N)`` metres, world: outside the solid.
            rays: ``(3, N)`` or ``(3, 1)``, world.

        """


_SIGNS = np.array([[x, y, z] for x in (-1.0, 1.0) for y in (-1.0, 1.0) for z in (-1.0, 1.0)])


@dataclass(frozen=True)
class Block:
    """A box.

    Attributes:
        centre: ``(3,)`` metres, world.
        turned: ``(3, 3)`` block_to_world.
        half: ``(3,)`` metres, half its sides.
        colour: its colour.

    """

    centre: Array
    turned: Array
    half: Array
    colour: Colour

    def corners(self) -> Array:
        """``(8, 3)`` metres, world."""
        places: Array = self.centre + (_SIGNS * self.half) @ self.turned.T
        return places

    def met(self, origin: Floats, rays: Floats) -> Hits:
        """See ``Solid``: in by the last of three near faces, before out by the first of three far ones."""
        kind = rays.dtype.type
        turned, half = self.turned.astype(kind), self.half.astype(kind)[:, None]
        start, ray = np.broadcast_arrays(turned.T @ (origin - self.centre.astype(kind)[:, None]), turned.T @ rays)
        with np.errstate(divide="ignore", invalid="ignore"):
            one, other = (-half - start) / ray, (half - start) / ray
        near, far = np.fmin(one, other), np.fmax(one, other)
        face = near.argmax(axis=0)
        into = near.max(axis=0)
        at = np.where((into <= far.min(axis=0)) & (into > 0), into, kind(np.inf))
        sign = -np.sign(np.take_along_axis(ray, face[None], 0)[0])
        return Hits(at, turned[:, face] * sign)


@dataclass(frozen=True)
class Cone:
    """A round solid with flat ends, as broad or less so at its far end.

    Attributes:
        foot: ``(3,)`` metres, world: middle of its first end.
        turned: ``(3, 3)`` cone_to_world; its z runs from the first end to the second.
        length: metres.
        first: radius at the first end, metres.
        second: radius at the second end.
        colour: its colour.

    """

    foot: Array
    turned: Array
    length: float
    first: float
    second: float
    colour: Colour

    def corners(self) -> Array:
        """``(8, 3)`` metres, world."""
        broad = max(self.first, self.second)
        middle = self.foot + self.turned[:, 2] * self.length / 2
        places: Array = middle + (_SIGNS * [broad, broad, self.length / 2]) @ self.turned.T
        return places

    def met(self, origin: Floats, rays: Floats) -> Hits:
        """See ``Solid``: the nearest of the side's first meeting and the ends'."""
        kind = rays.dtype.type
        turned = self.turned.astype(kind)
        start, ray = np.broadcast_arrays(turned.T @ (origin - self.foot.astype(kind)[:, None]), turned.T @ rays)
        slope = kind((self.second - self.first) / self.length)
        first, length = kind(self.first), kind(self.length)
        # x² + y² = (first + slope z)² along the line: a t² + 2 b t + c = 0.
        broad, widens = first + slope * start[2], slope * ray[2]
        a = ray[0] ** 2 + ray[1] ** 2 - widens**2
        b = start[0] * ray[0] + start[1] * ray[1] - broad * widens
        c = start[0] ** 2 + start[1] ** 2 - broad**2
        with np.errstate(divide="ignore", invalid="ignore"):
            root = np.sqrt(b * b - a * c)
            side = (-b - root) / a
            height = start[2] + side * ray[2]
            side = np.where((side > 0) & (height >= 0) & (height <= length), side, kind(np.inf))
            end = np.where(ray[2] > 0, -start[2], length - start[2]) / ray[2]
            off = np.hypot(start[0] + end * ray[0], start[1] + end * ray[1])
            end = np.where((end > 0) & (off <= np.where(ray[2] > 0, first, kind(self.second))), end, kind(np.inf))
            at = np.fmin(side, end)
            x, y = start[0] + at * ray[0], start[1] + at * ray[1]
            round_about = np.hypot(x, y)
            lean = kind(1 / np.hypot(1, slope))
            outward = np.stack([x / round_about * lean, y / round_about * lean, np.full_like(x, -slope * lean)])
        outward[:, end <= side] = 0
        outward[2] = np.where(end <= side, -np.sign(ray[2]), outward[2])
        return Hits(at, turned @ outward)


@dataclass(frozen=True)
class Ball:
    """A ball.

    Attributes:
        centre: ``(3,)`` metres, world.
        radius: metres.
        colour: its colour.

    """

    centre: Array
    radius: float
    colour: Colour

    def corners(self) -> Array:
        """``(8, 3)`` metres, world."""
        places: Array = self.centre + _SIGNS * self.radius
        return places

    def met(self, origin: Floats, rays: Floats) -> Hits:
        """See ``Solid``."""
        kind = rays.dtype.type
        start, ray = np.broadcast_arrays(origin - self.centre.astype(kind)[:, None], rays)
        a, b = (ray * ray).sum(axis=0), (start * ray).sum(axis=0)
        c = (start * start).sum(axis=0) - kind(self.radius**2)
        with np.errstate(invalid="ignore"):
            at = (-b - np.sqrt(b * b - a * c)) / a
            at = np.where(at > 0, at, kind(np.inf))
            normal = (start + at * ray) / kind(self.radius)
        return Hits(at, normal)


def upright(turn: float, lean: float = 0.0) -> Array:
    """``(3, 3)`` to_world: a solid's own axes, turned about the vertical, then its top leant toward its own x."""
    c, s = np.cos(turn), np.sin(turn)
    leant = np.array([[np.cos(lean), 0.0, np.sin(lean)], [0.0, 1.0, 0.0], [-np.sin(lean), 0.0, np.cos(lean)]])
    turned: Array = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]) @ leant
    return turned
