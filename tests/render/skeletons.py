"""A hand-made golfer at address and at the top, so that drawing is tested apart from the model.

Proportions are rounded means of the ANSUR II survey of men (United States Army 2012, public domain);
postures are common practice, put together with rotations only.
"""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
from scipy.spatial.transform import Rotation

from turnstill.model.arrays import Array
from turnstill.model.chain.skeleton import JOINTS, SEGMENT_ORIGINS, Skeleton

H = 1.75
SHAPE = {
    "chest_breadth": 0.289, "chest_depth": 0.254, "waist_breadth": 0.326, "waist_depth": 0.238,
    "hip_breadth": 0.346, "buttock_depth": 0.246, "bideltoid_breadth": 0.510, "neck_circumference": 0.398,
    "thigh_circumference": 0.625, "lower_thigh_circumference": 0.409, "calf_circumference": 0.392,
    "ankle_circumference": 0.229, "biceps_circumference": 0.358, "forearm_circumference": 0.310,
    "wrist_circumference": 0.176, "head_length": 0.1995, "head_breadth": 0.154, "head_circumference": 0.574,
    "hand_breadth": 0.088, "hand_length": 0.193, "foot_length": 0.271, "foot_breadth": 0.102,
    "heel_breadth": 0.0725, "chest_circumference": 1.059, "waist_circumference": 0.941, "buttock_circumference": 1.020,
}  # fmt: skip
BODY = SimpleNamespace(lengths={"stature": H, "ankle_height": 0.0415 * H, "heel_to_ball": 0.2}, shape=SHAPE, female=0)
THIGH, SHANK, UPPER_ARM, FOREARM, CLUB = 0.233 * H, 0.238 * H, 0.19 * H, 0.15 * H, 0.95
Z = np.array([0.0, 0.0, 1.0])


def turned(turn: float, tilt: float, bend: float) -> Array:
    """Rz(-turn) Rx(-tilt) Ry(bend), degrees."""
    return Rotation.from_euler("ZXY", [-turn, -tilt, bend], degrees=True).as_matrix()


def frame_along(z: Array, front: Array) -> Array:
    """A frame with this z whose x is nearest to ``front``."""
    z = z / np.linalg.norm(z)
    y = np.cross(z, front)
    y /= np.linalg.norm(y)
    return np.stack([np.cross(y, z), y, z], axis=-1)


def middle_joint(near: Array, far: Array, first: float, second: float, pole: Array) -> Array:
    """Where two bones of given lengths meet, on the side of ``pole``; stretched where they do not reach."""
    run = far - near
    reach = np.linalg.norm(run)
    if reach >= first + second:
        return near + run * first / (first + second)
    run = run / reach
    along = (first**2 - second**2 + reach**2) / (2 * reach)
    side = pole - run * (run @ pole)
    return near + along * run + np.sqrt(first**2 - along**2) * side / np.linalg.norm(side)


def golfer(
    pelvis_place: Array, pelvis: Array, ribcage: Array, head: Array, grip: Array, club: Array,
    girdle_deg: float, elbow_poles: tuple[Array, Array], ball: Array,
) -> Skeleton:  # fmt: skip
    """Put a right-handed golfer together from a pelvis, a ribcage, a head and a held club."""
    joints: dict[str, Array] = {"pelvis": pelvis_place, "ball": ball}
    frames: dict[str, Array] = {
        "pelvis": pelvis,
        "ribcage": ribcage,
        "head": head,
        "neck": head,
        "club": club,
    }
    for side, sign in (("lead", 1.0), ("trail", -1.0)):
        ankle = np.array([0.0, sign * 0.21, 0.0415 * H])
        foot = Rotation.from_euler("Z", sign * 20, degrees=True).as_matrix()
        joints[f"ankle_{side}"] = ankle
        joints[f"heel_{side}"] = ankle + foot @ [-0.035 * H, 0, -0.0415 * H]
        joints[f"toe_{side}"] = ankle + foot @ [0.12 * H, 0, -0.0415 * H]
        hip = pelvis_place + pelvis @ [0, sign * 0.05 * H, 0]
        knee = middle_joint(hip, ankle, THIGH, SHANK, foot[:, 0] + [0.0, 0, 0.3])
        joints[f"hip_{side}"], joints[f"knee_{side}"] = hip, knee
        frames[f"foot_{side}"] = foot
        frames[f"thigh_{side}"] = frame_along(hip - knee, foot[:, 0])
        frames[f"shank_{side}"] = frame_along(knee - ankle, foot[:, 0])
    levels = Rotation.from_matrix(pelvis.T @ ribcage).as_rotvec() * np.linspace(0, 1, 18)[:, None]
    spine_frames = pelvis @ Rotation.from_rotvec(levels).as_matrix()
    joints["lumbosacral"] = pelvis_place + pelvis @ [-0.02 * H, 0, 0.07 * H]
    pieces = spine_frames[:-1, :, 2] * (0.28 * H / 17)
    spine = np.concatenate([joints["lumbosacral"][None], joints["lumbosacral"] + np.cumsum(pieces, axis=0)])
    neck_base = joints["neck_base"] = spine[-1]
    joints["sternum"] = neck_base + ribcage @ [0.07 * H, 0, -0.09 * H]
    joints["head"] = neck_base + head @ [0.03 * H, 0, 0.085 * H]
    joints["nose"] = joints["head"] + head @ [0.068 * H, 0, -0.015 * H]
    joints["vertex"] = joints["head"] + head @ [0, 0, 0.052 * H]
    joints["grip"], joints["clubhead"] = grip, grip - CLUB * club[:, 2]
    girdle = frames["girdle"] = ribcage @ turned(girdle_deg, 0, 0)
    for side, sign, pole in (("lead", 1.0, elbow_poles[0]), ("trail", -1.0, elbow_poles[1])):
        shoulder = neck_base + ribcage @ [0, 0, -0.045 * H] + girdle @ [0, sign * 0.105 * H, 0]
        joints[f"sternoclavicular_{side}"] = neck_base + ribcage @ [0, sign * 0.015 * H, -0.045 * H]
        frames[f"collar_bone_{side}"] = girdle
        # Wrists over the grip, 50 and 32 degrees off it, the trail hand lower by most of its breadth.
        held, off = (grip, 50.0) if side == "lead" else (grip - 0.066 * club[:, 2], 32.0)
        hand = club @ Rotation.from_euler("y", off, degrees=True).as_matrix()
        wrist = held + 0.081 * hand[:, 2]
        elbow = middle_joint(shoulder, wrist, UPPER_ARM, FOREARM, pole)
        joints[f"shoulder_{side}"], joints[f"elbow_{side}"], joints[f"wrist_{side}"] = shoulder, elbow, wrist
        frames[f"upper_arm_{side}"] = frame_along(shoulder - elbow, -pole)
        frames[f"forearm_{side}"] = frame_along(elbow - wrist, -pole)
        frames[f"hand_{side}"] = hand
    assert set(joints) == set(JOINTS) and set(frames) == set(SEGMENT_ORIGINS)
    return Skeleton(joints, frames, spine, spine_frames)


def address() -> Skeleton:
    """Bent 38 degrees over the ball, knees soft, hands hanging."""
    pelvis, ribcage = turned(0, 0, 18), turned(0, 5, 38)
    place = np.array([-0.09, 0.0, 0.0415 * H + 0.462 * H])
    grip = np.array([0.35, 0.03, 0.735])
    clubhead = np.array([grip[0] + 0.66, 0.02, 0.02])
    club = frame_along((grip - clubhead) * [1, 0, 1], np.array([1.0, 0, 0]))
    ball = grip - CLUB * club[:, 2] + [0, 0.04, 0]
    ball[2] = 0.0213
    down = np.array([0.0, 0.0, -1.0])
    poles = (np.array([-0.3, 0.6, -1.0]) - down * 0, np.array([-0.3, -0.6, -1.0]))
    return golfer(place, pelvis, ribcage, turned(0, 0, 58), grip, club, 0.0, poles, ball)


def top() -> Skeleton:
    """Turned over the trail hip: hips 45, ribcage 70 with 35 of tilt, hands high over the trail shoulder."""
    pelvis, ribcage = turned(45, 11, 12), turned(70, 35, 7)
    place = np.array([-0.08, 0.0, 0.0415 * H + 0.458 * H])
    club = frame_along(np.array([0.25, -1.0, 0.12]), np.array([0.7, 0.0, -0.7]))
    draft = golfer(place, pelvis, ribcage, turned(20, 0, 55), np.zeros(3), club, 20.0, (Z, Z), address().joints["ball"])
    chest = ribcage @ turned(15, 0, 0)
    grip = draft.joints["neck_base"] + chest @ [0.30, -0.24, 0.10]
    poles = (np.array([0.0, 0.0, -1.0]), ribcage @ [-0.4, -0.6, -1.0])
    return golfer(place, pelvis, ribcage, turned(20, 0, 55), grip, club, 20.0, poles, address().joints["ball"])


def moved(skeleton: Skeleton, rotation: Array, shift: Array) -> Skeleton:
    """The whole skeleton carried rigidly elsewhere."""
    return Skeleton(
        {name: rotation @ place + shift for name, place in skeleton.joints.items()},
        {name: rotation @ frame for name, frame in skeleton.frames.items()},
        skeleton.spine @ rotation.T + shift,
        rotation @ skeleton.spine_frames,
    )
