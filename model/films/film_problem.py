"""The problem that is solved for films: where cameras show golfers, and how that grows with every unknown.

The unknowns are the numbers of `filmed_golfer`, how the head is turned, and seven numbers of each camera, all in
standard deviations of what is believed before any film. Slopes of the chain are secants, all of them one batch; those
of cameras and heads cost nothing and are taken where they are wanted.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from ..arrays import Array, BoolArray
from ..golfer.pieces import Pieces
from . import phone_camera
from .filmed_golfer import CHAIN, FITTED, HEAD_SD_RAD, HEADS, STEPS, Known, Posed, posed

CAMERA = len(phone_camera.NUMBERS)
NUMBERS = CHAIN + HEADS + 2 * CAMERA
"""Unknowns of a swing."""
FAR = 4.0
"""Standard deviations: no unknown goes further from its prior's mean."""
CAMERAS_FIRST = 8
"""Steps in which cameras alone are fitted, to the usual golfer."""
_SMALL = 1e-4


@dataclass(frozen=True)
class Seen:
    """What the films of ``S`` swings show.

    Attributes:
        places: ``(S, 2, 2, 13, 2)`` pixels, by view (face-on, down the line), moment (address, top) and keypoint of
            ``FITTED``; NaN where it was not seen, everywhere where there is no such film.
        size: ``(S, 2, 2)`` width and height of the pictures, pixels; ones where there is no film.
    """

    places: Array
    size: Array

    @property
    def seen(self) -> BoolArray:
        """``(S, 2, 2, 13)``."""
        return np.asarray(np.isfinite(self.places).all(axis=-1))


@dataclass(frozen=True)
class Slopes:
    """Of keypoints ``(S, 23, 2, 13, 3)``, readings ``(S, 13, 23)`` and pieces ``(S, 8, 23)`` by the chain's numbers."""

    points: Array
    shown: Array
    amounts: Array

    NAMES: ClassVar[tuple[str, ...]] = ("points", "shown", "amounts")


@dataclass(frozen=True)
class Problem:
    """Films of ``S`` swings; ``at`` is ``(S, 43)`` everywhere, in standard deviations of the prior.

    Attributes:
        known: of the golfers.
        films: what they show.
        reference: the turn departures are counted from.
    """

    known: Known
    films: Seen
    reference: Pieces

    def pose(self, at: Array) -> Posed:
        """Golfers alone."""
        return posed(self.known, at[:, :CHAIN], self.reference)

    def turned(self, at: Array) -> Array:
        """``(S, 2, 3)`` rad: heads from where the chain has them."""
        return np.asarray(HEAD_SD_RAD * at[:, CHAIN : CHAIN + HEADS].reshape(-1, 2, 3))

    def chain(self, at: Array) -> tuple[Posed, Slopes]:
        """Golfers, and how they change with each of the chain's numbers."""
        count = len(at)
        # A step past the end of what is believed goes the other way.
        step = np.where(at[:, :CHAIN] + STEPS > FAR, -STEPS, STEPS)
        many = np.repeat(at[None], CHAIN + 1, axis=0)
        for k in range(CHAIN):
            many[1 + k, :, k] += step[:, k]
        again = np.tile(np.arange(count), CHAIN + 1)
        known = Known(self.known.stature[again], self.known.female[again], self.known.stature_sd)
        flat = many.reshape(-1, NUMBERS)
        every = posed(known, flat[:, :CHAIN], self.reference)
        points = every.keypoints(self.turned(flat)).reshape(CHAIN + 1, count, 2, len(FITTED), 3)
        by = (points[1:] - points[0]) / step.T[:, :, None, None, None]
        rest = [part.reshape(CHAIN + 1, count, -1) for part in (every.shown, every.amounts)]
        shown, amounts = (np.moveaxis((part[1:] - part[0]) / step.T[:, :, None], 0, -1) for part in rest)
        return every[np.arange(count)], Slopes(np.swapaxes(by, 0, 1), shown, amounts)

    def pixels(self, at: Array, pose: Posed) -> Array:
        """``(S, 2, 2, 13, 2)`` where cameras show the golfers."""
        return self.shown_by(at, pose.keypoints(self.turned(at)))

    def shown_by(self, at: Array, points: Array) -> Array:
        """The same of keypoints ``(S, 2, 13, 3)``."""
        flat = points.reshape(*points.shape[:-3], -1, 3)
        views = []
        for view in (0, 1):
            own = at[..., self.camera(view)]
            size = self.films.size[:, view].reshape(-1, *[1] * (own.ndim - 2), 2)
            size = np.broadcast_to(size, (*own.shape[:-1], 2))
            views.append(phone_camera.project(own, view, size, flat).reshape(*points.shape[:-1], 2))
        return np.stack(views, axis=-4)

    def straight(self, about: Array, at: Array, pose: Posed, slopes: Slopes) -> Array:
        """Keypoints ``(S, 2, 13, 3)`` m at ``at``, the chain straight about another place whose ``pose`` it is."""
        run = np.einsum("sk,skmpc->smpc", at[:, :CHAIN] - about[:, :CHAIN], slopes.points)
        return pose.keypoints(self.turned(at)) + run

    def off(self, shown: Array) -> Array:
        """``(S, 2, 2, 13, 2)`` pixels from what is shown to what was seen; zero where nothing was."""
        return np.where(self.films.seen[..., None], self.films.places - shown, 0.0)

    def by_numbers(self, at: Array, base: Array, pose: Posed, slopes: Slopes, shown: Array) -> Array:
        """``(S, 2, 2, 13, 2, 43)`` how pixels grow with every unknown, keypoints being at ``base (S, 2, 13, 3)``."""
        turned = self.turned(at)
        turns = turned[:, None] + _SMALL * HEAD_SD_RAD * np.eye(HEADS).reshape(HEADS, 2, 3)
        many = pose[np.repeat(np.arange(len(at)), HEADS)].keypoints(turns.reshape(-1, 2, 3))
        by_heads = many.reshape(len(at), HEADS, *base.shape[1:]) - pose.keypoints(turned)[:, None]
        moved = base[:, None] + np.concatenate([_SMALL * slopes.points, by_heads], axis=1)
        by = np.zeros((*shown.shape, NUMBERS))
        # Golfers first, all their numbers in one batch; then each view's camera.
        of_golfer = self.shown_by(at[:, None], moved) - shown[:, None]
        by[..., : CHAIN + HEADS] = np.moveaxis(of_golfer, 1, -1) / _SMALL
        for view in (0, 1):
            by[:, view, ..., self.camera(view)] = self.by_camera(at, base, view, shown[:, view])
        return np.where(self.films.seen[..., None, None], by, 0.0)

    def camera(self, view: int) -> slice:
        """Which of the unknowns are a view's camera."""
        first = CHAIN + HEADS + view * CAMERA
        return slice(first, first + CAMERA)

    def by_camera(self, at: Array, points: Array, view: int, shown: Array) -> Array:
        """``(S, 2, 13, 2, 7)`` how pixels ``shown (S, 2, 13, 2)`` of ``points (S, 2, 13, 3)`` grow with a camera."""
        own = at[:, None, self.camera(view)] + _SMALL * np.eye(CAMERA)
        size, flat = self.films.size[:, None, view], points.reshape(len(at), 1, -1, 3)
        moved = phone_camera.project(own, view, np.broadcast_to(size, (*own.shape[:-1], 2)), flat)
        change = moved.reshape(len(at), CAMERA, *shown.shape[1:]) - shown[:, None]
        return np.asarray(np.moveaxis(change, 1, -1) / _SMALL)

    def first_cameras(self, at: Array, pose: Posed) -> Array:
        """Fit the cameras to the usual golfer, in place; pixels a metre at the golfer ``(S, 2)``."""
        points = pose.keypoints(self.turned(at))
        seen = self.films.seen
        for _ in range(CAMERAS_FIRST):
            shown = self.shown_by(at, points)
            scale = self.scale(at)
            for view in (0, 1):
                span, by = self.camera(view), self.by_camera(at, points, view, shown[:, view])
                # Before the golfer is fitted, a keypoint is some 6 cm from where the usual golfer's is.
                weight = seen[:, view, ..., None] / (0.06 * scale[:, view])[:, None, None, None]
                jacobian = (by * weight[..., None]).reshape(len(at), -1, CAMERA)
                off = np.where(seen[:, view, ..., None], self.films.places[:, view] - shown[:, view], 0.0) * weight
                normal = np.swapaxes(jacobian, -1, -2) @ jacobian + np.eye(CAMERA)
                pull = (np.swapaxes(jacobian, -1, -2) @ off.reshape(len(at), -1, 1))[..., 0] - at[:, span]
                at[:, span] += np.clip(np.linalg.solve(normal, pull[..., None])[..., 0], -1.0, 1.0)
        return self.scale(at)

    def scale(self, at: Array) -> Array:
        """``(S, 2)`` pixels a metre at the golfer's distance."""
        out = []
        for view in (0, 1):
            told = phone_camera.told(at[:, self.camera(view)])
            out.append(told["focal"] * self.films.size[:, view].max(axis=-1) / told["distance"])
        return np.stack(out, axis=-1)
