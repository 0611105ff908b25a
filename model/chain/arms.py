"""Arms and club: they follow the ribcage, for the figure's looks, its keypoints and its centre of mass.

The lead arm swings from where it hangs at address to across the chest at the top, evenly with progress, and becomes
nearly straight; the club swings with it; the trail arm reaches for the grip and bends as it must. Directions at the top
are common practice, not a result. The shoulder girdle carries both shoulders round by its share of the turn.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..batch import Batch, Frame, Vector
from ..errors import TurnstillError
from ..golfer.address import ADDRESS
from ..numeric import rotations

REACH = 0.985
"""Share of an arm's full length between shoulder and wrist at address: straight but not locked (assumption)."""
REACH_AT_TOP = 0.985
"""Of the lead arm's full length with the hand, at the top: a bent one straightens on the way (common practice)."""
HANDS_APART = 0.09
"""Trail hand below the lead hand on the grip, m (common practice)."""
HANG = float(np.radians(12.0))
"""Hands hang this far in front of the vertical below the shoulders at address (common practice)."""

# Directions in the girdle's frame (x ahead of the chest, y to the lead side, z up the trunk); common practice.
_LEAD_ARM_AT_TOP = np.array([0.60, -0.72, 0.34])
_LEAD_ARM_HALFWAY = np.array([0.72, -0.62, -0.45])
_CLUB_HALFWAY = np.array([0.45, -0.80, 0.40])
_CLUB_AT_TOP = np.array([-0.88, -0.05, 0.30])
_ELBOW_POLES = np.array([[-0.2, 0.5, -1.0], [-0.5, -0.5, -1.0]])


@dataclass(frozen=True)
class Arms(Batch):
    """Arms and club of a batch ``(...)``; joints ``(..., 3)`` m and frames ``(..., 3, 3)``, world."""

    joints: Mapping[str, Vector]
    frames: Mapping[str, Frame]


def girdle_angle(shoulder_line_turn: Array, turn: Array, tilt: Array, bend: Array) -> Array:
    """Rotation of the girdle about the ribcage's long axis that turns the shoulder line to ``shoulder_line_turn``.

    The shoulder line's turn is that of its horizontal projection; from R = Rz(-turn) Rx(-tilt) Ry(bend) Rz(-g)
    follows ``tan g = tan e cos tilt / (cos bend + tan e sin bend sin tilt)`` with e the turn still missing.
    """
    missing = shoulder_line_turn - turn
    sine, cosine = np.sin(missing), np.cos(missing)
    return np.arctan2(sine * np.cos(tilt), cosine * np.cos(bend) + sine * np.sin(bend) * np.sin(tilt))


def shoulder_line_turn(ribcage: Array, girdle: Array) -> Array:
    """Turn away from the target of the shoulder line as seen from above, rad."""
    line = (ribcage @ rotations.about_z(-girdle))[..., :, 1]
    return np.arctan2(line[..., 0], line[..., 1])


def shoulders(lengths: Mapping[str, Array], ribcage: Array, neck_base: Array, girdle: Array) -> tuple[Array, Array]:
    """Shoulder centres ``(2, ..., 3)`` m (lead, trail) and the girdle's frame ``(..., 3, 3)``."""
    frame = ribcage @ rotations.about_z(-girdle)
    zero = np.zeros_like(girdle)
    middle = np.stack([zero, zero, zero - lengths["shoulder_drop"]], axis=-1)
    centre = neck_base + (ribcage @ middle[..., None])[..., 0]
    half = 0.5 * lengths["shoulder_width"] + zero
    sides = [np.stack([lengths["shoulder_forward"] + zero, side * half, zero], axis=-1) for side in (1.0, -1.0)]
    return np.stack([centre + (frame @ own[..., None])[..., 0] for own in sides]), frame


def hanging_hands(lengths: Mapping[str, Array], shoulder: Array) -> Array:
    """Where the lead hand holds the club at address, ``(..., 3)`` m, hanging from ``shoulder (2, ..., 3)``.

    The hands hang below the middle of the shoulders; the arm that has further to go is nearly straight.
    """
    arm = REACH * (lengths["upper_arm"] + lengths["forearm"]) + lengths["wrist_to_grip"]
    middle = shoulder.mean(axis=0)
    direction = np.array([np.sin(HANG), 0.0, -np.cos(HANG)])
    along = ((middle - shoulder) * direction).sum(axis=-1)
    square = ((middle - shoulder) ** 2).sum(axis=-1)
    # Both hands together: half their distance on the grip further for each, along the club, hardly matters.
    depth = -along + np.sqrt(np.maximum(along**2 - square + arm**2, 0.0))
    return np.asarray(middle + (depth.min(axis=0) - 0.5 * HANDS_APART)[..., None] * direction)


def ball_place(hands: Array, club_length: Array, ball_position: Array) -> Array:
    """Where the ball lies ``(..., 3)`` m so that the club reaches it from the ``hands``: on the ground, ahead.

    Raises:
        TurnstillError: if the club is too short to reach the ground.
    """
    along = ball_position - hands[..., 1]
    square = club_length**2 - hands[..., 2] ** 2 - along**2
    if np.any(square < 0.01**2):
        at = int(np.argmin(square))
        given = float(np.broadcast_to(club_length, square.shape).reshape(-1)[at])
        needed = float(np.hypot(hands[..., 2], along).reshape(-1)[at])
        raise TurnstillError(
            f"A club of {given * 100:.0f} cm does not reach the ball: the hands are {needed * 100:.0f} cm away from "
            f"it; {_to_reach(needed)}."
        )
    ahead = hands[..., 0] + np.sqrt(square)
    return np.stack([ahead, np.broadcast_to(ball_position, ahead.shape), np.zeros_like(ahead)], axis=-1)


def _to_reach(needed: float) -> str:
    """What to do about a club that is shorter than ``needed`` m; a heavier end moves the hands by a few millimetres."""
    least = float(np.ceil(needed * 100.0) + 1.0)
    if least > ADDRESS["club_length"].high:
        return "no club is that long, so bend further forward"
    return f"use a club of at least {least:.0f} cm, or bend further forward"


def _unit(v: Array) -> Array:
    return np.asarray(v / np.maximum(np.linalg.norm(v, axis=-1, keepdims=True), 1e-12))


def _arc(start: Array, middle: Array, end: Array, share: Array) -> Array:
    """Unit directions along a smooth arc from ``start (..., 3)`` past ``middle`` to ``end``, at ``share (...)``."""
    s = share[..., None]
    return _unit((1.0 - s) ** 2 * start + 2.0 * s * (1.0 - s) * _unit(middle) * 1.2 + s**2 * _unit(end))


def follow(
    lengths: Mapping[str, Array], girdle: Array, shoulder: Array,
    arm_at_address: Array, club_at_address: Array, club_length: Array, progress: Array,
) -> Arms:  # fmt: skip
    """Arms and club of moments with a ``girdle (..., 3, 3)`` frame and ``shoulder (2, ..., 3)`` centres.

    Args:
        lengths: of the body, broadcastable to ``(...)``.
        girdle: girdle_to_world.
        shoulder: lead and trail shoulder centres, m.
        arm_at_address: ``(..., 3)`` m, lead shoulder to lead hand's grip at address, in the girdle's frame.
        club_at_address: ``(..., 3)`` unit, grip to clubhead at address, in the girdle's frame.
        club_length: ``(...)`` m.
        progress: ``(...)`` 0 to 1.
    """
    full = lengths["upper_arm"] + lengths["forearm"] + lengths["wrist_to_grip"]
    reach_then = np.linalg.norm(arm_at_address, axis=-1)
    reach = reach_then + progress * (np.maximum(reach_then, REACH_AT_TOP * full) - reach_then)
    arm = _arc(_unit(arm_at_address), _LEAD_ARM_HALFWAY, _LEAD_ARM_AT_TOP, progress)
    club = _arc(club_at_address, _CLUB_HALFWAY, _CLUB_AT_TOP, progress)
    arm_world = (girdle @ arm[..., None])[..., 0]
    club_world = (girdle @ club[..., None])[..., 0]
    grip = shoulder[0] + reach[..., None] * arm_world
    lower = grip + HANDS_APART * club_world
    hand = lengths["wrist_to_grip"][..., None]
    upper, fore = lengths["upper_arm"], lengths["forearm"]
    wrist_lead = grip - hand * arm_world
    to_lower = _unit(lower - shoulder[1])
    wrist_trail = lower - hand * to_lower
    # The trail arm may be short of the club: the hand then stops at the arm's length, or where it folds no further.
    away = wrist_trail - shoulder[1]
    distance = np.maximum(np.linalg.norm(away, axis=-1), 1e-9)
    within = np.clip(distance, np.abs(upper - fore), REACH * (upper + fore)) / distance
    wrist_trail = shoulder[1] + within[..., None] * away
    joints = {
        "shoulder_lead": shoulder[0], "shoulder_trail": shoulder[1],
        "wrist_lead": wrist_lead, "wrist_trail": wrist_trail,
        "grip": grip, "clubhead": grip + club_length[..., None] * club_world,
    }  # fmt: skip
    frames = {"club": _frame(-club_world, girdle[..., :, 1])}
    ends = {"lead": (shoulder[0], wrist_lead, grip, 0), "trail": (shoulder[1], wrist_trail, lower, 1)}
    for side, (top, wrist, held, number) in ends.items():
        pole = (girdle @ _ELBOW_POLES[number][:, None])[..., 0]
        elbow = _elbow(top, wrist, upper, fore, pole)
        joints[f"elbow_{side}"] = elbow
        lateral = girdle[..., :, 1]
        frames[f"upper_arm_{side}"] = _frame(top - elbow, lateral)
        frames[f"forearm_{side}"] = _frame(elbow - wrist, lateral)
        frames[f"hand_{side}"] = _frame(wrist - held, lateral)
    return Arms(joints, frames)


def _elbow(shoulder: Array, wrist: Array, upper: Array, fore: Array, pole: Array) -> Array:
    """The elbow of an arm from shoulder to wrist that points toward ``pole``: law of cosines."""
    across = wrist - shoulder
    distance = np.linalg.norm(across, axis=-1)
    along = (upper**2 - fore**2 + distance**2) / (2.0 * np.maximum(distance, 1e-9))
    out = np.sqrt(np.maximum(upper**2 - along**2, 0.0))
    direction = _unit(across)
    side = _unit(pole - (pole * direction).sum(axis=-1, keepdims=True) * direction)
    return np.asarray(shoulder + along[..., None] * direction + out[..., None] * side)


def _frame(up: Array, lateral: Array) -> Array:
    """Right-handed frame ``(..., 3, 3)`` with z along ``up`` and y as near ``lateral`` as can be."""
    z = _unit(up)
    y = lateral - (lateral * z).sum(axis=-1, keepdims=True) * z
    # A limb along the lateral axis has no near y: any square direction will do, so take one that always exists.
    weak = np.linalg.norm(y, axis=-1, keepdims=True) < 1e-3
    spare = np.cross(z, np.where(np.abs(z[..., :1]) < 0.9, [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]))
    y = _unit(np.where(weak, spare, y))
    return np.stack([np.cross(y, z), y, z], axis=-1)
