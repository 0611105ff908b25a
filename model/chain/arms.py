"""Arms and club: both hands hold the club always, for the figure's looks, its keypoints and its centre of mass.

The arms swing as far as the shoulders turn (`girdle.arm_swing`): the lead arm from where it hangs across the chest and
up, the club hinged against it more and more. Where the club goes is asked (`ArmSwing`); the bones follow by the
law of cosines: of each collar bone, as far as its arm lacks reach, then of each elbow. The trail elbow folds as it must
and points to where its wrist is bent back as a tray is carried.

What cannot be reached is not reached by the swing, never by letting go: where an arm still does not reach, hands and
club together come nearer; where a joint would pass its range, the arms swing less far.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import Batch, Flags, Frame, Vector
from ..golfer.arm_swing import ArmSwing
from ..golfer.body import Body
from .arm_joints import ARM_LIMITS, ended_by, joint_angles, joint_ranges
from .girdle import FARTHEST, SIDE, Girdle, arm_swing, shoulder_line_turn
from .lie import Held, Lie, held, lie, unit

TRAIL_FOLDS = float(np.radians(40.0))
"""By how much the trail elbow folds at a full swing at least: sooner than be straighter, the shoulder comes
(assumption)."""
STRAIGHTEST, MOST_FOLDED = float(np.radians(2.0)), float(np.radians(140.0))
"""How far an elbow goes either way when an arm is drawn out or in (assumption; both short of the joint's ends)."""
GRIP_ANGLE = {"lead": np.radians([49.0, 108.0]), "trail": np.radians([39.0, 105.0])}
"""Each hand's angle to the shaft at address and at a full swing: the fingers give (assumption)."""
TRAIL_WRIST = np.radians([17.0, 44.0])
"""How far the trail wrist is bent back where its elbow points freely, at address and at a full swing (assumption)."""

# Directions in the girdle's frame: x ahead of the chest, y to the lead side, z up the trunk; common practice.
_LEAD_ARM_HALFWAY = np.radians([26.0, -38.0])
"""Where the lead arm swings half way: across and lift."""
_ROLL_HALFWAY = float(np.radians(-140.0))
_ELBOW_POLES = {
    "lead": np.array([[-0.2, 0.5, -1.0], [-0.2, 0.5, -1.0]]),
    "trail": np.array([[-0.45, -0.8, -1.0], [-0.45, -0.4, -1.0]]),
}
"""Where each elbow points at address and at a full swing."""
ROUNDS = 30
"""How often at most both arms are asked in turn whether they reach; ordinary swings end with the first."""
GIVING = {
    "lead_shoulder_across": "across",
    "lead_wrist_radial_deviation": "hinge",
    "lead_shoulder_internal_rotation": "lead_elbow",
    "lead_forearm_pronation": "roll",
    "trail_shoulder_internal_rotation": "trail_elbow",
    "trail_wrist_radial_deviation": "trail_hand",
}
"""What gives way where a joint's range ends, degree for degree."""
ROUNDS_OF_GIVING = 30
"""How often at most; ordinary moments need none."""
PAST, ENOUGH = float(np.radians(0.2)), float(np.radians(0.02))
"""Rad past a range that count as within it, and that end the giving."""


@dataclass(frozen=True)
class Hold(Batch):
    """How a golfer held the club at address: what the swing starts from. Arrays ``(N, 3)`` or ``(N,)``.

    Attributes:
        arm: lead shoulder, nothing drawn, to lead hand's grip in the girdle's frame, m.
        club: grip to clubhead in the girdle's frame, unit.
        club_length: m.
        ball: m, world.
        shoulder_turn: of the shoulder line, rad.
        asked: of the arms.
    """

    arm: Vector
    club: Vector
    club_length: Array
    ball: Vector
    shoulder_turn: Array
    asked: ArmSwing


@dataclass(frozen=True)
class Arms(Batch):
    """Arms and club of ``N`` moments; joints ``(N, 3)`` m and frames ``(N, 3, 3)``, world.

    Attributes:
        joints, frames: as of a skeleton.
        angles: ``(N,)`` rad by the names of `arm_joints.joint_ranges`, and the hinge of the lead forearm to the shaft.
        share: ``(N,)`` of a full swing of the arms, as far as the shoulders have turned.
        limited: ``(N, len(ARM_LIMITS))`` which ranges keep it from what was asked.
    """

    joints: Mapping[str, Vector]
    frames: Mapping[str, Frame]
    angles: Mapping[str, Array]
    share: Array
    limited: Flags


def swung(body: Body, ribcage: Array, neck_base: Array, girdle_angle: Array, hold: Hold) -> Arms:
    """Arms and club of ``N`` moments, as far as the arms swing.

    Args:
        body: flat bodies.
        ribcage: ``(N, 3, 3)`` ribcage_to_world.
        neck_base: ``(N, 3)`` m, world.
        girdle_angle: ``(N,)`` rad, the girdle's share of the shoulder line's turn.
        hold: how the club was held at address.
    """
    turned = shoulder_line_turn(ribcage, girdle_angle) - hold.shoulder_turn
    asked = arm_swing(turned, np.asarray(hold.asked.turn_of_full_swing))

    give = {name: np.zeros_like(asked) for name in GIVING.values()}
    arms = _at(body, ribcage, neck_base, girdle_angle, hold, asked, give)
    rows = np.flatnonzero(_past(arms.angles, joint_ranges(body.ranges)).any(axis=-1))
    if not rows.size:
        return arms
    some = (body[rows], ribcage[rows], neck_base[rows], girdle_angle[rows], hold[rows], asked[rows])
    ends, give = joint_ranges(some[0].ranges), {name: values[rows] for name, values in give.items()}
    less = _at(*some, give)
    for _ in range(ROUNDS_OF_GIVING):
        most = 0.0
        for joint, name in GIVING.items():
            (low, high), angle, given = ends[joint], less.angles[joint], give[name]
            # What has given already may come back, as far as it need not have.
            more = np.maximum(np.maximum(given, 0.0) + angle - high, 0.0)
            fewer = np.minimum(np.minimum(given, 0.0) + angle - low, 0.0)
            most = max(most, np.abs(more + fewer - given).max())
            give[name] = given + 0.7 * (more + fewer - given)
        less = _at(*some, give)
        if most < ENOUGH:
            break
    limited = _past(less.angles, ends)
    for joint, name in GIVING.items():
        for above, gives in ((True, give[name] > 0.0), (False, give[name] < 0.0)):
            if gives.any():
                limited[:, ARM_LIMITS.index(ended_by(joint, above))] |= gives
    arms.limited[rows] = limited
    for mine, theirs in ((arms.joints, less.joints), (arms.frames, less.frames), (arms.angles, less.angles)):
        for name, values in theirs.items():
            mine[name][rows] = values
    return arms


def _past(angles: Mapping[str, Array], ends: Mapping[str, tuple[Array | float, Array]]) -> BoolArray:
    """``(N, len(ARM_LIMITS))`` which ranges joints are past."""
    past = {}
    for joint, (low, high) in ends.items():
        past[ended_by(joint, False)] = angles[joint] < low - PAST
        past[ended_by(joint, True)] = angles[joint] > high + PAST
    return np.stack([past[name] for name in ARM_LIMITS], axis=-1)


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


def reach(
    lengths: Mapping[str, Array], girdle: Girdle, hold: Hold, swing: Array, give: Mapping[str, Array]
) -> Reached:
    """Hands, club and shoulders of moments at their share ``swing (...)`` of a full swing of the arms.

    Args:
        lengths: of the body, broadcastable to ``(...)``.
        girdle: which carries the arms.
        hold: how the club was held at address.
        swing: 0 at address, 1 at a full swing.
        give: how far arms and hands give way where joints end, rad, see `GIVING`.
    """
    arm, club = _asked(hold, swing, give)
    asked = hold.asked
    at_address = np.linalg.norm(hold.arm, axis=-1)
    at_top = length(lengths, np.asarray(asked.lead_elbow_bend_at_top)) + 0.9 * lengths["wrist_to_grip"]
    far = at_address + swing * (at_top - at_address)
    shaft, palms, arm = (_in_world(girdle, v) for v in (club.shaft, club.palms, arm))
    grip = girdle.shoulder["lead"] + far[..., None] * arm
    given = {"lead": swing, "trail": swing * (2.0 - swing)}
    hand = {}
    for side, (first, last) in GRIP_ANGLE.items():
        angle = first + given[side] * (last - first) + (give["trail_hand"] if side == "trail" else 0.0)
        hand[side] = _in_world(girdle, club.hand(angle))
    back = {side: -lengths["wrist_to_grip"][..., None] * hand[side] for side in hand}
    back["trail"] = back["trail"] + lengths["hands_apart"][..., None] * shaft
    bend = {
        "lead": asked.lead_elbow_bend + swing * (asked.lead_elbow_bend_at_top - asked.lead_elbow_bend),
        "trail": asked.trail_elbow_bend + swing * TRAIL_FOLDS,
    }
    grip, shoulder = _together(lengths, girdle, grip, back, bend)
    return Reached(grip, shaft, palms, hand, {side: grip + back[side] for side in back}, shoulder)


def _at(
    body: Body, ribcage: Array, neck_base: Array, girdle_angle: Array, hold: Hold, swing: Array,
    give: Mapping[str, Array],
) -> Arms:  # fmt: skip
    """Arms and club at a share ``swing (N,)`` of a full swing, so far from what is asked as they ``give`` way."""
    lengths = body.lengths
    girdle = Girdle.of(body, ribcage, neck_base, girdle_angle, swing)
    there = reach(lengths, girdle, hold, swing, give)
    grip, shaft = there.grip, there.shaft
    joints = {"grip": grip, "clubhead": grip + hold.club_length[..., None] * shaft}
    frames = {"club": _frame(-shaft, there.palms), "girdle": girdle.frame}
    angles: dict[str, Array] = {}
    palms = {"lead": -there.palms, "trail": there.palms}
    lateral = girdle.frame[..., :, 1]
    for side in ("lead", "trail"):
        shoulder, wrist, hand = there.shoulder[side], there.wrist[side], there.hand[side]
        pole = _pole(side, girdle, swing, hand, palms[side])
        around = -SIDE[("lead", "trail").index(side)] * give[f"{side}_elbow"]
        elbow = _elbow(shoulder, wrist, lengths["upper_arm"], lengths["forearm"], pole, around)
        joints[f"sternoclavicular_{side}"] = girdle.breastbone[side]
        joints |= {f"shoulder_{side}": shoulder, f"elbow_{side}": elbow, f"wrist_{side}": wrist}
        frames[f"upper_arm_{side}"] = _frame(shoulder - elbow, lateral)
        frames[f"forearm_{side}"] = _frame(elbow - wrist, lateral)
        frames[f"hand_{side}"] = _frame(-hand, there.palms)
        forward, up, frames[f"collar_bone_{side}"] = girdle.collar_bone(side, shoulder)
        shown = {"collar_bone_forward": forward, "collar_bone_up": up}
        shown |= joint_angles(side, ribcage, shoulder, elbow, wrist, hand, palms[side])
        angles |= {f"{side}_{name}": angle for name, angle in shown.items()}
    angles["hinge"] = _between(joints["wrist_lead"] - joints["elbow_lead"], shaft)
    return Arms(joints, frames, angles, swing, np.zeros((*swing.shape, len(ARM_LIMITS)), dtype=bool))


def _pole(side: str, girdle: Girdle, swing: Array, hand: Array, palm: Array) -> Array:
    """Where an elbow points ``(..., 3)``: down, and the folding trail one so that its forearm carries the hand."""
    share = np.minimum(swing, 1.0)[..., None]
    first, last = _ELBOW_POLES[side]
    down = _in_world(girdle, unit(first + share * (last - first)))
    if side == "lead":
        return down
    first, last = TRAIL_WRIST
    back = first + share * (last - first)
    free = (1.0 - share) ** 3
    return np.asarray(free * down - (1.0 - free) * (np.cos(back) * hand + np.sin(back) * palm))


def _asked(hold: Hold, swing: Array, give: Mapping[str, Array]) -> tuple[Array, Held]:
    """Where the lead arm points and how the club is held, in the girdle's frame."""
    s, asked = swing[..., None], hold.asked
    start, top = unit(hold.arm), _direction(np.asarray(asked.arm_across), np.asarray(asked.arm_lift))
    arm = unit((1.0 - s) ** 2 * start + 2.4 * s * (1.0 - s) * _direction(*_LEAD_ARM_HALFWAY) + s**2 * top)
    arm = _back(arm, give["across"])
    first = lie(start, hold.club)
    lies = Lie(
        hinge=first.hinge + swing * (asked.wrist_hinge - first.hinge) - give["hinge"],
        roll=2.0 * swing * (1.0 - swing) * _ROLL_HALFWAY + swing**2 * asked.club_roll + give["roll"],
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


def _direction(across: Array, lift: Array) -> Array:
    """Unit vector ``(..., 3)`` in the girdle's frame: so far past straight ahead, so far above square to the trunk."""
    return np.stack([np.cos(lift) * np.cos(across), -np.cos(lift) * np.sin(across), np.sin(lift)], axis=-1)


def _back(arm: Array, by: Array) -> Array:
    """An arm turned back from across the chest about the trunk's length."""
    cosine, sine = np.cos(by), np.sin(by)
    return np.stack(
        [cosine * arm[..., 0] - sine * arm[..., 1], sine * arm[..., 0] + cosine * arm[..., 1], arm[..., 2]], axis=-1
    )


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


def _elbow(shoulder: Array, wrist: Array, upper: Array, fore: Array, pole: Array, around: Array) -> Array:
    """The elbow of an arm from shoulder to wrist that points toward ``pole``, then ``around`` rad about that line: law of
    cosines.
    """
    across = wrist - shoulder
    distance = np.linalg.norm(across, axis=-1)
    along = (upper**2 - fore**2 + distance**2) / (2.0 * np.maximum(distance, 1e-9))
    out = np.sqrt(np.maximum(upper**2 - along**2, 0.0))
    direction = unit(across)
    side = unit(pole - (pole * direction).sum(axis=-1, keepdims=True) * direction)
    side = np.cos(around)[..., None] * side + np.sin(around)[..., None] * np.cross(direction, side)
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
