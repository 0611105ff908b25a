"""The figure as joint centres and segment orientations: what the solver hands to everybody else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..batch import Batch, Frame, Frames, Vector

JOINTS: tuple[str, ...] = (
    "ankle_lead", "ankle_trail", "toe_lead", "toe_trail", "heel_lead", "heel_trail",
    "knee_lead", "knee_trail", "hip_lead", "hip_trail", "pelvis", "lumbosacral", "neck_base", "sternum",
    "sternoclavicular_lead", "sternoclavicular_trail", "shoulder_lead", "shoulder_trail",
    "elbow_lead", "elbow_trail", "wrist_lead", "wrist_trail",
    "head", "nose", "vertex", "grip", "clubhead", "ball",
)  # fmt: skip

SEGMENT_ORIGINS: dict[str, str] = {
    "pelvis": "pelvis", "ribcage": "neck_base", "girdle": "neck_base", "neck": "neck_base", "head": "head",
    "thigh_lead": "hip_lead", "thigh_trail": "hip_trail",
    "shank_lead": "knee_lead", "shank_trail": "knee_trail",
    "foot_lead": "ankle_lead", "foot_trail": "ankle_trail",
    "collar_bone_lead": "sternoclavicular_lead", "collar_bone_trail": "sternoclavicular_trail",
    "upper_arm_lead": "shoulder_lead", "upper_arm_trail": "shoulder_trail",
    "forearm_lead": "elbow_lead", "forearm_trail": "elbow_trail",
    "hand_lead": "wrist_lead", "hand_trail": "wrist_trail",
    "club": "grip",
}  # fmt: skip
"""Each segment with the joint its frame sits on."""


@dataclass(frozen=True)
class Skeleton(Batch):
    """Joint centres and segment frames of a batch of postures.

    In every segment frame x points to the front of the segment, y to the golfer's left (a right-hander's lead side)
    and z from its far end to its near end, so that all frames are the identity in upright standing with hanging
    arms; the girdle's is the ribcage's, turned by the girdle's share of the turn; a collar bone lies along its y; the
    club's z runs from the clubhead to the grip and its y is normal to the face (toward the target at a right-hander's
    address).

    Attributes:
        joints: joint name (``JOINTS``) to ``(..., 3)`` metres, world.
        frames: segment name (``SEGMENT_ORIGINS``) to ``(..., 3, 3)`` segment_to_world rotation.
        spine: ``(..., 18, 3)`` metres, world: the intervertebral centres from lumbosacral to neck base.
        spine_frames: ``(..., 18, 3, 3)`` rotation of the vertebra above each centre; the last is the ribcage.
    """

    joints: Mapping[str, Vector]
    frames: Mapping[str, Frame]
    spine: Frame
    spine_frames: Frames

    def mirrored(self) -> Skeleton:
        """The same figure left-handed: world y negated, frames reflected on both sides so they stay proper."""
        flip = np.array([1.0, -1.0, 1.0])
        both = flip[:, None] * flip
        return Skeleton(
            {name: place * flip for name, place in self.joints.items()},
            {name: frame * both for name, frame in self.frames.items()},
            self.spine * flip,
            self.spine_frames * both,
        )
