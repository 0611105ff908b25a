"""The walk up from solved legs: what holds the head on them, the trunk on that, and where it takes the head.

Three steps, each a batch: `OnLegs`, `OnHeld`, `UpperBody`. A swing walks them once a moment; the questions mix them by
indexing between the steps: many shoulder turns on one pair of legs, many trunks on one answer to what holds the head.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import Batch, Frame, Rows, Vector
from ..numeric.rotations import from_turn_tilt_bend, turn_about_inclined_axis
from . import head, spine, steady, trunk
from .girdle import girdle_angle
from .trunk import BEND, TILT, TURN

GIRDLE_SHARE = 20.0 / 90.0
"""Part of the shoulder turn that the shoulder girdle makes on the ribcage: 20 of 90 degrees (assumption)."""
MET_ANGLE = float(np.radians(0.1))
"""An angle asked for counts as met within this."""


@dataclass(frozen=True)
class OnLegs(Batch):
    """``N`` moments whose legs are solved: all that trunk and head need to know of them.

    Attributes:
        carrier: what carries the head.
        pelvis_centre: ``(N, 3)`` m, world.
        rest: ``(3, N)`` rad, turn, tilt and bend of the ribcage at address.
        head: ``(N, 3)`` m, where the head was at address.
        wanted: ``(N, 3)`` m, from there to where it is wanted.
        girdle_range: ``(2, N)`` rad, how far the girdle goes round on the ribcage, low and high.
    """

    carrier: steady.TrunkOnPelvis
    pelvis_centre: Vector
    rest: Rows
    head: Vector
    wanted: Vector
    girdle_range: Rows

    def hold(self, shoulder_turn: Array) -> OnHeld:
        """What holds the head where it is wanted, for ``shoulder_turn (N,)`` rad."""
        turn = ribcage_share(shoulder_turn)
        about_axis = np.arctan2(np.sin(turn), np.cos(turn) * np.cos(self.rest[BEND]))
        _, tilt, bend = turn_about_inclined_axis(about_axis, self.rest[BEND])
        habit = np.array([self.rest[TILT] * np.cos(turn) + tilt, bend])
        return OnHeld(self, shoulder_turn, steady.hold_head(self.carrier, turn, self.head + self.wanted, habit))


@dataclass(frozen=True)
class OnHeld(Batch):
    """The same with what holds the head.

    Attributes:
        legs: what it was found on.
        shoulder_turn: ``(N,)`` rad, asked of the shoulder line.
        held: ribcage angles that hold the head.
    """

    legs: OnLegs
    shoulder_turn: Array
    held: steady.Held

    def reach(self, tilt: Array, bend: Array) -> UpperBody:
        """Trunk and girdle nearest to ``tilt`` and ``bend (N,)`` rad.

        The turn is the one this trunk can make when tilt and bend are free to help, on these legs.
        """
        wish = np.array([self.held.angles[TURN], tilt, bend])
        angles, stopped, converged = trunk.nearest(self.legs.carrier.pelvis, wish, self.legs.carrier.range)
        girdle_wish = girdle_angle(angles[TURN] + GIRDLE_SHARE * self.shoulder_turn, *angles)
        girdle = girdle_wish.clip(*self.legs.girdle_range)
        ribcage = from_turn_tilt_bend(*angles)
        turn_lost = np.abs(ribcage_share(self.shoulder_turn) - angles[TURN]) > MET_ANGLE
        return UpperBody(self.legs, angles, ribcage, girdle, stopped | turn_lost, girdle != girdle_wish, converged)


@dataclass(frozen=True)
class UpperBody(Batch):
    """Trunk, girdle and head of ``N`` moments.

    Attributes:
        legs: what they stand on.
        angles: ``(3, N)`` rad, turn, tilt and bend of the ribcage, achieved.
        ribcage: ``(N, 3, 3)`` ribcage_to_world.
        girdle: ``(N,)`` rad, rotation of the shoulder girdle about the ribcage's long axis, away from the target.
        trunk_stopped, girdle_stopped: ``(N,)`` whether that range kept it from what was asked.
        converged: ``(N,)``.
    """

    legs: OnLegs
    angles: Rows
    ribcage: Frame
    girdle: Array
    trunk_stopped: BoolArray
    girdle_stopped: BoolArray
    converged: BoolArray

    @cached_property
    def neck_base(self) -> Array:
        """``(N, 3)`` m, world."""
        on = self.legs.carrier
        return spine.neck_base(on.pelvis, self.ribcage, on.lumbosacral, on.spine_length)

    @cached_property
    def line(self) -> Array:
        """``(N, 3)`` m, the trunk line from pelvis centre to base of neck."""
        return self.neck_base - self.legs.pelvis_centre

    @cached_property
    def head_moved(self) -> Array:
        """``(N, 3)`` m since address: toward ball, toward target, up."""
        on = self.legs.carrier
        return self.neck_base + head.place(self.ribcage, on.gaze, on.neck).from_neck_base - self.legs.head


def ribcage_share(shoulder_turn: Array) -> Array:
    """What the ribcage turns when the shoulder line turns, rad; the girdle makes the rest."""
    return (1.0 - GIRDLE_SHARE) * shoulder_turn


def inclination(line: Array) -> Array:
    """Angle ``(...)`` rad from the vertical of a trunk ``line (..., 3)`` in space."""
    return np.arctan2(np.hypot(line[..., 0], line[..., 1]), line[..., 2])


def inclination_down_the_line(line: Array) -> Array:
    """The same as seen down the line, toward the ball positive."""
    return np.arctan2(line[..., 0], line[..., 2])


def lean_face_on(line: Array) -> Array:
    """The same as seen face-on, away from the target positive."""
    return np.arctan2(-line[..., 1], line[..., 2])


def shoulder_plane(lead: Array, trail: Array) -> Array:
    """Inclination ``(...)`` rad of the line between shoulders ``(..., 3)`` to the horizontal, lead down positive."""
    across = trail - lead
    return np.arctan2(across[..., 2], np.hypot(across[..., 0], across[..., 1]))
