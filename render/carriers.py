"""How parts of the surface follow the skeleton: rigidly, or bending smoothly across a joint."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.spatial.transform import Rotation

from ..model.arrays import Array
from ..model.skeleton import SEGMENT_ORIGINS, Skeleton


def between(first: Array, second: Array, weights: Array) -> Array:
    """Rotations on the shortest way from one to another.

    Args:
        first: ``(..., 3, 3)`` rotation.
        second: ``(..., 3, 3)`` rotation.
        weights: ``(n,)`` 0 at the first, 1 at the second.

    Returns:
        ``(..., n, 3, 3)`` rotations first · exp(weight · log(firstᵀ · second)).

    """
    step = np.swapaxes(first, -1, -2) @ second
    lead = step.shape[:-2]
    vector = Rotation.from_matrix(step.reshape(-1, 3, 3)).as_rotvec().reshape(*lead, 1, 3)
    share = (vector * weights[:, None]).reshape(-1, 3)
    part = Rotation.from_rotvec(share).as_matrix().reshape(*lead, len(weights), 3, 3)
    turned: Array = first[..., None, :, :] @ part
    return turned


def smoothstep(x: Array) -> Array:
    """0 below 0, 1 above 1, and a cubic with level ends between."""
    held = np.clip(x, 0.0, 1.0)
    return held * held * (3.0 - 2.0 * held)


@dataclass(frozen=True)
class Rigid:
    """One frame: a segment's own, at the joint it sits on."""

    segment: str

    def places(self, skeleton: Skeleton) -> tuple[Array, Array]:
        """Origins ``(..., 1, 3)`` metres and rotations ``(..., 1, 3, 3)``."""
        origin = np.asarray(skeleton.joints[SEGMENT_ORIGINS[self.segment]])
        return origin[..., None, :], np.asarray(skeleton.frames[self.segment])[..., None, :, :]


@dataclass(frozen=True)
class Bend:
    """Rings along two segments that meet in a joint, turning over smoothly across it.

    Rings keep their shape (no squashing on the inside of a bend): centres are mixed linearly, orientations
    on the shortest way.

    Attributes:
        pivot: the joint in the middle.
        upper: segment above it.
        lower: segment below it.
        along_m: ``(n,)`` metres from the pivot, up positive.
        reach_m: half length of the stretch that turns over, metres.

    """

    pivot: str
    upper: str
    lower: str
    along_m: Array
    reach_m: float

    def places(self, skeleton: Skeleton) -> tuple[Array, Array]:
        """Origins ``(..., n, 3)`` metres and rotations ``(..., n, 3, 3)``."""
        upper, lower = np.asarray(skeleton.frames[self.upper]), np.asarray(skeleton.frames[self.lower])
        weights = smoothstep(0.5 - 0.5 * self.along_m / self.reach_m)
        pivot = np.asarray(skeleton.joints[self.pivot])[..., None, :]
        share = weights[:, None]
        axis = (1 - share) * upper[..., None, :, 2] + share * lower[..., None, :, 2]
        return pivot + self.along_m[:, None] * axis, between(upper, lower, weights)


@dataclass(frozen=True)
class Spine:
    """The pelvis frame at the lumbosacral joint, then the 18 vertebral levels up to the neck base."""

    def places(self, skeleton: Skeleton) -> tuple[Array, Array]:
        """Origins ``(..., 19, 3)`` metres and rotations ``(..., 19, 3, 3)``."""
        pelvis = np.asarray(skeleton.frames["pelvis"])[..., None, :, :]
        low = np.asarray(skeleton.joints["lumbosacral"])[..., None, :]
        return (
            np.concatenate([low, np.asarray(skeleton.spine)], axis=-2),
            np.concatenate([pelvis, np.asarray(skeleton.spine_frames)], axis=-3),
        )


@dataclass(frozen=True)
class ShoulderLine:
    """Rings strung from the trail to the lead shoulder, arched over the upper chest.

    The shoulders move on the ribcage, so this part follows their joints and not the ribcage alone. Each
    frame's z runs to the lead side, its x forward and its y down.

    Attributes:
        share: ``(n,)`` 0 at the trail shoulder, 1 at the lead shoulder.
        arch: ``(3,)`` metres, ribcage frame: where the middle passes, from the neck base.

    """

    share: Array
    arch: Array

    def places(self, skeleton: Skeleton) -> tuple[Array, Array]:
        """Origins ``(..., n, 3)`` metres and rotations ``(..., n, 3, 3)``."""
        trail = np.asarray(skeleton.joints["shoulder_trail"])[..., None, :]
        lead = np.asarray(skeleton.joints["shoulder_lead"])[..., None, :]
        ribcage = np.asarray(skeleton.frames["ribcage"])
        middle = np.asarray(skeleton.joints["neck_base"]) + ribcage @ self.arch
        middle = middle[..., None, :]
        u = self.share[:, None]
        # Quadratic through trail (u=0), middle (u=1/2) and lead (u=1).
        origin = (1 - u) * (1 - 2 * u) * trail + 4 * u * (1 - u) * middle + u * (2 * u - 1) * lead
        run = (4 * u - 3) * trail + (4 - 8 * u) * middle + (4 * u - 1) * lead
        z = run / np.linalg.norm(run, axis=-1, keepdims=True)
        front = np.broadcast_to(ribcage[..., None, :, 0], z.shape)
        y = np.cross(z, front)
        y /= np.linalg.norm(y, axis=-1, keepdims=True)
        return origin, np.stack([np.cross(y, z), y, z], axis=-1)


@dataclass(frozen=True)
class Neck:
    """Rings from the neck base into the skull, turning from the ribcage to the head.

    Attributes:
        share: ``(n,)`` 0 at the neck base, 1 at the skull's end.
        skull: ``(3,)`` metres, head frame: where the neck ends, from the head centre.

    """

    share: Array
    skull: Array

    def places(self, skeleton: Skeleton) -> tuple[Array, Array]:
        """Origins ``(..., n, 3)`` metres and rotations ``(..., n, 3, 3)``."""
        ribcage, head = np.asarray(skeleton.frames["ribcage"]), np.asarray(skeleton.frames["head"])
        base = np.asarray(skeleton.joints["neck_base"])
        end = np.asarray(skeleton.joints["head"]) + head @ self.skull
        run = (end - base)[..., None, :]
        origin = base[..., None, :] + self.share[:, None] * run
        turned = between(ribcage, head, self.share)
        # Rings lie across the neck, not across the trunk: a head carried forward slants the neck.
        z = np.broadcast_to(run / np.linalg.norm(run, axis=-1, keepdims=True), turned[..., 2].shape)
        y = np.cross(z, turned[..., 0])
        y /= np.linalg.norm(y, axis=-1, keepdims=True)
        return origin, np.stack([np.cross(y, z), y, z], axis=-1)
