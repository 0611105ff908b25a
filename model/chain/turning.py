"""Arm and club told by angles about an axis fixed in the chest: around it, and off the plane square to it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..batch import Batch, Vector
from ..numeric.vectors import cross
from .lie import Held, unit

_TURN = 2.0 * np.pi


@dataclass(frozen=True)
class Pose(Batch):
    """Arm and club of ``N`` moments by their angles about an axis, ``(N,)`` rad each.

    Attributes:
        arm, arm_off: around the axis, and off its plane toward the axis.
        lag, shaft_off: of the shaft around the axis from the arm, behind it negative, and off the plane.
        palms: about the shaft, from the axis.
    """

    arm: Array
    arm_off: Array
    lag: Array
    shaft_off: Array
    palms: Array


@dataclass(frozen=True)
class Axis(Batch):
    """An axis ``(N, 3)``, and ``zero (N, 3)`` square to it, from which angles around it count; unit, girdle's frame."""

    axis: Vector
    zero: Vector

    @classmethod
    def near(cls, axis: Array, direction: Array) -> Axis:
        """Angles around the ``axis`` count from a ``direction (N, 3)``."""
        return cls(axis, _square_to(axis, direction))

    def pose(self, arm: Array, club: Held, palms_near: Array | float = 0.0) -> Pose:
        """The angles of an ``arm (N, 3)`` and a club; of the palms' the one within half a turn of ``palms_near``."""
        around, off = self._told(arm)
        shaft, shaft_off = self._told(club.shaft)
        from_axis = _square_to(club.shaft, self.axis)
        aside = cross(club.shaft, from_axis)
        palms = np.arctan2((aside * club.palms).sum(axis=-1), (from_axis * club.palms).sum(axis=-1))
        # A club is at most 90 degrees ahead of its arm, and behind it by up to 270.
        lag = (shaft - around + 0.75 * _TURN) % _TURN - 0.75 * _TURN
        near = palms_near + (palms - palms_near + 0.5 * _TURN) % _TURN - 0.5 * _TURN
        return Pose(around, off, lag, shaft_off, near)

    def directions(self, pose: Pose) -> tuple[Array, Held]:
        """The arm ``(N, 3)`` and the club of a pose; what `pose` undoes."""
        shaft = self._direction(pose.arm + pose.lag, pose.shaft_off)
        from_axis = _square_to(shaft, self.axis)
        aside = cross(shaft, from_axis)
        palms = np.cos(pose.palms)[:, None] * from_axis + np.sin(pose.palms)[:, None] * aside
        return self._direction(pose.arm, pose.arm_off), Held(shaft, palms, cross(palms, shaft))

    def _told(self, v: Array) -> tuple[Array, Array]:
        """A unit ``v (N, 3)`` around the axis, ``(N,)`` rad from -pi to pi, and off its plane."""
        along, first, second = ((v * e).sum(axis=-1) for e in (self.axis, self.zero, cross(self.axis, self.zero)))
        return np.arctan2(second, first), np.arcsin(along.clip(-1.0, 1.0))

    def _direction(self, around: Array, off: Array) -> Array:
        level = np.cos(around)[:, None] * self.zero + np.sin(around)[:, None] * cross(self.axis, self.zero)
        return np.cos(off)[:, None] * level + np.sin(off)[:, None] * self.axis


def _square_to(axis: Array, v: Array) -> Array:
    """The unit direction ``(N, 3)`` nearest to ``v (N, 3)`` that is square to the unit ``axis (N, 3)``."""
    return unit(v - (v * axis).sum(axis=-1, keepdims=True) * axis)
