"""Arms and club: both hands hold the club always, for the figure's looks, its keypoints and its centre of mass.

The arms swing as far as the shoulders turn (`girdle.arm_swing`): the lead arm from where it hangs across the chest and
up, the club hinged against it more and more. Where the club goes is asked (`golfer.arm_swing`); the bones follow by the
law of cosines: of each collar bone, as far as its arm lacks reach, then of each elbow. The trail elbow folds as it must
and points to where its wrist is bent back as a tray is carried.

What cannot be reached is not reached by the swing, never by letting go: where an arm still does not reach, hands and
club together come nearer; where a joint would pass its range, the arms swing less far.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..batch import Batch, Flags, Frame, Vector
from ..golfer.body import Body
from ..golfer.ranges import SIDES
from ..numeric.vectors import columns, cross, norm, norms
from .arm_joints import ARM_LIMITS, joint_angles
from .carried import Carried
from .girdle import SIDE as WAY
from .girdle import Girdle
from .lie import unit
from .reach import Give, Hold, Reached, in_world, reach

TRAIL_WRIST = np.radians([17.0, 44.0])
"""How far the trail wrist is bent back where its elbow points freely, at address and at a full swing (assumption)."""

_ELBOW_POLES = {
    "lead": np.array([[-0.2, 0.5, -1.0], [-0.2, 0.5, -1.0]]),
    "trail": np.array([[-0.45, -0.8, -1.0], [-0.45, -0.4, -1.0]]),
}
"""Where each elbow points at address and at a full swing."""
_TUCKED = np.array([-0.25, 0.8, -0.55])
"""Where the trail elbow points on the way to the ball: in before the ribs, as far within the arm's ranges as can be
(searched for on an average man)."""


@dataclass(frozen=True)
class Arms(Batch):
    """Arms and club of ``N`` moments; joints ``(N, 3)`` m and frames ``(N, 3, 3)``, world.

    Attributes:
        joints, frames: as of a skeleton.
        angles: ``(N,)`` rad by the names of `arm_joints.joint_ranges`, and the hinge of the lead forearm to the shaft.
        limited: ``(N, len(ARM_LIMITS))`` which ranges keep it from what was asked.
    """

    joints: Mapping[str, Vector]
    frames: Mapping[str, Frame]
    angles: Mapping[str, Array]
    limited: Flags


@dataclass(frozen=True)
class Asked(Batch):
    """What is asked of the arms of ``N`` moments: on which girdle, and at which share of a full swing."""

    body: Body
    girdle: Girdle
    hold: Hold
    share: Array
    carried: Carried | None


@dataclass(frozen=True)
class Bent:
    """Where the joints of arms and club are, and at which angles; what the frames of `Arms` follow from.

    Attributes:
        there: where both arms reach the club.
        joints, angles: as of `Arms`.
    """

    there: Reached
    joints: dict[str, Array]
    angles: dict[str, Array]


def posed(asked: Asked, give: Give) -> Arms:
    """Arms and club so far from what is asked of them as they ``give`` way."""
    made, girdle = bent(asked, give), asked.girdle
    there, joints, angles = made.there, made.joints, made.angles
    # Each limb's z points up it; the club and the hands lie with the palms, the arms with the chest.
    up = {"club": -there.shaft, "hand_lead": -there.hand["lead"], "hand_trail": -there.hand["trail"]}
    lateral = [there.palms] * len(up)
    for limb, above, below in (("upper_arm", "shoulder", "elbow"), ("forearm", "elbow", "wrist")):
        up |= {f"{limb}_{side}": joints[f"{above}_{side}"] - joints[f"{below}_{side}"] for side in SIDES}
        lateral += [girdle.frame[..., :, 1]] * len(SIDES)
    frames = dict(zip(up, _frame(np.array(list(up.values())), np.array(lateral)), strict=True))
    frames["girdle"] = girdle.frame
    for side in SIDES:
        frames[f"collar_bone_{side}"] = girdle.collar_bone(
            side, angles[f"{side}_collar_bone_forward"], angles[f"{side}_collar_bone_up"]
        )
    return Arms(joints, frames, angles, np.zeros((*asked.share.shape, len(ARM_LIMITS)), dtype=bool))


def bent(asked: Asked, give: Give) -> Bent:
    """The joints of arms and club so far from what is asked of them as they ``give`` way."""
    lengths, girdle, hold, swing = asked.body.lengths, asked.girdle, asked.hold, asked.share
    there = reach(lengths, girdle, hold, swing, give, asked.carried)
    grip, shaft = there.grip, there.shaft
    joints = {"grip": grip, "clubhead": grip + hold.club_length[..., None] * shaft}
    angles: dict[str, Array] = {}
    palms = {"lead": -there.palms, "trail": there.palms}
    for side in SIDES:
        shoulder, wrist, hand = there.shoulder[side], there.wrist[side], there.hand[side]
        pole = _pole(side, girdle, swing, hand, palms[side])
        if side == "trail" and asked.carried is not None:
            tucked = np.where(asked.carried.back, asked.carried.near, 0.0)[:, None]
            pole = (1.0 - tucked) * unit(pole) + tucked * in_world(girdle, unit(_TUCKED))
        around = -WAY[SIDES.index(side)] * np.asarray(getattr(give, f"{side}_elbow"))
        elbow = _elbow(shoulder, wrist, lengths["upper_arm"], lengths["forearm"], pole, around)
        joints[f"sternoclavicular_{side}"] = girdle.breastbone[side]
        joints |= {f"shoulder_{side}": shoulder, f"elbow_{side}": elbow, f"wrist_{side}": wrist}
        forward, up = girdle.collar_bone_angles(side, shoulder)
        shown = {"collar_bone_forward": forward, "collar_bone_up": up}
        shown |= joint_angles(side, girdle.ribcage, shoulder, elbow, wrist, hand, palms[side])
        angles |= {f"{side}_{name}": angle for name, angle in shown.items()}
    angles["hinge"] = _between(joints["wrist_lead"] - joints["elbow_lead"], shaft)
    return Bent(there, joints, angles)


def _pole(side: str, girdle: Girdle, swing: Array, hand: Array, palm: Array) -> Array:
    """Where an elbow points ``(..., 3)``: down, and the folding trail one so that its forearm carries the hand."""
    share = np.minimum(swing, 1.0)[..., None]
    first, last = _ELBOW_POLES[side]
    down = in_world(girdle, unit(first + share * (last - first)))
    if side == "lead":
        return down
    first, last = TRAIL_WRIST
    back = first + share * (last - first)
    free = (1.0 - share) ** 3
    return np.asarray(free * down - (1.0 - free) * (np.cos(back) * hand + np.sin(back) * palm))


def _between(a: Array, b: Array) -> Array:
    """Angle ``(...)`` rad between vectors ``(..., 3)``."""
    return np.arctan2(norm(cross(a, b)), (a * b).sum(axis=-1))


def _elbow(shoulder: Array, wrist: Array, upper: Array, fore: Array, pole: Array, around: Array) -> Array:
    """The elbow of an arm from shoulder to wrist that points toward ``pole``, then ``around`` rad about that line.

    Law of cosines.
    """
    across = wrist - shoulder
    distance = norm(across)
    along = (upper**2 - fore**2 + distance**2) / (2.0 * np.maximum(distance, 1e-9))
    out = np.sqrt(np.maximum(upper**2 - along**2, 0.0))
    direction = unit(across)
    side = unit(pole - (pole * direction).sum(axis=-1, keepdims=True) * direction)
    side = np.cos(around)[..., None] * side + np.sin(around)[..., None] * cross(direction, side)
    return np.asarray(shoulder + along[..., None] * direction + out[..., None] * side)


def _frame(up: Array, lateral: Array) -> Array:
    """Right-handed frame ``(..., 3, 3)`` with z along ``up`` and y as near ``lateral`` as can be."""
    z = unit(up)
    y = lateral - (lateral * z).sum(axis=-1, keepdims=True) * z
    # A limb along the lateral axis has no near y: any square direction will do, so take one that always exists.
    weak = norms(y) < 1e-3
    spare = cross(z, np.where(np.abs(z[..., :1]) < 0.9, [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]))
    y = unit(np.where(weak, spare, y))
    return columns(cross(y, z), y, z)
