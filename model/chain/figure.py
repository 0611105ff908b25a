"""The whole figure from its pelvis up: spine, head, girdle, arms and club on solved legs, as one skeleton."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..batch import Batch
from ..golfer.body import Body
from ..numeric.vectors import norms, vector
from . import arms, giving, head, spine
from .carried import Carried
from .lower_body import LowerBody, unreflected, unreflected_frames
from .reach import Hold
from .skeleton import Skeleton


@dataclass(frozen=True)
class Figure(Batch):
    """A skeleton with what its measures need."""

    skeleton: Skeleton
    column: spine.Spine
    head: head.HeadPosture
    arms: arms.Arms


def lumbosacral_place(body: Body, pelvis: Array, centre: Array) -> Array:
    """Lumbosacral joint ``(N, 3)`` m on a ``pelvis (N, 3, 3)`` whose hips' midpoint is at ``centre (N, 3)``."""
    own = vector(-body.lengths["lumbosacral_back"], 0.0, body.lengths["lumbosacral_up"])
    return np.asarray(centre + (pelvis @ own[..., None])[..., 0])


def build(
    body: Body,
    lower: LowerBody,
    ribcage: Array,
    girdle_angle: Array,
    gaze: Array,
    hold: Hold,
    column: spine.Spine | None = None,
    carried: Carried | None = None,
) -> Figure:
    """Every joint and frame of ``N`` moments.

    Args:
        body: flat bodies.
        lower: their solved legs.
        ribcage: ``(N, 3, 3)`` ribcage_to_world.
        girdle_angle: ``(N,)`` rad, rotation of the girdle about the ribcage's long axis, away from the target.
        gaze: ``(N, 3, 3)`` head_to_world the head wants to keep.
        hold: arms and club at address; the arms swing as far as the shoulders have turned since.
        column: the spine between pelvis and ribcage, where it is bent already.
        carried: on the way back, what takes over from the arms' way up.
    """
    size, pelvis, centre = body.lengths, lower.pelvis, lower.pelvis_centre
    if column is None:
        column = spine.bend(pelvis, ribcage, lumbosacral_place(body, pelvis, centre), size["spine"])
    neck_base = column.centres[..., -1, :]
    posture = head.place(ribcage, gaze, head.Neck.of(body))
    head_centre = neck_base + posture.from_neck_base
    upper = giving.swung(body, ribcage, neck_base, girdle_angle, hold, carried)

    hip, knee = unreflected(lower.posture.hip), unreflected(lower.posture.knee)
    thigh, shank = unreflected_frames(lower.posture.thigh), unreflected_frames(lower.posture.shank)
    ankle = knee - size["shank"][:, None] * shank[..., :, 2]
    zero = np.zeros_like(body.stature)
    joints = {
        "pelvis": centre,
        "lumbosacral": column.centres[..., 0, :],
        "neck_base": neck_base,
        "sternum": neck_base + _carry(ribcage, size["sternum_forward"], zero, -size["sternum_drop"]),
        "head": head_centre,
        "nose": head_centre + _carry(posture.head, size["nose_forward"], zero, -size["nose_drop"]),
        "vertex": head_centre + _carry(posture.head, zero, zero, size["vertex_up"]),
        "ball": hold.ball,
        **upper.joints,
    }
    frames = {
        "pelvis": pelvis,
        "ribcage": ribcage,
        "neck": posture.neck,
        "head": posture.head,
        **upper.frames,
    }
    feet = unreflected_frames(np.broadcast_to(lower.feet, (3, 3, 2, body.stature.size)))
    for number, side in enumerate(("lead", "trail")):
        joints |= {f"hip_{side}": hip[number], f"knee_{side}": knee[number], f"ankle_{side}": ankle[number]}
        foot = feet[number]
        joints[f"heel_{side}"] = ankle[number] + _carry(foot, -size["heel_to_ankle"], zero, -size["ankle_height"])
        ball = ankle[number] + _carry(foot, size["heel_to_ball"] - size["heel_to_ankle"], zero, -size["ankle_height"])
        # The toes stay flat when the heel rises.
        flat = foot[..., :, 0] * np.array([1.0, 1.0, 0.0])
        flat = flat / norms(flat)
        joints[f"toe_{side}"] = ball + (size["foot"] - size["heel_to_ball"])[:, None] * flat
        frames |= {f"thigh_{side}": thigh[number], f"shank_{side}": shank[number], f"foot_{side}": foot}
    return Figure(Skeleton(joints, frames, column.centres, column.frames), column, posture, upper)


def _carry(frame: Array, x: Array, y: Array, z: Array) -> Array:
    return np.asarray((frame @ vector(x, y, z)[..., None])[..., 0])
