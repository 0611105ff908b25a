"""A golfer's segments as labelled pictures tell them apart: the golfer's own left and right, one list for all."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ..body.bones import ARM, BONES, COLLAR_BONES, COLUMN, LEG, SIDES
from ..shapes.carriers import Rigid
from ..shapes.solids import Part
from .clothing import Covering
from .hands import Hinged
from .shoes import Shod

SEGMENTS: tuple[str, ...] = (
    "head", "neck", "trunk", "pelvis",
    "upper_arm_left", "upper_arm_right", "forearm_left", "forearm_right", "hand_left", "hand_right",
    "thigh_left", "thigh_right", "shank_left", "shank_right", "foot_left", "foot_right",
    "club", "ball", "occluder",
)  # fmt: skip
"""Segment k has the id k + 1; 0 is what belongs to none: ground and backdrop."""
SEGMENT_ID = {name: k + 1 for k, name in enumerate(SEGMENTS)}
PERSON_IDS = tuple(SEGMENT_ID[name] for name in SEGMENTS if name not in ("club", "ball", "occluder"))
"""Of what belongs to the golfer, clothes, cap and hair included."""


def segments_of_faces(parts: Sequence[Covering | Part], *, left_handed: bool) -> NDArray[np.uint8]:
    """``(F,)`` the id of the segment that each triangle belongs to, part by part.

    What moves with the skin belongs to the segment whose frames carry most of a triangle's corners; a frame part of the
    way across a joint counts for both its segments, so that one begins where the other ends: in the joint's middle.

    Args:
        parts: of a figure.
        left_handed: whether the lead side is the right one.

    """
    shares = _segments_of_bones(left_handed)
    found = []
    for part in parts:
        if isinstance(part, Covering):
            carried = part.blend.held[:, 3] @ shares[part.blend.frames]
            if part.name == "skirt":
                carried = _of_thighs(carried)
            a, b, c = (carried.take(corner, axis=0) for corner in part.faces.T)
            found.append(np.argmax(a + b + c, axis=1) + 1)
        else:
            found.append(np.full(len(part.faces), SEGMENT_ID[_rigid_segment(part, left_handed)]))
    return np.concatenate(found).astype(np.uint8)


def _own_side(name: str, left_handed: bool) -> str:
    """``foot_lead`` as ``foot_left``, a left-hander's as ``foot_right``."""
    lead, trail = ("right", "left") if left_handed else ("left", "right")
    return name.replace("lead", lead).replace("trail", trail)


def _rigid_segment(part: Part, left_handed: bool) -> str:
    carrier = part.carrier
    if isinstance(carrier, Hinged):
        return _own_side(f"hand_{carrier.side}", left_handed)
    if isinstance(carrier, Shod):
        return _own_side(f"foot_{carrier.side}", left_handed)
    if not isinstance(carrier, Rigid):
        raise TypeError(f"no segment is known for what carries {part.name}")
    return _own_side(carrier.segment, left_handed)


def _segments_of_bones(left_handed: bool) -> NDArray[np.float32]:
    """``(B, S)`` how much of each frame of ``bones.BONES`` counts for each of ``SEGMENTS``."""
    shares = np.zeros((len(BONES), len(SEGMENTS)), np.float32)

    def add(bone: str, segment: str, share: float = 1.0) -> None:
        shares[BONES.index(bone), SEGMENT_ID[_own_side(segment, left_handed)] - 1] += share

    add("pelvis", "pelvis")
    for name in (*COLUMN[1:], *COLLAR_BONES.values()):
        add(name, "trunk")
    for name in ("neck_1", "neck_2"):
        add(name, "neck")
    add("head", "head")
    for side in SIDES:
        for joints, above in ((LEG[side], "pelvis"), (ARM[side], "trunk")):
            for names in joints:
                for k, name in enumerate(names, start=1):
                    add(name, above, 1 - k / len(names))
                    add(name, names[-1], k / len(names))
                above = names[-1]
    return shares


def _of_thighs(carried: NDArray[np.float32]) -> NDArray[np.float32]:
    """A skirt's shares ``(V, S)``: between two thighs, none of which has most, cloth is no pelvis."""
    thighs = [SEGMENT_ID["thigh_left"] - 1, SEGMENT_ID["thigh_right"] - 1]
    legs = carried[:, thighs]
    both = legs.sum(axis=1, keepdims=True)
    given = carried.copy()
    given[:, thighs] = np.where(legs == legs.max(axis=1, keepdims=True), both, 0)
    return given
