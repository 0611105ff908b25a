"""Where both arms reach a club: hands, club and shoulders at a share of a full swing of the arms.

The lead arm points from where it hangs across the chest and up, the club hinged against it more and more. Collar bones
are drawn as far as their arm lacks reach; where an arm still does not reach, hands and club together come nearer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..batch import Batch, Vector
from ..numeric.vectors import cross, norm, vector
from .carried import Carried
from .girdle import FARTHEST, Girdle
from .lie import Held, Lie, held, lie, taken_along, turned, unit

TRAIL_FOLDS = float(np.radians(40.0))
"""By how much the trail elbow folds at a full swing at least: sooner than be straighter, the shoulder comes
(assumption)."""
STRAIGHTEST, MOST_FOLDED = float(np.radians(2.0)), float(np.radians(140.0))
"""How far an elbow goes either way when an arm is drawn out or in (assumption; both short of the joint's ends)."""
GRIP_ANGLE = {"lead": np.radians([49.0, 112.0]), "trail": np.radians([34.0, 109.0])}
"""Each hand's angle to the shaft at address and at a full swing: the fingers give (assumption)."""

# Directions in the girdle's frame: x ahead of the chest, y to the lead side, z up the trunk. Searched for: drawn
# golfers stay inside their ranges on the way, the club near the line they stand on (our choice).
_LEAD_ARM_HALFWAY = np.radians([26.0, -38.0])
"""Where the lead arm swings half way: across and lift."""
_ROLL_HALFWAY = float(np.radians(-140.0))
"""How the club's plane has rolled about the arm on the way, before the roll at the top counts."""
_THERE = 1e-12
"""m: an arm that lacks no more reaches."""
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
        asked: the names of `ARM_SWING` to rad and m.
    """

    arm: Vector
    club: Vector
    club_length: Array
    ball: Vector
    shoulder_turn: Array
    asked: Mapping[str, Array]


@dataclass(frozen=True)
class Reached:
    """Where both arms reach a club, ``(..., 3)`` each, world.

    Attributes:
        grip: where the lead hand holds, m.
        hand: by side, from a wrist to where its hand holds, unit.
        shaft, palms: unit, see `lie.Held`.
        wrist: by side, m.
        shoulder: by side, m, drawn as far as its arm needs.
    """

    grip: Array
    hand: Mapping[str, Array]
    shaft: Array
    palms: Array
    wrist: Mapping[str, Array]
    shoulder: Mapping[str, Array]


@dataclass(frozen=True)
class Give:
    """How far arms and hands give way where joints end, ``(...)`` rad each.

    Attributes:
        across: the lead arm, back from across the chest.
        lift: the lead arm, down.
        hinge: the hinge, off what is asked.
        roll: of the club's plane about the lead arm.
        lead_elbow: about the line from shoulder to wrist.
        trail_elbow: the same.
        lead_hand: more to the shaft.
        trail_hand: the same.
        wrists: on the way back, of the club in them, the lead one less bent back and the trail one more.
    """

    across: Array | float = 0.0
    lift: Array | float = 0.0
    hinge: Array | float = 0.0
    roll: Array | float = 0.0
    lead_elbow: Array | float = 0.0
    trail_elbow: Array | float = 0.0
    lead_hand: Array | float = 0.0
    trail_hand: Array | float = 0.0
    wrists: Array | float = 0.0


NOTHING = Give()


def reach(
    lengths: Mapping[str, Array],
    girdle: Girdle,
    hold: Hold,
    swing: Array,
    give: Give = NOTHING,
    carried: Carried | None = None,
) -> Reached:
    """Hands, club and shoulders of moments at their share ``swing (...)`` of a full swing of the arms.

    Args:
        lengths: of the body, broadcastable to ``(...)``.
        girdle: which carries the arms.
        hold: how the club was held at address.
        swing: 0 at address, 1 at a full swing.
        give: where joints end.
        carried: on the way back, what takes over from the way up.
    """
    arm, club = way_up(hold, swing, give)
    asked = hold.asked
    at_address = norm(hold.arm)
    at_top = length(lengths, asked["lead_elbow_bend_at_top"]) + 0.9 * lengths["wrist_to_grip"]
    far = at_address + swing * (at_top - at_address)
    if carried is not None:
        arm, club = _on_the_way_back(carried, arm, club, give)
        far = np.where(carried.back, far + carried.near * (carried.far - far), far)
    shaft, palms, arm = (in_world(girdle, v) for v in (club.shaft, club.palms, arm))
    grip = girdle.shoulder["lead"] + far[..., None] * arm
    given, hand = hands_given(swing), {}
    for side, (first, last) in GRIP_ANGLE.items():
        angle = first + given[side] * (last - first)
        if carried is not None:
            angle = np.where(carried.back, first + carried.hands[side] * (last - first) - carried.uncocked[side], angle)
        hand[side] = in_world(girdle, club.hand(angle + getattr(give, f"{side}_hand")))
    back = {side: -lengths["wrist_to_grip"][..., None] * hand[side] for side in hand}
    back["trail"] = back["trail"] + lengths["hands_apart"][..., None] * shaft
    bend = {
        "lead": asked["lead_elbow_bend"] + swing * (asked["lead_elbow_bend_at_top"] - asked["lead_elbow_bend"]),
        "trail": asked["trail_elbow_bend"] + swing * TRAIL_FOLDS,
    }
    grip, shoulder = _together(lengths, girdle, grip, back, bend)
    return Reached(grip, hand, shaft, palms, {side: grip + back[side] for side in back}, shoulder)


def way_up(hold: Hold, swing: Array, give: Give = NOTHING) -> tuple[Array, Held]:
    """Where the lead arm points ``(N, 3)`` and how the club is held at a share ``swing (N,)``, girdle's frame."""
    s, asked = swing[..., None], hold.asked
    start, top = unit(hold.arm), _direction(asked["arm_across"], asked["arm_lift"])
    arm = (1.0 - s) ** 2 * start + 2.4 * s * (1.0 - s) * _direction(*_LEAD_ARM_HALFWAY) + s**2 * top
    arm = _down(_back(unit(arm), give.across), give.lift)
    first = lie(start, hold.club)
    lies = Lie(
        hinge=first.hinge + swing * (asked["wrist_hinge"] - first.hinge) - give.hinge,
        roll=2.0 * swing * (1.0 - swing) * _ROLL_HALFWAY + swing**2 * asked["club_roll"] + give.roll,
        lean=(1.0 - np.minimum(swing, 1.0)) * first.lean,
    )
    return arm, held(arm, lies)


def hands_given(swing: Array) -> dict[str, Array]:
    """How far each hand's angle to the shaft has gone at a share ``swing (N,)`` of a full swing, by side: 0 to 1."""
    return {"lead": swing, "trail": swing * (2.0 - swing)}


def _on_the_way_back(carried: Carried, arm: Array, club: Held, give: Give) -> tuple[Array, Held]:
    """Arm and club as of `way_up`, but on the way back those that are ``carried``, giving way as they do.

    The club goes with an arm that gives way at the top, as on the way up, and stays where it is carried to at impact.
    """
    back, up = (_down(_back(carried.arm, part * give.across), part * give.lift) for part in (1.0, 1.0 - carried.near))
    shaft, palms = (taken_along(carried.arm, up, v) for v in (carried.shaft, carried.palms))
    shaft = turned(palms, np.asarray(give.hinge), shaft)
    shaft, palms = (turned(back, -np.asarray(give.roll), v) for v in (shaft, palms))
    across = cross(palms, shaft)
    shaft, palms = (turned(across, np.asarray(give.wrists), v) for v in (shaft, palms))
    on = carried.back[:, None]
    arm, shaft, palms = (np.where(on, a, b) for a, b in ((back, arm), (shaft, club.shaft), (palms, club.palms)))
    return arm, Held(shaft, palms, cross(palms, shaft))


def _together(
    lengths: Mapping[str, Array],
    girdle: Girdle,
    grip: Array,
    back: Mapping[str, Array],
    bend: Mapping[str, Array],
) -> tuple[Array, dict[str, Array]]:
    """The grip that both arms reach, and the shoulders ``(N, 3)`` m drawn for it.

    Args:
        lengths: of the body.
        girdle: which carries the arms.
        grip: ``(N, 3)`` m, asked.
        back: from the grip to each wrist, m.
        bend: of each elbow, ``(N,)`` rad, asked: of the trail elbow at least.
    """
    wish = {side: length(lengths, angle) for side, angle in bend.items()}
    least = {"lead": -FARTHEST, "trail": 0.0}  # The trail arm folds: it does not draw its shoulder away.
    longest, shortest = length(lengths, STRAIGHTEST), length(lengths, MOST_FOLDED)
    grip, rows = grip.copy(), np.arange(len(grip))
    shoulder = {side: np.empty_like(grip) for side in ("trail", "lead")}
    for _ in range(ROUNDS):
        here = girdle if rows.size == len(grip) else girdle[rows]
        moved = np.zeros(rows.size, dtype=bool)
        for side, drawn in shoulder.items():
            wrist = grip[rows] + back[side][rows]
            drawn[rows] = here.toward(side, wrist, wish[side][rows], FARTHEST, least[side])
            run = wrist - drawn[rows]
            far = norm(run)
            short = far.clip(shortest[rows], longest[rows]) - far
            moved |= np.abs(short) > _THERE
            grip[rows] += np.where(np.abs(short) > _THERE, short / far, 0.0)[:, None] * run
        rows = rows[moved]
        if not rows.size:
            break
    return grip, shoulder


def _direction(across: Array, lift: Array) -> Array:
    """Unit vector ``(..., 3)`` in the girdle's frame: so far past straight ahead, so far above square to the trunk."""
    return vector(np.cos(lift) * np.cos(across), -np.cos(lift) * np.sin(across), np.sin(lift))


def _back(arm: Array, by: Array | float) -> Array:
    """An arm turned back from across the chest about the trunk's length."""
    cosine, sine = np.cos(by), np.sin(by)
    return vector(cosine * arm[..., 0] - sine * arm[..., 1], sine * arm[..., 0] + cosine * arm[..., 1], arm[..., 2])


def _down(arm: Array, by: Array | float) -> Array:
    """An arm let down toward hanging, in its upright plane; one that is not let down at all to the last bit."""
    level = np.hypot(arm[..., 0], arm[..., 1])
    cosine, sine = np.cos(by), np.sin(by)
    aside = (level * cosine + arm[..., 2] * sine) / np.maximum(level, 1e-12)
    down = vector(aside * arm[..., 0], aside * arm[..., 1], arm[..., 2] * cosine - level * sine)
    return np.where(np.equal(by, 0.0)[..., None], arm, down)


def length(lengths: Mapping[str, Array], elbow: Array | float) -> Array:
    """Shoulder to wrist, m, at an ``elbow``'s bend, rad: law of cosines."""
    upper, fore = lengths["upper_arm"], lengths["forearm"]
    return np.sqrt(upper**2 + fore**2 + 2.0 * upper * fore * np.cos(elbow))


def in_world(girdle: Girdle, v: Array) -> Array:
    """A vector ``(..., 3)`` of the girdle's frame in the world."""
    return np.asarray((girdle.frame @ v[..., None])[..., 0])


def in_girdle(girdle: Girdle, v: Array) -> Array:
    """A vector ``(..., 3)`` of the world in the girdle's frame."""
    return np.asarray((girdle.frame.mT @ v[..., None])[..., 0])
