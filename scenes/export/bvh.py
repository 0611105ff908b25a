"""The skeleton as a BVH file: joints with constant offsets, metres, y up, that only turn.

Without any turn the skeleton stands upright with hanging arms and faces z. Joint names are the ones that most programs
know (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from scipy.spatial.transform import Rotation

from ...model.arrays import Array
from ...model.errors import TurnstillError
from ...model.swing.swing import Swing

TO_Y_UP = np.array([[0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]])
"""From the room's axes (ball, target, up) to the file's: x toward the target, y up, z toward the ball."""
STEADY_M = 1e-6
"""Bones whose length changes by more could not be written."""


@dataclass
class Joint:
    """A joint of the file.

    Attributes:
        name: in the file.
        places: ``(M, 3)`` metres, room.
        frames: ``(M, 3, 3)`` to room, or nothing for the end of a chain.
        children: what hangs on it.
    """

    name: str
    places: Array
    frames: Array | None
    children: list[Joint] = field(default_factory=list)

    def then(self, name: str, places: Array, frames: Array | None) -> Joint:
        """The same joint with one more hung on it; returns the new one."""
        self.children.append(Joint(name, np.asarray(places), None if frames is None else np.asarray(frames)))
        return self.children[-1]


def tree(swing: Swing) -> Joint:
    """The joints of a swing without batch axes."""
    joints, frames = swing.skeleton.joints, swing.skeleton.frames
    spine, turns = np.asarray(swing.skeleton.spine), np.asarray(swing.skeleton.spine_frames)
    hips = Joint("Hips", np.asarray(joints["pelvis"]), np.asarray(frames["pelvis"]))
    column = hips
    for k in range(spine.shape[1]):
        column = column.then(f"Spine{k + 1}", spine[:, k], turns[:, k])
    neck = column.then("Neck", joints["neck_base"], frames["neck"])
    lengths = swing.body.lengths
    up_the_neck = np.array([float(lengths["neck_forward"]), 0.0, float(lengths["neck_up"])])
    skull = neck.then("Head", joints["neck_base"] + frames["neck"] @ up_the_neck, frames["head"])
    skull.then("End", joints["vertex"], None)

    for side in ("lead", "trail"):
        word = "Left" if (side == "lead") != swing.left_handed else "Right"
        leg = hips
        for name, joint, segment in (("UpLeg", "hip", "thigh"), ("Leg", "knee", "shank"), ("Foot", "ankle", "foot")):
            leg = leg.then(word + name, joints[f"{joint}_{side}"], frames[f"{segment}_{side}"])
        foot, toe = np.asarray(frames[f"foot_{side}"]), np.asarray(joints[f"toe_{side}"])
        ball = np.asarray(joints[f"heel_{side}"]) + float(lengths["heel_to_ball"]) * foot[..., 0]
        leg.then(f"{word}ToeBase", ball, _toes(foot, toe - ball)).then("End", toe, None)
        arm = column
        for name, joint, segment in (
            ("Shoulder", "sternoclavicular", "collar_bone"), ("Arm", "shoulder", "upper_arm"),
            ("ForeArm", "elbow", "forearm"), ("Hand", "wrist", "hand"),
        ):  # fmt: skip
            arm = arm.then(word + name, joints[f"{joint}_{side}"], frames[f"{segment}_{side}"])
        fist = float(lengths["wrist_to_grip"])
        arm.then("End", joints[f"wrist_{side}"] - fist * np.asarray(frames[f"hand_{side}"])[..., 2], None)
    return hips


def _toes(foot: Array, run: Array) -> Array:
    """``(M, 3, 3)`` the toes' frame: bent to the foot about its y so that they run ``(M, 3)`` from ball to tip."""
    ahead = run / np.linalg.norm(run, axis=-1, keepdims=True)
    return np.stack([ahead, foot[..., 1], np.cross(ahead, foot[..., 1])], axis=-1)


def _offset(joint: Joint, parent: Joint) -> Array:
    """``(3,)`` metres in the parent's frame, the file's axes."""
    assert parent.frames is not None
    seen = (np.swapaxes(parent.frames, -1, -2) @ (joint.places - parent.places)[..., None])[..., 0]
    if np.ptp(seen, axis=0).max() > STEADY_M:
        raise TurnstillError(f"The bone to {joint.name} changes its length, which a BVH file cannot hold; use --glb.")
    return np.asarray(TO_Y_UP @ seen[0])


def _angles(joint: Joint, parent: Joint | None) -> Array:
    """``(M, 3)`` degrees about z, x, y in this order, of a joint in its parent."""
    assert joint.frames is not None
    turned = joint.frames
    if parent is not None and parent.frames is not None:
        turned = np.swapaxes(parent.frames, -1, -2) @ turned
    return np.asarray(Rotation.from_matrix(TO_Y_UP @ turned @ TO_Y_UP.T).as_euler("ZXY", degrees=True))


def _written(joint: Joint, parent: Joint | None, depth: int) -> Iterator[str]:
    """Lines of the hierarchy."""
    pad = "\t" * depth
    offset = np.zeros(3) if parent is None else _offset(joint, parent)
    head = "ROOT" if parent is None else "JOINT"
    yield f"{pad}End Site" if joint.frames is None else f"{pad}{head} {joint.name}"
    yield f"{pad}{{"
    yield f"{pad}\tOFFSET " + " ".join(f"{value:.7f}" for value in offset)
    if joint.frames is not None:
        moved = "6 Xposition Yposition Zposition" if parent is None else "3"
        yield f"{pad}\tCHANNELS {moved} Zrotation Xrotation Yrotation"
    for child in joint.children:
        yield from _written(child, joint, depth + 1)
    yield f"{pad}}}"


def _motion(joint: Joint, parent: Joint | None) -> Iterator[Array]:
    """``(M, 3)`` channels in the order of the hierarchy."""
    if parent is None:
        yield joint.places @ TO_Y_UP.T
    if joint.frames is not None:
        yield _angles(joint, parent)
    for child in joint.children:
        yield from _motion(child, joint)


def bvh_text(swing: Swing, seconds: Array) -> str:
    """The file: one row a moment.

    Args:
        swing: no batch axes, ``M`` moments.
        seconds: ``(M,)`` evenly spaced.
    """
    hips = tree(swing)
    rows = np.concatenate(list(_motion(hips, None)), axis=1)
    step = float(seconds[-1] - seconds[0]) / (len(rows) - 1)
    lines = ["HIERARCHY", *_written(hips, None, 0), "MOTION", f"Frames: {len(rows)}", f"Frame Time: {step:.8f}"]
    lines += [" ".join(f"{value:.7f}" for value in row) for row in rows]
    return "\n".join(lines) + "\n"
