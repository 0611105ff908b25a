"""What an arm's joints show: shoulder, elbow, forearm and wrist, and how far they can go.

Frames follow the recommendations of Wu et al. 2005 (J Biomech 38:981-992): the humerus is told against the ribcage, the
hand against the forearm. Angles are those that a goniometer's ranges are told in, and none of them jumps where an arm
hangs straight down:

* *elevation* of the upper arm from hanging, whichever way;
* *across*: how far the upper arm has passed straight ahead, toward the other side;
* *internal rotation*: of the upper arm about its length, with the shortest swing from hanging taken off; with the arm
  lifted to the side that is what is measured lying down, and an elbow that bends ahead of a hanging arm shows none;
* *pronation* of the forearm from the thumb up, then *extension* of the wrist, then its *radial deviation*.

A right arm is looked at in the mirror, so that all signs are those of a left one. Both sides are alike.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..arrays import Array, BoolArray
from ..numeric.vectors import cross, norm
from .girdle import SIDE
from .lie import unit

_AHEAD, _INWARD, _DOWN = np.array([1.0, 0.0, 0.0]), np.array([0.0, -1.0, 0.0]), np.array([0.0, 0.0, -1.0])
ENDS: Mapping[str, tuple[str, str]] = {
    "collar_bone_forward": ("collar_bone_retraction", "collar_bone_protraction"),
    "collar_bone_up": ("collar_bone_depression", "collar_bone_elevation"),
    "shoulder_elevation": ("", "shoulder_flexion"), "shoulder_across": ("", "shoulder_horizontal_adduction"),
    "shoulder_internal_rotation": ("shoulder_external_rotation", "shoulder_internal_rotation"),
    "elbow_flexion": ("", "elbow_flexion"), "forearm_pronation": ("forearm_supination", "forearm_pronation"),
    "wrist_extension": ("wrist_flexion", "wrist_extension"),
    "wrist_radial_deviation": ("wrist_ulnar_deviation", "wrist_radial_deviation"),
}  # fmt: skip
"""Joint angle to the ranges that end it, below and above. Where there is one end only, no arm comes to the other."""
ARM_LIMITS: tuple[str, ...] = tuple(
    f"{side}_{end}" for side in ("lead", "trail") for pair in ENDS.values() for end in pair if end
)
"""Names of the ranges that can end an arm's joints."""
FROM_THE_SIDE = float(np.radians(90.0))
"""Horizontal adduction is told from the side (Boone & Azen 1979); across is told from straight ahead."""


def joint_angles(
    side: str, ribcage: Array, shoulder: Array, elbow: Array, wrist: Array, hand: Array, palm: Array
) -> dict[str, Array]:
    """Angles ``(...)`` rad of one arm, by the names of `ENDS` without those of the collar bone.

    Args:
        side: lead or trail.
        ribcage: ``(..., 3, 3)`` ribcage_to_world.
        shoulder: ``(..., 3)`` m, world.
        elbow: the same.
        wrist: the same.
        hand: ``(..., 3)`` unit, from the wrist along the hand.
        palm: ``(..., 3)`` unit, where the palm faces, square to the hand.
    """
    mirror = np.array([1.0, SIDE[("lead", "trail").index(side)], 1.0])

    def own(v: Array) -> Array:
        return np.asarray((v[..., None, :] @ ribcage)[..., 0, :] * mirror)

    upper, fore = unit(own(elbow - shoulder)), unit(own(wrist - elbow))
    hand, palm = own(hand), own(palm)
    # The shortest swing that takes a hanging arm here: what was ahead and toward the middle of the chest goes with it.
    axis, cosine = cross(_DOWN, upper), -upper[..., 2:]
    ahead, inward = (_swung(v, axis, cosine) for v in (_AHEAD, _INWARD))
    # The elbow's axis points inward, and the thumb of a forearm half way between its ends is square to it.
    hinge = unit(cross(upper, fore))
    thumb = cross(hinge, fore)
    return {
        "shoulder_elevation": np.arccos((-upper[..., 2]).clip(-1.0, 1.0)),
        "shoulder_across": np.arcsin((-upper[..., 1]).clip(-1.0, 1.0)),
        "shoulder_internal_rotation": np.arctan2(_dot(fore, inward), _dot(fore, ahead)),
        "elbow_flexion": np.arctan2(norm(cross(upper, fore)), _dot(upper, fore)),
        "forearm_pronation": np.arctan2(-_dot(palm, thumb), _dot(palm, hinge)),
        "wrist_extension": np.arcsin(_dot(palm, fore).clip(-1.0, 1.0)),
        "wrist_radial_deviation": np.arctan2(-_dot(cross(palm, hand), fore), _dot(hand, fore)),
    }


def joint_ranges(ranges: Mapping[str, Array]) -> dict[str, tuple[Array, Array]]:
    """Low and high end ``(...)`` rad of every angle of both arms, from a body's ranges."""
    found: dict[str, tuple[Array, Array]] = {}
    for side in ("lead", "trail"):
        for name, (below, above) in ENDS.items():
            high = ranges[f"{side}_{above}"]
            low = -ranges[f"{side}_{below}"] if below else np.full(np.shape(high), -np.pi)
            found[f"{side}_{name}"] = (low, high - FROM_THE_SIDE if name == "shoulder_across" else high)
    return found


def ended_by(joint: str, above: bool) -> str:
    """The range that ends a ``joint`` of `joint_ranges` above or below; empty where none does."""
    side, name = joint.split("_", 1)
    end = ENDS[name][above]
    return f"{side}_{end}" if end else ""


def mark_ended(limited: BoolArray, joint: str, below: BoolArray, above: BoolArray) -> None:
    """Mark, in place, the ranges ``limited (N, len(ARM_LIMITS))`` that end a ``joint`` at some moments ``(N,)``."""
    for end, ended in ((ended_by(joint, False), below), (ended_by(joint, True), above)):
        if end:
            limited[:, ARM_LIMITS.index(end)] |= ended


def _dot(a: Array, b: Array) -> Array:
    return np.asarray((a * b).sum(axis=-1))


def _swung(v: Array, axis: Array, cosine: Array) -> Array:
    """``v (3,)`` turned about ``axis (..., 3)``, as long as the angle's sine, by the angle of ``cosine (..., 1)``."""
    along = (axis @ v)[..., None] / np.maximum(1.0 + cosine, 1e-9)
    return np.asarray(cosine * v + cross(axis, v) + along * axis)
