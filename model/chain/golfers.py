"""Golfers at address, and moments of their swings: legs first, then the walk up from them (`walk`), then the figure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array
from ..batch import Batch, Frame, Rows, Vector
from ..golfer.address import ADDRESS, Address
from ..golfer.arm_swing import ARM_SWING
from ..golfer.body import Body
from ..golfer.pieces import HEELS
from ..golfer.ranges import SIDES
from . import lower_body, steady
from .carried import Carried
from .figure import Figure, build, lumbosacral_place
from .girdle import girdle_range
from .giving import swung
from .head import Neck
from .legs import HIP_TURN, LEAD_KNEE, TOWARD_BALL, TOWARD_TARGET, TRAIL_KNEE, Legs
from .lower_body import ASKING_WEIGHTS, LegLimits, LowerBody
from .reach import Hold
from .stance import Stance, stand
from .trunk import RoundedBox
from .walk import OnLegs, UpperBody

LEG_PIECES = ("hip_turn", "lead_flex_change", "trail_flex_change", "sway", "hips_toward_ball", *HEELS)
"""The pieces that legs and pelvis answer; the others are the trunk's."""


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

    def leg_goal(self, asked: Mapping[str, Array]) -> Array:
        """Unknowns of the legs ``(8, N)`` that ``asked`` (``LEG_PIECES`` to ``(N,)`` rad or m) comes to."""
        goal = self.q_at_address.copy()
        goal[HIP_TURN] += asked["hip_turn"]
        goal[TOWARD_BALL] += asked["hips_toward_ball"]
        goal[TOWARD_TARGET] -= asked["sway"]
        goal[LEAD_KNEE] += asked["lead_flex_change"]
        goal[TRAIL_KNEE] += asked["trail_flex_change"]
        return goal

    def legs(self, heel_rise: Array) -> Legs:
        """The loop of the legs, the feet planted and their heels raised by ``heel_rise (2, N)`` m."""
        flare = np.array([self.setup["lead_flare"], self.setup["trail_flare"]])
        return lower_body.planted(self.body, flare, self.setup["stance_width"], heel_rise)

    def lower(self, asked: Mapping[str, Array], weights: Array = ASKING_WEIGHTS) -> LowerBody:
        """Legs and pelvis that do what is ``asked`` (``LEG_PIECES`` to ``(N,)``) as nearly as the joints allow."""
        legs, start = self.legs(np.array([asked[name] for name in HEELS])), self.q_at_address
        return lower_body.solve(legs, self.limits, self.leg_goal(asked), self.angles_at_address, start, weights)

    def on(self, lower: LowerBody, wanted: Array | None = None) -> OnLegs:
        """The walk's first step: these moments on solved legs.

        Args:
            lower: their legs.
            wanted: ``(N, 3)`` m, from the head's place at address to where it is wanted; that place unless said.
        """
        head = self.joints_at_address["head"]
        carrier = steady.TrunkOnPelvis(
            pelvis=lower.pelvis,
            lumbosacral=lumbosacral_place(self.body, lower.pelvis, lower.pelvis_centre),
            spine_length=self.body.lengths["spine"],
            range=RoundedBox.of(self.body.ranges, "trunk"),
            neck=Neck.of(self.body),
            gaze=self.gaze,
        )
        girdle = np.array(girdle_range(self.body.lengths, self.body.ranges))
        wanted = np.zeros_like(head) if wanted is None else wanted
        return OnLegs(carrier, lower.pelvis_centre, self.ribcage_at_address, head, wanted, girdle)

    def shoulders(self, upper: UpperBody, carried: Carried | None = None) -> Mapping[str, Array]:
        """Shoulder centres by side, ``(N, 3)`` m, world, as arms on the way up or ``carried`` back draw them."""
        joints = swung(self.body, upper.ribcage, upper.neck_base, upper.girdle, self.hold, carried).joints
        return {side: joints[f"shoulder_{side}"] for side in SIDES}

    def figure(self, lower: LowerBody, upper: UpperBody, carried: Carried | None = None) -> Figure:
        """The whole figure, its arms on the way up or ``carried`` back."""
        return build(self.body, lower, upper.ribcage, upper.girdle, self.gaze, self.hold, carried=carried)


@dataclass(frozen=True)
class Golfers(Batch):
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
        setup = {name: np.asarray(getattr(own, name), dtype=float) for name in ADDRESS}
        arms = {name: np.asarray(getattr(own.arms, name), dtype=float) for name in ARM_SWING}
        limits = LegLimits.of(golfers)
        stance = stand(golfers, setup, arms, limits)
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
