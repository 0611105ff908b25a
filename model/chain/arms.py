"""Arms and club: both hands hold the club always, for the figure's looks, its keypoints and its centre of mass.

The arms swing as far as the shoulders turn (`girdle.arm_swing`): the lead arm from where it hangs across the chest and
up, the club hinged against it more and more. Where the club goes is asked (common practice); the bones follow by the
law of cosines: of each collar bone, as far as its arm lacks reach, then of each elbow. Where an arm still does not
reach, hands and club together come nearer: what cannot be reached is not reached by the swing, never by letting go. The
trail elbow folds as it must.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..batch import Batch, Frame, Vector
from .girdle import FARTHEST, Girdle, arm_swing, shoulder_line_turn
from .lie import Held, Lie, held, lie, lie_without_lean, unit

LEAD_ELBOW = float(np.radians(6.0))
LEAD_ELBOW_AT_TOP = float(np.radians(8.0))
"""Bend of the lead elbow at address and at the top: nearly straight throughout (common practice)."""
TRAIL_ELBOW = float(np.radians(10.0))
"""Bend of the trail elbow at address: soft (common practice)."""
TRAIL_FOLDS = float(np.radians(40.0))
"""By how much more at a full swing at least: sooner than be straighter, the shoulder comes (assumption)."""
STRAIGHTEST, MOST_FOLDED = float(np.radians(2.0)), float(np.radians(140.0))
"""How far an elbow goes either way when an arm is drawn out or in (assumption; both short of the joint's ends)."""
GRIP_ANGLE = {"lead": np.radians([50.0, 95.0]), "trail": np.radians([32.0, 70.0])}
"""Each hand's angle to the shaft at address and at a full swing (common practice)."""

# Directions in the girdle's frame: x ahead of the chest, y to the lead side, z up the trunk; common practice.
_LEAD_ARM_HALFWAY = unit(np.array([0.72, -0.62, -0.45]))
_LEAD_ARM_AT_TOP = unit(np.array([0.68, -0.70, -0.02]))
_CLUB_AT_TOP = unit(np.array([-0.970, -0.180, 0.155]))
"""At the top of a centred swing some 10 degrees short of level and 5 off the target line, away from the ball's side."""
_ROLL_HALFWAY = float(np.radians(-135.0))
_ELBOW_POLES = {
    "lead": np.array([[-0.2, 0.5, -1.0], [-0.2, 0.5, -1.0]]),
    "trail": np.array([[-0.45, -0.8, -1.0], [-0.45, -0.4, -1.0]]),
}
"""Where each elbow points at address and at a full swing."""
ROUNDS = 30
"""How often at most both arms are asked in turn whether they reach; ordinary swings end with the first."""


@dataclass(frozen=True)
class Hold(Batch):
    """How a golfer held the club at address: what the swing starts from. Arrays ``(N, 3)`` or ``(N,)``.

    Attributes:
        arm: lead shoulder, nothing drawn, to lead hand's grip in the girdle's frame, m.
        club: grip to clubhead in the girdle's frame, unit.
        club_length: m.
        ball: m, world.
        shoulder_turn: of the shoulder line, rad.
    """

    arm: Vector
    club: Vector
    club_length: Array
    ball: Vector
    shoulder_turn: Array


@dataclass(frozen=True)
class Arms(Batch):
    """Arms and club of a batch ``(...)``; joints ``(..., 3)`` m and frames ``(..., 3, 3)``, world.

    Attributes:
        joints, frames: as of a skeleton.
        angles: ``(...)`` rad of each side's collar bone and elbow, and the hinge of the lead forearm to the shaft.
    """

    joints: Mapping[str, Vector]
    frames: Mapping[str, Frame]
    angles: Mapping[str, Array]


def carried(
    lengths: Mapping[str, Array], ribcage: Array, neck_base: Array, girdle_angle: Array, hold: Hold
) -> tuple[Girdle, Array]:
    """The girdle at its share of the turn, and how far the arms swing with it: as far as the shoulders turned since."""
    swing = arm_swing(shoulder_line_turn(ribcage, girdle_angle) - hold.shoulder_turn)
    return Girdle.of(lengths, ribcage, neck_base, girdle_angle, swing), swing


@dataclass(frozen=True)
class Reached:
    """Where both arms reach a club, ``(..., 3)`` each, world.

    Attributes:
        grip: where the lead hand holds, m.
        shaft, palms: unit, see `lie.Held`.
        hand: by side, from a wrist to where its hand holds, unit.
        wrist: by side, m.
        shoulder: by side, m, drawn as far as its arm needs.
    """

    grip: Array
    shaft: Array
    palms: Array
    hand: Mapping[str, Array]
    wrist: Mapping[str, Array]
    shoulder: Mapping[str, Array]


def reach(lengths: Mapping[str, Array], girdle: Girdle, hold: Hold, swing: Array) -> Reached:
    """Hands, club and shoulders of moments at their share ``swing (...)`` of a full swing of the arms.

    Args:
        lengths: of the body, broadcastable to ``(...)``.
        girdle: which carries the arms.
        hold: how the club was held at address.
        swing: 0 at address, 1 at a full swing.
    """
    arm, club = _asked(hold, swing)
    at_address = np.linalg.norm(hold.arm, axis=-1)
    at_top = length(lengths, LEAD_ELBOW_AT_TOP) + 0.9 * lengths["wrist_to_grip"]
    far = at_address + swing * (at_top - at_address)
    shaft, palms, arm = (_in_world(girdle, v) for v in (club.shaft, club.palms, arm))
    grip = girdle.shoulder["lead"] + far[..., None] * arm
    hand = {
        side: _in_world(girdle, club.hand(first + swing * (last - first))) for side, (first, last) in GRIP_ANGLE.items()
    }
    back = {side: -lengths["wrist_to_grip"][..., None] * hand[side] for side in hand}
    back["trail"] = back["trail"] + lengths["hands_apart"][..., None] * shaft
    bend = {
        "lead": LEAD_ELBOW + swing * (LEAD_ELBOW_AT_TOP - LEAD_ELBOW),
        "trail": TRAIL_ELBOW + swing * TRAIL_FOLDS,
    }
    grip, shoulder = _together(lengths, girdle, grip, back, bend)
    return Reached(grip, shaft, palms, hand, {side: grip + back[side] for side in back}, shoulder)


def follow(lengths: Mapping[str, Array], girdle: Girdle, hold: Hold, swing: Array) -> Arms:
    """Arms and club of moments; arguments as of `reach`."""
    there = reach(lengths, girdle, hold, swing)
    grip, shaft = there.grip, there.shaft
    joints = {"grip": grip, "clubhead": grip + hold.club_length[..., None] * shaft}
    frames = {"club": _frame(-shaft, there.palms), "girdle": girdle.frame}
    angles: dict[str, Array] = {}
    upper, fore = lengths["upper_arm"], lengths["forearm"]
    lateral = girdle.frame[..., :, 1]
    for side, shoulder in there.shoulder.items():
        wrist, (first, last) = there.wrist[side], _ELBOW_POLES[side]
        pole = _in_world(girdle, first + np.minimum(swing, 1.0)[..., None] * (last - first))
        elbow = _elbow(shoulder, wrist, upper, fore, pole)
        joints[f"sternoclavicular_{side}"] = girdle.breastbone[side]
        joints |= {f"shoulder_{side}": shoulder, f"elbow_{side}": elbow, f"wrist_{side}": wrist}
        frames[f"upper_arm_{side}"] = _frame(shoulder - elbow, lateral)
        frames[f"forearm_{side}"] = _frame(elbow - wrist, lateral)
        frames[f"hand_{side}"] = _frame(-there.hand[side], there.palms)
        forward, up, frames[f"collar_bone_{side}"] = girdle.collar_bone(side, shoulder)
        angles |= {f"{side}_collar_bone_forward": forward, f"{side}_collar_bone_up": up}
        angles[f"{side}_elbow_flexion"] = _between(elbow - shoulder, wrist - elbow)
    angles["hinge"] = _between(joints["wrist_lead"] - joints["elbow_lead"], shaft)
    return Arms(joints, frames, angles)


def _asked(hold: Hold, swing: Array) -> tuple[Array, Held]:
    """Where the lead arm points and how the club is held, in the girdle's frame."""
    s = swing[..., None]
    start = unit(hold.arm)
    arm = (1.0 - s) ** 2 * start + 2.4 * s * (1.0 - s) * _LEAD_ARM_HALFWAY + s**2 * _LEAD_ARM_AT_TOP
    first, last = lie(start, hold.club), lie_without_lean(_LEAD_ARM_AT_TOP, _CLUB_AT_TOP)
    arm = unit(arm)
    lies = Lie(
        hinge=first.hinge + swing * (last.hinge - first.hinge),
        roll=2.0 * swing * (1.0 - swing) * _ROLL_HALFWAY + swing**2 * last.roll,
        lean=(1.0 - np.minimum(swing, 1.0)) * first.lean,
    )
    return arm, held(arm, lies)


def _together(
    lengths: Mapping[str, Array],
    girdle: Girdle,
    grip: Array,
    back: Mapping[str, Array],
    bend: Mapping[str, Array],
) -> tuple[Array, dict[str, Array]]:
    """The grip that both arms reach, and the shoulders ``(..., 3)`` m drawn for it.

    Args:
        lengths: of the body.
        girdle: which carries the arms.
        grip: ``(..., 3)`` m, asked.
        back: from the grip to each wrist, m.
        bend: of each elbow, ``(...)`` rad, asked: of the trail elbow at least.
    """
    wish = {side: length(lengths, angle) for side, angle in bend.items()}
    least = {"lead": -FARTHEST, "trail": 0.0}  # The trail arm folds: it does not draw its shoulder away.
    longest, shortest = length(lengths, STRAIGHTEST), length(lengths, MOST_FOLDED)
    shoulder: dict[str, Array] = {}
    for _ in range(ROUNDS):
        moved = False
        for side in ("trail", "lead"):
            wrist = grip + back[side]
            shoulder[side] = girdle.toward(side, wrist, wish[side], FARTHEST, least[side])
            run = wrist - shoulder[side]
            far = np.linalg.norm(run, axis=-1)
            short = np.clip(far, shortest, longest) - far
            if np.abs(short).max(initial=0.0) > 1e-12:
                moved = True
                grip = grip + (short / far)[..., None] * run
        if not moved:
            break
    return grip, shoulder


def length(lengths: Mapping[str, Array], elbow: Array | float) -> Array:
    """Shoulder to wrist, m, at an ``elbow``'s bend, rad: law of cosines."""
    upper, fore = lengths["upper_arm"], lengths["forearm"]
    return np.sqrt(upper**2 + fore**2 + 2.0 * upper * fore * np.cos(elbow))


def _in_world(girdle: Girdle, v: Array) -> Array:
    """A vector ``(..., 3)`` of the girdle's frame in the world."""
    return np.asarray((girdle.frame @ v[..., None])[..., 0])


def _between(a: Array, b: Array) -> Array:
    """Angle ``(...)`` rad between vectors ``(..., 3)``."""
    return np.arctan2(np.linalg.norm(np.cross(a, b), axis=-1), (a * b).sum(axis=-1))


def _elbow(shoulder: Array, wrist: Array, upper: Array, fore: Array, pole: Array) -> Array:
    """The elbow of an arm from shoulder to wrist that points toward ``pole``: law of cosines."""
    across = wrist - shoulder
    distance = np.linalg.norm(across, axis=-1)
    along = (upper**2 - fore**2 + distance**2) / (2.0 * np.maximum(distance, 1e-9))
    out = np.sqrt(np.maximum(upper**2 - along**2, 0.0))
    direction = unit(across)
    side = unit(pole - (pole * direction).sum(axis=-1, keepdims=True) * direction)
    return np.asarray(shoulder + along[..., None] * direction + out[..., None] * side)


def _frame(up: Array, lateral: Array) -> Array:
    """Right-handed frame ``(..., 3, 3)`` with z along ``up`` and y as near ``lateral`` as can be."""
    z = unit(up)
    y = lateral - (lateral * z).sum(axis=-1, keepdims=True) * z
    # A limb along the lateral axis has no near y: any square direction will do, so take one that always exists.
    weak = np.linalg.norm(y, axis=-1, keepdims=True) < 1e-3
    spare = np.cross(z, np.where(np.abs(z[..., :1]) < 0.9, [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]))
    y = unit(np.where(weak, spare, y))
    return np.stack([np.cross(y, z), y, z], axis=-1)
