"""Golfers at address, and moments of their swings stage by stage: legs, what holds the head, trunk, figure.

`simulate` walks through the stages once for every moment; the questions (shares, maps, diagnosis) mix them: many
trunks on one pair of legs, many tops of one golfer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array, BoolArray
from ..batch import Batch, Frame, Rows, Vector
from ..golfer.address import Address
from ..golfer.body import Body
from ..numeric.rotations import from_turn_tilt_bend, turn_about_inclined_axis
from . import arms, lower_body, steady, trunk
from .figure import Figure, Hold, build, lumbosacral_place
from .head import Neck
from .legs import Legs
from .lower_body import ASKING_WEIGHTS, LegLimits, LowerBody
from .stance import Stance, stand
from .trunk import BEND, TILT, TURN, RoundedBox

GIRDLE_SHARE = 20.0 / 90.0
"""Part of the shoulder turn that the shoulder girdle makes on the ribcage: 20 of 90 degrees (assumption)."""
GIRDLE_RANGE = float(np.radians(30.0))
"""How far the girdle goes round on the ribcage, each way (assumption)."""
LEG_PIECES = ("hip_turn", "lead_flex_change", "trail_flex_change", "sway", "hips_toward_ball", "lead_heel_rise")
"""The pieces that legs and pelvis answer; the others are the trunk's."""


@dataclass(frozen=True)
class UpperBody(Batch):
    """Trunk and girdle of ``N`` moments.

    Attributes:
        angles: ``(3, N)`` rad, turn, tilt and bend of the ribcage, achieved.
        ribcage: ``(N, 3, 3)`` ribcage_to_world.
        girdle: ``(N,)`` rad, rotation of the shoulder girdle about the ribcage's long axis, away from the target.
        trunk_stopped, girdle_stopped: ``(N,)`` whether that range kept it from what was wished.
        converged: ``(N,)``.
    """

    angles: Rows
    ribcage: Frame
    girdle: Array
    trunk_stopped: BoolArray
    girdle_stopped: BoolArray
    converged: BoolArray


@dataclass(frozen=True)
class Moments(Batch):
    """``N`` moments of golfers whose addresses are known; everything flat, one entry a moment.

    Attributes:
        body: whose body.
        setup: whose address, ``(N,)`` rad or m.
        limits: whose legs' ranges.
        q_at_address: ``(8, N)`` unknowns of the legs.
        angles_at_address: ``(16, N)`` joint angles of the legs, rad.
        ribcage_at_address: ``(3, N)`` rad, turn, tilt and bend.
        joints_at_address: joint name to ``(N, 3)`` m.
        gaze: ``(N, 3, 3)`` head_to_world at address.
        hold: arms and club at address.
    """

    body: Body
    setup: Mapping[str, Array]
    limits: LegLimits
    q_at_address: Rows
    angles_at_address: Rows
    ribcage_at_address: Rows
    joints_at_address: Mapping[str, Vector]
    gaze: Frame
    hold: Hold

    @property
    def trunk_range(self) -> RoundedBox:
        """The trunk's range of motion."""
        return RoundedBox.of(self.body.ranges, "trunk")

    def leg_goal(self, asked: Mapping[str, Array]) -> Array:
        """Unknowns of the legs ``(8, N)`` that ``asked`` (``LEG_PIECES`` to ``(N,)`` rad or m) comes to."""
        goal = self.q_at_address.copy()
        goal[0] += asked["hip_turn"]
        goal[2] += asked["hips_toward_ball"]
        goal[3] -= asked["sway"]
        goal[4] += asked["lead_flex_change"]
        goal[5] += asked["trail_flex_change"]
        return goal

    def legs(self, lead_heel_rise: Array) -> Legs:
        """The loop of the legs, the feet planted."""
        flare = np.stack([self.setup["lead_flare"], self.setup["trail_flare"]])
        return lower_body.planted(self.body, flare, self.setup["stance_width"], lead_heel_rise)

    def lower(self, asked: Mapping[str, Array], weights: Array = ASKING_WEIGHTS) -> LowerBody:
        """Legs and pelvis that do what is ``asked`` (``LEG_PIECES`` to ``(N,)``) as nearly as the joints allow."""
        legs, start = self.legs(asked["lead_heel_rise"]), self.q_at_address
        return lower_body.solve(legs, self.limits, self.leg_goal(asked), self.angles_at_address, start, weights)

    def on(self, lower: LowerBody) -> steady.TrunkOnPelvis:
        """What carries the head, on solved legs."""
        return steady.TrunkOnPelvis(
            pelvis=lower.pelvis,
            lumbosacral=lumbosacral_place(self.body, lower.pelvis, lower.pelvis_centre),
            spine_length=self.body.lengths["spine"],
            range=self.trunk_range,
            neck=Neck.of(self.body),
            gaze=self.gaze,
        )

    def hold_head(self, lower: LowerBody, shoulder_turn: Array) -> steady.Held:
        """Tilt and bend that keep the head where it was at address.

        Args:
            lower: solved legs.
            shoulder_turn: ``(N,)`` rad, or several for the same legs, ``(K * N,)``, all the first ones first.
        """
        each = np.tile(np.arange(lower.converged.size), shoulder_turn.size // lower.converged.size)
        turn, rest = ribcage_share(shoulder_turn), self.ribcage_at_address[:, each]
        about_axis = np.arctan2(np.sin(turn), np.cos(turn) * np.cos(rest[BEND]))
        _, tilt, bend = turn_about_inclined_axis(about_axis, rest[BEND])
        habit = np.stack([rest[TILT] * np.cos(turn) + tilt, bend])
        return steady.hold_head(self.on(lower)[each], turn, self.joints_at_address["head"][each], habit)

    def upper(self, lower: LowerBody, wish: Array, shoulder_turn: Array) -> UpperBody:
        """Trunk and girdle nearest to a wish.

        Args:
            lower: solved legs.
            wish: ``(3, N)`` rad, turn, tilt and bend of the ribcage.
            shoulder_turn: ``(N,)`` rad asked of the shoulder line; the girdle makes its share of it.
        """
        angles, stopped, converged = trunk.nearest(lower.pelvis, wish, self.trunk_range)
        girdle_wish = arms.girdle_angle(angles[TURN] + GIRDLE_SHARE * shoulder_turn, *angles)
        girdle = np.clip(girdle_wish, -GIRDLE_RANGE, GIRDLE_RANGE)
        return UpperBody(angles, from_turn_tilt_bend(*angles), girdle, stopped, girdle != girdle_wish, converged)

    def figure(self, lower: LowerBody, upper: UpperBody, progress: Array) -> Figure:
        """The whole figure at ``progress (N,)``."""
        return build(self.body, lower, upper.ribcage, upper.girdle, self.gaze, self.hold, progress)


@dataclass(frozen=True)
class Golfers:
    """``B`` golfers who stand at address.

    Attributes:
        standing: each of them, as what every moment of theirs starts from.
        stance: how they stand.
    """

    standing: Moments
    stance: Stance

    @classmethod
    def at_address(cls, body: Body, address: Address, batch: tuple[int, ...]) -> Golfers:
        """Golfers of batch shape ``batch``, flattened."""
        golfers, own = body.flat(batch), address.flat(batch)
        setup = {item.name: np.asarray(getattr(own, item.name), dtype=float) for item in fields(own)}
        limits = LegLimits.of(golfers)
        stance = stand(golfers, setup, limits)
        standing = Moments(
            body=golfers,
            setup=setup,
            limits=limits,
            q_at_address=stance.lower.q,
            angles_at_address=stance.lower.angles,
            ribcage_at_address=stance.ribcage_angles,
            joints_at_address=stance.figure.skeleton.joints,
            gaze=stance.gaze,
            hold=stance.hold,
        )
        return cls(standing, stance)

    def moments(self, golfer: NDArray[np.intp]) -> Moments:
        """Moments of the golfers with the given numbers ``(N,)``."""
        return self.standing[golfer]


def ribcage_share(shoulder_turn: Array) -> Array:
    """What the ribcage turns when the shoulder line turns, rad; the girdle makes the rest."""
    return (1.0 - GIRDLE_SHARE) * shoulder_turn
