"""A swing whose arrays hold numbers that are all different, so that one read from the wrong place is noticed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from turnstill.model import Address, Body, Pieces
from turnstill.model.chain.skeleton import JOINTS, Skeleton
from turnstill.model.golfer.arm_swing import ArmSwing
from turnstill.model.golfer.body import LENGTH_NAMES, RANGE_NAMES
from turnstill.model.golfer.head_place import HeadPlace
from turnstill.model.golfer.pieces import PIECES
from turnstill.model.swing.swing import Measures, Swing
from turnstill.scenes.setups.perform import Performed
from turnstill.scenes.setups.presets import Setup

Array = NDArray[np.float64]
IN_THE_ROOM = ("pelvis_bend", "pelvis_toward_ball", "pelvis_toward_target", "lead_knee_flex", "trail_knee_flex", "bend")
LEGS = ("hip_flexion", "hip_abduction", "hip_external_rotation", "knee_flexion", "shin_internal_rotation",
        "ankle_dorsiflexion", "ankle_inversion")  # fmt: skip
UPPER = ("trunk_rotation", "trunk_side_bend", "trunk_flexion", "neck_rotation", "neck_side_bend", "neck_flexion",
         "girdle_rotation", "hinge")  # fmt: skip
ARMS = ("collar_bone_forward", "collar_bone_up", "shoulder_elevation", "shoulder_across", "shoulder_internal_rotation",
        "elbow_flexion", "forearm_pronation", "wrist_extension", "wrist_radial_deviation")  # fmt: skip
JOINT_ANGLES = (*(side + name for side in ("lead_", "trail_") for name in LEGS + ARMS), *UPPER)
ARM_LIMITS = ("lead_shoulder_horizontal_adduction", "trail_wrist_extension", "lead_forearm_pronation")
LIMITS = ("trunk", "lead_hip_flexion", "trail_hip_internal_rotation", "lead_knee_flexion", "girdle")
ADDRESS = Address(
    lead_flare=0.1973, trail_flare=0.3124, stance_width=0.4371, knee_flex=0.4084, forward_bend=0.6929,
    pelvis_bend=0.3333, side_bend=0.1152, ball_position=0.0521, club_length=0.9633,
    arms=ArmSwing(
        hands_ahead=0.0137, hands_out=0.2351, lead_elbow_bend=0.1277, trail_elbow_bend=0.1913,
        lead_elbow_bend_at_top=0.1511, arm_across=0.7019, arm_lift=0.1693, wrist_hinge=2.0711, club_roll=-3.0303,
        turn_of_full_swing=1.6161,
    ),
)  # fmt: skip
"""Rad and m, within what may be asked."""


class Numbers:
    """Numbers that follow one another and are never the same, small enough to be an angle or a length."""

    def __init__(self, start: int = 0) -> None:
        self.count = start

    def array(self, *shape: int) -> Array:
        """The next ones."""
        size = int(np.prod(shape))
        taken = np.arange(self.count + 1, self.count + 1 + size)
        self.count += size
        return (0.0173 * np.asarray(taken / 10.0) * np.where(taken % 3, 1.0, -1.0)).reshape(shape)

    def each(self, names: Iterable[str], *shape: int) -> dict[str, Any]:
        """The next ones, some for every name."""
        return {name: self.array(*shape) for name in names}


def distinct_swing(moments: int = 3, start: int = 0, **changed: Any) -> Swing:
    """A swing without batch axes that nobody made: every number in it is another one.

    Args:
        moments: ``M``.
        start: where to begin counting, so that several swings share no number.
        changed: fields that must be something in particular.
    """
    number = Numbers(start)
    body = Body.from_stature(1.834, 84.7, "female")
    body = replace(body, lengths=number.each(LENGTH_NAMES), ranges=number.each(RANGE_NAMES))
    measures = Measures(
        **{
            item.name: number.array(moments, 3) if item.name.endswith(("_moved", "_mass")) else number.array(moments)
            for item in fields(Measures)
        }
    )
    skeleton = Skeleton(number.each(JOINTS, moments, 3), {}, number.array(moments, 18, 3), np.zeros(0))
    names = (*IN_THE_ROOM, *PIECES)
    swing = Swing(
        body=body, address=ADDRESS, pieces=Pieces(), impact=None, head=HeadPlace(), left_handed=False,
        progress=np.linspace(0.0, 1.0, moments),
        asked=number.each(names, moments), achieved=number.each((*names, "belt_line_tilt"), moments),
        steady=number.each(("tilt", "extension"), moments), steady_miss=np.abs(number.array(moments)) / 1000.0,
        head_wanted=np.zeros((moments, 3)),
        limit_names=LIMITS, limited=np.zeros((moments, len(LIMITS)), bool),
        arm_limit_names=ARM_LIMITS, arms_limited=np.zeros((moments, len(ARM_LIMITS)), bool),
        met=np.ones(moments, bool), converged=np.ones(moments, bool), address_balanced=np.array(True),
        joint_angles=number.each(JOINT_ANGLES, moments), joint_ranges={}, skeleton=skeleton, measures=measures,
    )  # fmt: skip
    return replace(swing, **changed)


def performed_as(swing: Swing, setup: Setup | None = None, centred: Swing | None = None) -> Performed:
    """A swing as if it had been performed."""
    return Performed(setup or Setup("some swing"), swing, centred or distinct_swing(2, 5000))
