"""The frames that carry the surface as a tree: where each stands in the one it hangs on."""

from __future__ import annotations

import numpy as np
from scipy.spatial.transform import Rotation

from ...model.arrays import Array
from ..body.bones import ARM, BONES, COLLAR_BONES, COLUMN, LEG, NECK, SIDES


def _parents() -> dict[str, str | None]:
    found: dict[str, str | None] = {"pelvis": None}
    chains = [(*COLUMN, *NECK)]
    for side in SIDES:
        chains.append((COLUMN[0], *(name for joint in LEG[side] for name in joint)))
        chains.append((COLUMN[-1], COLLAR_BONES[side], *(name for joint in ARM[side] for name in joint)))
    for chain in chains:
        found.update(zip(chain[1:], chain[:-1], strict=True))
    return {name: found[name] for name in BONES}


PARENTS: dict[str, str | None] = _parents()
"""Each of ``bones.BONES`` to the frame it hangs on, in the same order: parents come first."""


def quaternions(rotations: Array) -> Array:
    """``(M, 4)`` unit quaternions x, y, z, w of rotations ``(M, 3, 3)``, none turned the long way round."""
    found = Rotation.from_matrix(rotations).as_quat()
    turned = np.sign((found[1:] * found[:-1]).sum(axis=1))
    found[1:] *= np.cumprod(np.where(turned < 0, -1.0, 1.0))[:, None]
    quaternion: Array = found
    return quaternion


def local_frames(origins: Array, rotations: Array) -> dict[str, tuple[Array, Array]]:
    """Each frame in its parent's.

    Args:
        origins: ``(M, B, 3)`` metres, world, in the order of ``bones.BONES``.
        rotations: ``(M, B, 3, 3)`` bone_to_world.

    Returns:
        Name to translations ``(M, 3)`` metres and quaternions ``(M, 4)``; the pelvis's are in the world.
    """
    number = {name: k for k, name in enumerate(BONES)}
    found = {}
    for name, parent in PARENTS.items():
        shift, turn = origins[:, number[name]], rotations[:, number[name]]
        if parent is not None:
            back = np.swapaxes(rotations[:, number[parent]], -1, -2)
            shift = (back @ (shift - origins[:, number[parent]])[..., None])[..., 0]
            turn = back @ turn
        found[name] = shift, quaternions(turn)
    return found
