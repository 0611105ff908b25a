"""Where the body's weight is: de Leva's segments on the skeleton, the club, and the share on each foot."""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from ..golfer.body import Body
from .skeleton import Skeleton

CLUB_MASS = 0.43
"""kg, a mid-iron (common practice)."""
CLUB_CENTRE = 0.72
"""Share of the club's length from the grip's end to its centre of mass (common practice)."""
XIPHION_LEVEL, OMPHALION_LEVEL = 8, 1
"""Spine centres at the height of the lower end of the breastbone (T9/10, anatomy from memory) and of the navel (L4/5,
which is where the survey's omphalion height comes to)."""
TRUNK_FORWARD = 0.020
"""The trunk's mass lies this share of stature before the spine (assumption: halfway through the trunk)."""


def segment_ends(skeleton: Skeleton, body: Body) -> dict[str, tuple[Array, Array]]:
    """First and second end point ``(..., 3)`` m, world, of each segment of de Leva 1996, limbs by side.

    His hand ends at the knuckle, which on a grip is about where the grip's centre is: that is taken.
    """
    j, frames = skeleton.joints, skeleton.spine_frames
    ahead = TRUNK_FORWARD * body.stature[..., None]
    xiphion = skeleton.spine[..., XIPHION_LEVEL, :] + ahead * frames[..., XIPHION_LEVEL, :, 0]
    omphalion = skeleton.spine[..., OMPHALION_LEVEL, :] + ahead * frames[..., OMPHALION_LEVEL, :, 0]
    ends = {
        "head": (j["vertex"], j["neck_base"]),
        "upper_trunk": (j["neck_base"], xiphion),
        "middle_trunk": (xiphion, omphalion),
        "lower_trunk": (omphalion, j["pelvis"]),
    }
    for side in ("lead", "trail"):
        held = (
            j["grip"]
            if side == "lead"
            else j["wrist_trail"]
            + (-body.lengths["wrist_to_grip"][..., None] * skeleton.frames["hand_trail"][..., :, 2])
        )
        ends |= {
            f"upper_arm_{side}": (j[f"shoulder_{side}"], j[f"elbow_{side}"]),
            f"forearm_{side}": (j[f"elbow_{side}"], j[f"wrist_{side}"]),
            f"hand_{side}": (j[f"wrist_{side}"], held),
            f"thigh_{side}": (j[f"hip_{side}"], j[f"knee_{side}"]),
            f"shank_{side}": (j[f"knee_{side}"], j[f"ankle_{side}"]),
            f"foot_{side}": (j[f"heel_{side}"], j[f"toe_{side}"]),
        }
    return ends


def _kind(segment: str) -> str:
    return segment.removesuffix("_lead").removesuffix("_trail")


def centre_of_mass(skeleton: Skeleton, body: Body) -> Array:
    """Centre of mass of body and club ``(..., 3)`` m, world (de Leva 1996, table 4)."""
    weighted = np.zeros_like(skeleton.joints["pelvis"])
    for name, (first, second) in segment_ends(skeleton, body).items():
        kind = _kind(name)
        share = body.segment_centres[kind][..., None]
        weighted = weighted + body.segment_masses[kind][..., None] * (first + share * (second - first))
    j = skeleton.joints
    weighted = weighted + CLUB_MASS * (j["grip"] + CLUB_CENTRE * (j["clubhead"] - j["grip"]))
    return np.asarray(weighted / (body.mass + CLUB_MASS)[..., None])


def foot_middles(skeleton: Skeleton) -> tuple[Array, Array]:
    """Middle between heel and toe of the lead and the trail foot, ``(..., 3)`` m."""
    j = skeleton.joints
    return 0.5 * (j["heel_lead"] + j["toe_lead"]), 0.5 * (j["heel_trail"] + j["toe_trail"])


def trail_weight_share(skeleton: Skeleton, centre: Array) -> Array:
    """Static share of the weight on the trail foot ``(...)``: where the centre of mass is between the feet's middles.

    Below 0 or above 1 it is beyond the middle of that foot. It says nothing where the centre of mass is outside the
    base of support (see ``support``): nobody stands there.
    """
    lead, trail = foot_middles(skeleton)
    line = trail - lead
    return np.asarray(((centre - lead) * line)[..., :2].sum(axis=-1) / (line[..., :2] ** 2).sum(axis=-1))
