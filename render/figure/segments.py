"""A golfer's segments as labelled pictures tell them apart: the golfer's own left and right, one list for all."""

from __future__ import annotations

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
