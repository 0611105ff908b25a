"""Reading a solved figure: which pieces it achieved, what its joints show and how far they could have gone."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..arrays import Array, BoolArray
from ..chain import arm_joints
from ..chain.figure import Figure
from ..chain.girdle import shoulder_line_turn
from ..chain.legs import HIP_TURN, KNEES, LEAD_KNEE, LEG_OUTPUTS, PELVIS_BEND, TOWARD_BALL, TOWARD_TARGET, TRAIL_KNEE
from ..chain.lower_body import LegLimits, LowerBody, tibial_range
from ..chain.trunk import BEND, TILT
from ..chain.walk import MET_ANGLE, UpperBody
from ..golfer.body import Body
from ..golfer.pieces import HEELS
from ..golfer.ranges import SIDES
from ..numeric import rotations

LENGTH_PIECES = ("sway", "hips_toward_ball", *HEELS, "pelvis_toward_ball", "pelvis_toward_target")
MET_LENGTH = 1e-3
"""A length asked for counts as met within this; an angle within ``MET_ANGLE``."""


def achieved(lower: LowerBody, q0: Array, upper: UpperBody, rest: Array, heels: Array) -> dict[str, Array]:
    """Every piece as the joints show it, ``(N,)`` rad or m.

    Args:
        lower: solved legs.
        q0: ``(8, N)`` their unknowns at address.
        upper: solved trunk and girdle.
        rest: ``(3, N)`` ribcage angles at address.
        heels: ``(2, N)`` m, how far each of `HEELS` came up.
    """
    q = lower.q
    return {
        "hip_turn": q[HIP_TURN],
        "shoulder_turn": shoulder_line_turn(upper.ribcage, upper.girdle),
        "tilt": upper.angles[TILT],
        "extension": rest[BEND] - upper.angles[BEND],
        "lead_flex_change": q[LEAD_KNEE] - q0[LEAD_KNEE],
        "trail_flex_change": q[TRAIL_KNEE] - q0[TRAIL_KNEE],
        "sway": q0[TOWARD_TARGET] - q[TOWARD_TARGET],
        "hips_toward_ball": q[TOWARD_BALL] - q0[TOWARD_BALL],
        **dict(zip(HEELS, heels, strict=True)),
        "pelvis_bend": q[PELVIS_BEND],
        "pelvis_toward_ball": q[TOWARD_BALL],
        "pelvis_toward_target": q[TOWARD_TARGET],
        "lead_knee_flex": q[LEAD_KNEE],
        "trail_knee_flex": q[TRAIL_KNEE],
        "bend": upper.angles[BEND],
        "belt_line_tilt": lower.posture.obliquity,
    }


def met(asked: Mapping[str, Array], got: Mapping[str, Array]) -> BoolArray:
    """Whether each moment ``(N,)`` does all that was asked."""
    near = [
        np.abs(value - got[name]) <= (MET_LENGTH if name in LENGTH_PIECES else MET_ANGLE)
        for name, value in asked.items()
    ]
    return np.asarray(np.logical_and.reduce(near))


def joint_angles(lower: LowerBody, figure: Figure, girdle: Array) -> dict[str, Array]:
    """Named joint angles ``(N,)`` rad.

    Legs in the order flexion, abduction or inversion, axial rotation. Trunk (ribcage on pelvis, pelvis frame) and
    neck (head on ribcage, ribcage frame) as the parts of their rotation vectors, which need no order: trunk and girdle
    rotation away from the target, neck rotation toward it, side bends with the lead side down. Collar
    bones count what turns them in all, forward and up.
    """
    out = {
        f"{side}_{name}": lower.angles[2 * row + leg]
        for row, name in enumerate(LEG_OUTPUTS)
        if name != "shin_share_of_range"
        for leg, side in enumerate(SIDES)
    }
    trunk = rotations.log(lower.pelvis.mT @ figure.skeleton.frames["ribcage"])
    neck = figure.head.vector
    return out | {
        "trunk_rotation": -trunk[:, 2],
        "trunk_side_bend": -trunk[:, 0],
        "trunk_flexion": trunk[:, 1],
        "neck_rotation": neck[:, 2],
        "neck_side_bend": -neck[:, 0],
        "neck_flexion": neck[:, 1],
        "girdle_rotation": girdle,
        **figure.arms.angles,
    }


def joint_ranges(body: Body, limits: LegLimits, lower: LowerBody) -> dict[str, tuple[Array, Array]]:
    """Low and high end ``(N,)`` rad of the joint angles that have a range."""
    out: dict[str, tuple[Array, Array]] = {}
    internal, external, _, _ = tibial_range(body).at(lower.q[KNEES])
    for row, name in enumerate(LEG_OUTPUTS):
        for leg, side in enumerate(SIDES):
            if name == "shin_internal_rotation":
                out[f"{side}_{name}"] = (-external[leg], internal[leg])
            elif name != "shin_share_of_range":
                out[f"{side}_{name}"] = (limits.low[2 * row + leg], limits.high[2 * row + leg])
    for joint in ("trunk", "neck"):
        for motion in ("rotation", "side_bend"):
            either_way = body.ranges[f"{joint}_{motion}"]
            out[f"{joint}_{motion}"] = (-either_way, either_way)
        out[f"{joint}_flexion"] = (-body.ranges[f"{joint}_extension"], body.ranges[f"{joint}_flexion"])
    nothing = np.zeros_like(body.stature)
    arms = arm_joints.joint_ranges(body.ranges)
    return out | {name: (low + nothing, high + nothing) for name, (low, high) in arms.items()}
