"""The rigid frames that carry the surface: the skeleton's own, and helpers part of the way across each joint.

Helpers turn a share of a joint's angle, so that vertices mixed between neighbouring frames keep their distance from the
joint: mixed straight across a bend of angle a, a limb thins to cos(a/2); across n steps only to cos(a/2n).
"""

from __future__ import annotations

import numpy as np

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ...model.numeric import vectors
from ...model.numeric.rotations import about_z, cross_matrix
from ..shapes.carriers import between, smoothstep
from .rest_posture import arm_direction

LEVELS = 18
COLUMN = ("pelvis", *(f"spine_{k}" for k in range(LEVELS)))
NECK = ("neck_1", "neck_2", "head")
SIDES = ("lead", "trail")
COLLAR_BONES = {side: f"collar_bone_{side}" for side in SIDES}
HIP_STEPS, KNEE_STEPS, ANKLE_STEPS = 3, 3, 2
SHOULDER_STEPS, ELBOW_STEPS, WRIST_STEPS = 4, 4, 2


Limb = dict[str, tuple[list[str], ...]]
"""By side, for each joint: the names of its frames."""


def _limb(*joints: tuple[str, str, int]) -> Limb:
    """By side, for each joint of a limb: the frames past the one above it, the last being the next bone's own."""
    return {
        side: tuple(
            [*(f"{joint}_{k}_{side}" for k in range(1, count)), f"{bone}_{side}"] for joint, bone, count in joints
        )
        for side in SIDES
    }


LEG = _limb(("hip", "thigh", HIP_STEPS), ("knee", "shank", KNEE_STEPS), ("ankle", "foot", ANKLE_STEPS))
ARM = _limb(
    ("shoulder", "upper_arm", SHOULDER_STEPS), ("elbow", "forearm", ELBOW_STEPS), ("wrist", "hand", WRIST_STEPS)
)  # fmt: skip
BONES: tuple[str, ...] = (
    *COLUMN, *NECK, *COLLAR_BONES.values(),
    *(name for limb in (LEG, ARM) for side in SIDES for joint in limb[side] for name in joint),
)  # fmt: skip
"""All frames, in the order of ``bone_frames``."""


CAGE_FROM, CAGE_WHOLE = 0, 7
"""The chest is one cage: from the vertebra above this centre (T10/11, just below the breastbone's end) upward flesh
turns as the ribcage does, though the column twists inside it. The belly makes up for that, as far down as the first of
these (L5/S1; assumption)."""


def cage_shares() -> Array:
    """``(18,)`` how much of the twist between each level of the column and the ribcage its flesh is spared."""
    shares: Array = smoothstep((np.arange(LEVELS) - CAGE_FROM) / (CAGE_WHOLE - CAGE_FROM))
    return shares


def swung(start: Array, end: Array, share: Array | float = 1.0) -> Array:
    """``(..., 3, 3)`` rotation by a share ``(...)`` of the shortest way between two unit directions ``(..., 3)``."""
    axis = vectors.cross(start, end)
    sine = vectors.norm(axis)
    angle = share * np.arctan2(sine, (start * end).sum(axis=-1))
    cross = cross_matrix(axis / np.maximum(sine, 1e-12)[..., None])
    s, c = np.sin(angle)[..., None, None], np.cos(angle)[..., None, None]
    turned: Array = np.eye(3) + s * cross + (1 - c) * (cross @ cross)
    return turned


def bone_frames(skeleton: Skeleton) -> tuple[Array, Array]:
    """Where the frames are in a posture.

    Args:
        skeleton: batch axes ``(...)``.

    Returns:
        Origins ``(..., B, 3)`` metres, world, and rotations ``(..., B, 3, 3)`` bone_to_world, in the order of
        ``BONES``.
    """
    places: dict[str, tuple[Array, Array]] = {}
    frames = {name: np.asarray(frame) for name, frame in skeleton.frames.items()}
    joints = {name: np.asarray(place) for name, place in skeleton.joints.items()}
    column = np.asarray(skeleton.spine_frames)
    across = (np.swapaxes(column, -1, -2) @ frames["ribcage"][..., None, :, 1:2])[..., 0]
    column = column @ about_z(-cage_shares() * np.arctan2(across[..., 0], across[..., 1]))
    places["pelvis"] = joints["lumbosacral"], frames["pelvis"]
    for k in range(LEVELS):
        places[f"spine_{k}"] = np.asarray(skeleton.spine)[..., k, :], column[..., k, :, :]
    base, head = joints["neck_base"], joints["head"]
    for name, share, turned in zip(
        NECK,
        (1 / 3, 2 / 3, 1.0),
        np.moveaxis(between(frames["ribcage"], frames["head"], np.array([1, 2]) / 3), -3, 0),
        strict=False,
    ):
        places[name] = base + share * (head - base), turned
    places["head"] = head, frames["head"]
    # Both sides at once, as a first axis.
    above = np.array([frames["pelvis"] for _ in SIDES])
    for step, (joint, limb) in enumerate((("hip", "thigh"), ("knee", "shank"), ("ankle", "foot"))):
        below = _both(frames, limb)
        _put(places, LEG, step, _both(joints, joint), between(above, below, _shares(LEG, step)))
        above = below
    # What the shoulder does, the flesh over the collar bone does; the arm's own way begins there.
    frame = _both(frames, "collar_bone")
    for side, joint_place, turned in zip(SIDES, _both(joints, "sternoclavicular"), frame, strict=True):
        places[COLLAR_BONES[side]] = joint_place, turned
    before = np.array([(one @ arm_direction(side)[:, None])[..., 0] for side, one in zip(SIDES, frame, strict=True)])
    for step, (near, far) in enumerate((("shoulder", "elbow"), ("elbow", "wrist"), ("wrist", "grip"))):
        after = _direction(joints, near, far, frames)
        turns = swung(before[..., None, :], after[..., None, :], _shares(ARM, step)) @ frame[..., None, :, :]
        _put(places, ARM, step, _both(joints, near), turns)
        frame, before = turns[..., -1, :, :], after
    origins = np.stack([places[name][0] for name in BONES], axis=-2)
    return origins, np.stack([places[name][1] for name in BONES], axis=-3)


def _both(named: dict[str, Array], what: str) -> Array:
    """Both sides of joints or frames, ``(2, ...)``."""
    return np.array([named[f"{what}_{side}"] for side in SIDES])


def _shares(limb: Limb, step: int) -> Array:
    """``(n,)`` how far the frames at a limb's joint are on the way across it."""
    count = len(limb[SIDES[0]][step])
    return np.arange(1, count + 1) / count


def _put(places: dict[str, tuple[Array, Array]], limb: Limb, step: int, joint: Array, turns: Array) -> None:
    """The frames at a joint ``(2, ..., 3)`` of both limbs, turned as ``turns (2, ..., n, 3, 3)``."""
    for side, place, turned in zip(SIDES, joint, turns, strict=True):
        for k, name in enumerate(limb[side][step]):
            places[name] = place, turned[..., k, :, :]


def _direction(joints: dict[str, Array], near: str, far: str, frames: dict[str, Array]) -> Array:
    """``(2, ..., 3)`` unit direction of a bone of both arms; the hand's is its frame's."""
    if far == "grip":
        return -_both(frames, "hand")[..., :, 2]
    run = _both(joints, far) - _both(joints, near)
    unit: Array = run / vectors.norms(run)
    return unit
