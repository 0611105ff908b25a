"""The spine from pelvis to ribcage: one rotation shared by level in proportion to published mobility, exactly.

Each of seventeen levels, L5/S1 to T1/T2, turns by ``exp(W_i v)``: the same rotation vector ``v``, scaled by the
level's share of side bend, flexion and rotation. A Newton iteration finds the ``v`` for which the product of all
levels is the rotation from pelvis to ribcage. (Taking ``v`` as the logarithm of the whole closes only where the
shares of the three motions agree, and iterating that naively does not converge.)

Rotation vectors here are in the pelvis frame: x side bend (lead side down is negative), y flexion, z axial
rotation (away from the target is negative).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from . import rotations
from .arrays import Array, BoolArray

LEVELS: tuple[str, ...] = (
    "L5/S1", "L4/5", "L3/4", "L2/3", "L1/2",
    "T12/L1", "T11/12", "T10/11", "T9/10", "T8/9", "T7/8", "T6/7", "T5/6", "T4/5", "T3/4", "T2/3", "T1/2",
)  # fmt: skip
LUMBAR = 5

# Within each region the pattern by level is White & Panjabi 1990 (representative values, from memory); for the
# lumbar region Pearcy & Tibrewal 1984, Spine 9:582-7 (side bend and rotation, from memory). The regions' totals
# are those of ``ranges``: lumbar 25.4, 91.4, 7 deg (side bend, flexion and extension, rotation; Troke et al. 2005 at
# 30 years), thoracic 15.6, 34.8, 24.9 deg (Fujimori 2014, Jiang 2025, Fujimori 2012).
_SIDE_BEND = ((3, 6, 10, 11, 10), (8, 9, 7, 6, 6, 6, 6, 6, 6, 5, 6, 5))
_FLEXION = ((17, 16, 15, 14, 12), (12, 12, 9, 6, 6, 6, 5, 4, 4, 4, 4, 4))
_ROTATION = ((2, 3, 3, 2, 2), (2, 2, 2, 4, 6, 7, 7, 8, 8, 8, 8, 9))
_TOTALS = ((25.4, 15.6), (91.4, 34.8), (7.0, 24.9))


def _shares() -> Array:
    columns = []
    for pattern, totals in zip((_SIDE_BEND, _FLEXION, _ROTATION), _TOTALS, strict=True):
        by_region = [np.asarray(p) / sum(p) * t / sum(totals) for p, t in zip(pattern, totals, strict=True)]
        columns.append(np.concatenate(by_region))
    return np.stack(columns, axis=1)


SHARES: Array = _shares()
"""``(17, 3)``: what each level does of side bend, flexion and rotation; every column adds to one."""

LUMBAR_LENGTH_SHARE = 0.385
"""Share of L5/S1 to C7/T1 that is lumbar, about 18 of 47 cm (from memory)."""

SEGMENT_SHARES: Array = np.concatenate(
    [np.full(LUMBAR, LUMBAR_LENGTH_SHARE / LUMBAR), np.full(12, (1.0 - LUMBAR_LENGTH_SHARE) / 12)]
)
"""``(17,)`` length of the vertebra above each level as a share of the spine: equal within a region (assumption)."""

_STEPS = 6
_TOLERANCE = 1e-12


@dataclass(frozen=True)
class Spine:
    """A closed spine.

    Attributes:
        vector: ``(..., 3)`` the shared rotation vector v, rad.
        centres: ``(..., 18, 3)`` m, world, lumbosacral joint to base of neck.
        frames: ``(..., 18, 3, 3)`` vertebra_to_world; the last is the ribcage.
        top_by_turning: ``(..., 3, 3)`` velocity of the base of the neck per angular velocity of the ribcage
            (world), the pelvis held.
        closed: ``(...)`` whether the levels add up to the ribcage to rounding.
    """

    vector: Array
    centres: Array
    frames: Array
    top_by_turning: Array
    closed: BoolArray


def bend(pelvis: Array, ribcage: Array, lumbosacral: Array, length: Array) -> Spine:
    """Share the rotation from ``pelvis`` to ``ribcage (..., 3, 3)`` over the levels.

    Args:
        pelvis: pelvis_to_world.
        ribcage: ribcage_to_world; up to about 150 degrees from the pelvis.
        lumbosacral: ``(..., 3)`` m, world.
        length: ``(...)`` m, lumbosacral joint to base of neck with a straight spine.
    """
    whole = np.swapaxes(pelvis, -1, -2) @ ribcage
    vector = rotations.log(whole)
    for step in range(_STEPS):
        levels = np.moveaxis(vector[..., None, :] * SHARES, -2, 0)  # (17, ..., 3)
        turned = rotations.exp(levels)
        below = np.empty((len(LEVELS) + 1, *whole.shape))
        below[0] = np.eye(3)
        for i in range(len(LEVELS)):
            below[i + 1] = below[i] @ turned[i]
        miss = rotations.log(whole @ np.swapaxes(below[-1], -1, -2))
        # Angular velocity (pelvis frame) each level adds, per rate of v.
        by_level = below[:-1] @ (rotations.left_jacobian(levels) * SHARES.reshape(-1, *[1] * (whole.ndim - 1), 3))
        total = by_level.sum(axis=0)
        if step == _STEPS - 1 or np.abs(miss).max(initial=0.0) < _TOLERANCE:
            break
        vector = vector + np.linalg.solve(total, miss[..., None])[..., 0]
    length = np.asarray(length)
    segments = below[1:, ..., :, 2] * (SEGMENT_SHARES.reshape(-1, *[1] * length.ndim) * length)[..., None]
    own = np.concatenate([np.zeros_like(segments[:1]), np.cumsum(segments, axis=0)])  # pelvis frame
    lever = rotations.cross_matrix(own[-1] - own[:-1])
    by_vector = -(lever @ by_level).sum(axis=0)
    by_turning = pelvis @ by_vector @ np.linalg.inv(total) @ np.swapaxes(pelvis, -1, -2)
    frames = np.concatenate([below[1:], below[-1:]])
    return Spine(
        vector=vector,
        centres=lumbosacral[..., None, :] + np.moveaxis((pelvis @ own[..., None])[..., 0], 0, -2),
        frames=np.moveaxis(pelvis @ frames, 0, -3),
        top_by_turning=by_turning,
        closed=np.abs(miss).max(axis=-1) < 1e-9,
    )
