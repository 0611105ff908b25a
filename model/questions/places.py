"""Places of the body that a golfer can find with a hand: breastbone, lead shoulder, trail hip pocket, belt buckle.

Two are joint centres of the chain. The other two lie on the pelvis, carried by it, over the survey's measures
(`golfer.survey`); where on the trousers they sit is an assumption:

- breastbone: the notch at its upper end (`sternum`; suprasternale of the survey).
- lead shoulder: the centre of its joint (`shoulder_lead`), some 3 cm below the bony point on top (from memory).
- trail hip pocket: the middle of the trail half of the seat, halfway up from the hip joints to the iliac crest; the
  seat half its depth behind the hips (assumptions).
- belt buckle: in the middle, at the height of the iliac crest, half the waist's depth before the hips (assumptions).
"""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from ..chain.skeleton import Skeleton
from ..golfer.body import Body
from ..golfer.survey import ratio

PLACES = ("breastbone", "lead_shoulder", "trail_hip_pocket", "belt_buckle")
_MIRROR = np.array([1.0, -1.0, 1.0])


def places(body: Body, skeleton: Skeleton, left_handed: bool = False) -> Array:
    """Where they are at each moment.

    Args:
        body: of batch shape ``(...)``.
        skeleton: theirs, batch shape ``(..., M)``.
        left_handed: whether the skeleton is a mirror image (world y negated).

    Returns:
        ``(..., M, 4, 3)`` metres, world, in the order of ``PLACES``.
    """
    own = skeleton.mirrored() if left_handed else skeleton
    joints, pelvis = own.joints, own.frames["pelvis"]
    there = [joints["sternum"], joints["shoulder_lead"]]
    there += [joints["pelvis"] + (pelvis @ at[..., None, :, None])[..., 0] for at in _on_pelvis(body)]
    found = np.stack(there, axis=-2)
    return found * _MIRROR if left_handed else found


def _on_pelvis(body: Body) -> tuple[Array, Array]:
    """Pocket and buckle ``(..., 3)`` m from the hips' midpoint, in the pelvis's frame (front, lead, up)."""
    crest = body.stature * (ratio("iliocristale_height", body.female) - ratio("trochanterion_height", body.female))
    shape, middle = body.shape, np.zeros_like(crest)
    pocket = np.stack([-shape["buttock_depth"] / 2.0, -shape["hip_breadth"] / 4.0, crest / 2.0], axis=-1)
    return pocket, np.stack([shape["waist_depth"] / 2.0, middle, crest], axis=-1)
