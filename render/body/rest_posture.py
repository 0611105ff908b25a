"""The posture a body's surface is made in: upright, hips half flexed, limbs straight and clear of the trunk.

It lies in the middle of what a backswing does with each joint, so that posing bends the surface either way and never
far. Straight knees and elbows make each limb one tube, whose girths then are the ones asked for.
"""

from __future__ import annotations

import numpy as np

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton

THIGH_FORWARD = 0.34
"""How far forward the thighs go for each metre down: half way to a golfer's hip flexion at address (assumption)."""
LEAST_APART, MOST_APART = 0.18, 0.46
"""How far outward the thighs go for each metre down; stout thighs are held further apart."""
CLEAR_BELOW_M = 0.11
"""The thighs part this far below the hips, metres (assumption: a little below the crotch)."""
ARM = np.array([1.0, 0.793, 0.669]) / np.linalg.norm([1.0, 0.793, 0.669])
"""Direction of the lead arm in the girdle's frame, forward, outward and 28 degrees up: armpits are open, and both
the address and the top are within what skin can give (found together with the lengths in `skin_weights`)."""
FOOT_RAISED = np.radians(8.0)
"""Dorsiflexion of the resting ankle, half of what soft knees take (assumption)."""
MIRROR = np.array([1.0, -1.0, 1.0])


def arm_direction(side: str) -> Array:
    """``(3,)`` unit direction of a resting arm in the girdle's frame."""
    direction: Array = ARM if side == "lead" else ARM * MIRROR
    return direction


def rest_posture(posture: Skeleton, thigh_radius_m: float) -> Skeleton:
    """A symmetric resting skeleton with the bones of another posture.

    Args:
        posture: one moment, no batch axes, shoulders square to the ribcage (an address).
        thigh_radius_m: of the thickest thigh, which decides how far apart the legs stand.

    Returns:
        The resting skeleton without club and ball: pelvis centre at the origin, frames of pelvis and ribcage the
        world's.
    """
    given, frames = posture.joints, posture.frames
    zero = np.zeros(3)
    joints: dict[str, Array] = {"pelvis": zero}
    upright = np.eye(3)
    turned: dict[str, Array] = dict.fromkeys(("pelvis", "ribcage", "girdle", "neck", "head"), upright)
    lumbosacral = frames["pelvis"].T @ (given["lumbosacral"] - given["pelvis"]) * [1, 0, 1]
    heights = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(posture.spine, axis=0), axis=1))])
    spine = lumbosacral + heights[:, None] * [0, 0, 1]
    base = spine[-1]
    joints |= {"lumbosacral": lumbosacral, "neck_base": base}
    joints["sternum"] = base + frames["ribcage"].T @ (given["sternum"] - given["neck_base"]) * [1, 0, 1]
    # Half of the neck goes with the ribcage, half with the head: between both views of the head's place.
    carried = given["head"] - given["neck_base"]
    seen = 0.5 * (frames["ribcage"].T @ carried + frames["head"].T @ carried) * [1, 0, 1]
    joints["head"] = base + seen * (np.linalg.norm(carried) / np.linalg.norm(seen))
    for name in ("nose", "vertex"):
        joints[name] = joints["head"] + frames["head"].T @ (given[name] - given["head"]) * [1, 0, 1]

    def bone(near: str, far: str) -> float:
        sides = [np.linalg.norm(given[f"{near}_{s}"] - given[f"{far}_{s}"]) for s in ("lead", "trail")]
        return float(np.mean(sides))

    hip = 0.5 * float(np.linalg.norm(given["hip_lead"] - given["hip_trail"]))
    apart = float(np.clip((thigh_radius_m + 0.018 - hip) / CLEAR_BELOW_M, LEAST_APART, MOST_APART))
    breastbone = frames["ribcage"].T @ (given["sternoclavicular_lead"] - given["neck_base"])
    # Collar bones straight out: what the arms drew the shoulders by at address is no rest.
    shoulder_lead = breastbone + np.array([0.0, bone("sternoclavicular", "shoulder"), 0.0])
    for side, out in (("lead", 1.0), ("trail", -1.0)):
        mirror = np.array([1.0, out, 1.0])
        down = np.array([THIGH_FORWARD, apart, -1.0])
        leg = _frame(-down / np.linalg.norm(down) * mirror)
        joints[f"hip_{side}"] = np.array([0.0, out * hip, 0.0])
        joints[f"knee_{side}"] = joints[f"hip_{side}"] - bone("hip", "knee") * leg[:, 2]
        ankle = joints[f"ankle_{side}"] = joints[f"knee_{side}"] - bone("knee", "ankle") * leg[:, 2]
        raised, sine = np.cos(FOOT_RAISED), np.sin(FOOT_RAISED)
        foot = leg @ np.array([[raised, 0, -sine], [0, 1, 0], [sine, 0, raised]])
        turned |= {f"thigh_{side}": leg, f"shank_{side}": leg, f"foot_{side}": foot}
        for end in ("heel", "toe"):
            own = frames[f"foot_{side}"].T @ (given[f"{end}_{side}"] - given[f"ankle_{side}"])
            joints[f"{end}_{side}"] = ankle + foot @ own
        direction = arm_direction(side)
        arm = _frame(-direction)
        joints[f"sternoclavicular_{side}"], turned[f"collar_bone_{side}"] = base + breastbone * mirror, upright
        joints[f"shoulder_{side}"] = base + shoulder_lead * mirror
        joints[f"elbow_{side}"] = joints[f"shoulder_{side}"] + bone("shoulder", "elbow") * direction
        joints[f"wrist_{side}"] = joints[f"elbow_{side}"] + bone("elbow", "wrist") * direction
        turned |= {f"upper_arm_{side}": arm, f"forearm_{side}": arm, f"hand_{side}": arm}
    return Skeleton(joints, turned, spine, np.broadcast_to(upright, (len(spine), 3, 3)).copy())


def _frame(up: Array) -> Array:
    """``(3, 3)`` with z along ``up`` and y as near the golfer's left as can be."""
    x = np.cross([0.0, 1.0, 0.0], up)
    x /= np.linalg.norm(x)
    return np.stack([x, np.cross(up, x), up], axis=-1)
