"""Simulate backswings: body, address and pieces in, every moment out."""

from __future__ import annotations

from dataclasses import fields

import numpy as np

from . import arms, lower_body, measures, steady, trunk
from .address import Address
from .arrays import Array, BoolArray
from .body import Body
from .errors import OutOfRange
from .figure import Figure, Hold, build, lumbosacral_place, ribcage_frame
from .head import Neck
from .legs import LEG_OUTPUTS
from .lower_body import LEG_LIMITS, LegLimits, LowerBody
from .pieces import PIECES, Pieces, Steady, Timing, share_done
from .ranges import SIDES
from .rotations import to_turn_tilt_bend
from .stance import Stance, stand
from .swing import Swing
from .trunk import BEND, TILT, TURN, RoundedBox

GIRDLE_SHARE = 20.0 / 90.0
"""Part of the shoulder turn that the shoulder girdle makes on the ribcage: 20 of 90 degrees (assumption)."""
LIMIT_NAMES: tuple[str, ...] = (*LEG_LIMITS, "trunk")
MET_ANGLE, MET_LENGTH = float(np.radians(0.1)), 1e-3
LARGEST_FRAMES = 100_001


def simulate(
    body: Body,
    address: Address,
    pieces: Pieces,
    timing: Timing | None = None,
    frames: int = 41,
    left_handed: bool = False,
) -> Swing:
    """Backswings of a batch of golfers, from address to the top.

    Args:
        body: bodies of batch shape ``(...)``.
        address: how they stand; fields broadcast with the bodies.
        pieces: what they do by the top; fields broadcast with the bodies.
        timing: when each piece is done, the same for all; evenly if not said.
        frames: number of moments M, evenly spaced in progress; at least 2.
        left_handed: mirror the figure (world y negated).

    Returns:
        Swing: arrays ``(..., M)``.

    Raises:
        TurnstillError: an impossible number of moments, timing or club.
    """
    if not 2 <= frames <= LARGEST_FRAMES:
        raise OutOfRange("frames", frames, 2, LARGEST_FRAMES)
    progress = np.linspace(0.0, 1.0, frames)
    plain = {item.name: _number(getattr(pieces, item.name)) for item in fields(pieces)}
    at_address = {item.name: np.asarray(getattr(address, item.name), dtype=float) for item in fields(address)}
    batch = np.broadcast_shapes(
        body.batch, *(v.shape for v in plain.values()), *(v.shape for v in at_address.values())
    )
    count = int(np.prod(batch, dtype=int))
    golfer = body.flat(batch)
    limits = LegLimits.of(golfer)
    where = {name: np.broadcast_to(value, batch).reshape(-1) for name, value in at_address.items()}
    stance = stand(golfer, where, limits)

    # From here on every moment of every golfer is one entry of a flat batch of N = B * M.
    def of_moments(values: Array) -> Array:
        """``(..., B)`` to ``(..., N)``."""
        return np.repeat(values, frames, axis=-1)

    def first(values: Array) -> Array:
        """``(B, ...)`` to ``(N, ...)``."""
        return np.repeat(values, frames, axis=0)

    asked = {
        name: (np.broadcast_to(plain[name], batch).reshape(-1, 1) * share_done(timing, name, progress)).reshape(-1)
        for name in PIECES
    }
    moment = body.flat(batch, frames)
    done = np.tile(progress, count)
    q0 = stance.lower.q
    goal = of_moments(q0)
    goal[0] += asked["hip_turn"]
    goal[2] += asked["thrust"]
    goal[3] -= asked["sway"]
    goal[4] += asked["lead_flex_change"]
    goal[5] += asked["trail_flex_change"]
    flare = of_moments(np.stack([where["lead_flare"], where["trail_flare"]]))
    legs = lower_body.planted(moment, flare, of_moments(where["stance_width"]), asked["lead_heel_rise"])
    moment_limits = LegLimits(of_moments(limits.low), of_moments(limits.high), of_moments(limits.half))
    lower = lower_body.solve(legs, moment_limits, goal, of_moments(stance.lower.angles), of_moments(q0))

    held, hold, gaze, rest, spent = _hold_head(moment, lower, stance, asked, frames)
    angles = np.stack(
        [
            held[TURN],
            _wish(pieces.tilt, held[TILT], rest[TILT], asked["tilt"], done_of=share_done(timing, "tilt", progress), count=count),
            rest[BEND]
            - _wish(
                pieces.extension, rest[BEND] - held[BEND], 0.0 * rest[BEND], asked["extension"],
                done_of=share_done(timing, "extension", progress), count=count,
            ),
        ]
    )  # fmt: skip
    range_ = RoundedBox.of(moment.ranges, "trunk")
    achieved_angles, trunk_stopped, trunk_converged = trunk.nearest(lower.pelvis, angles, range_)
    ribcage = ribcage_frame(achieved_angles)
    girdle = arms.girdle_angle(achieved_angles[TURN] + GIRDLE_SHARE * asked["shoulder_turn"], *achieved_angles)
    figure = build(moment, lower, ribcage, girdle, gaze, hold, done)

    wished_turn = (1.0 - GIRDLE_SHARE) * asked["shoulder_turn"]
    trunk_stopped = trunk_stopped | (wished_turn - achieved_angles[TURN] > MET_ANGLE)
    wished = {
        **asked,
        "tilt": angles[TILT],
        "extension": rest[BEND] - angles[BEND],
        "pelvis_bend": goal[1], "pelvis_toward_ball": goal[2], "pelvis_toward_target": goal[3],
        "lead_knee_flex": goal[4], "trail_knee_flex": goal[5],
    }  # fmt: skip
    got = _achieved(lower, of_moments(q0), achieved_angles, ribcage, girdle, rest, asked)
    met = np.ones(done.size, dtype=bool)
    for name, value in wished.items():
        tolerance = MET_LENGTH if name in _LENGTHS else MET_ANGLE
        met &= np.abs(value - got[name]) <= tolerance
    shape = (*batch, frames)

    def shaped(values: Array) -> Array:
        return values.reshape(shape + values.shape[1:])

    limited = np.concatenate([lower.stopped_by, trunk_stopped[:, None]], axis=1)
    skeleton = figure.skeleton
    read = measures.of(
        moment, skeleton, {name: first(place) for name, place in stance.figure.skeleton.joints.items()}
    )
    swing = Swing(
        body=body, address=address, pieces=pieces, left_handed=left_handed, progress=progress,
        asked={name: shaped(value) for name, value in wished.items()},
        achieved={name: shaped(value) for name, value in got.items()},
        steady={"tilt": shaped(held[TILT]), "extension": shaped(rest[BEND] - held[BEND])},
        steady_miss=shaped(spent[0]),
        limit_names=LIMIT_NAMES,
        limited=shaped(limited),
        met=shaped(met),
        converged=shaped(lower.converged & trunk_converged & (spent[1] > 0.5) & figure.column.closed & np.repeat(stance.converged, frames)),
        address_balanced=stance.balanced.reshape(batch),
        joint_angles={name: shaped(value) for name, value in _joint_angles(lower, figure, girdle).items()},
        joint_ranges={name: (shaped(low), shaped(high)) for name, (low, high) in _joint_ranges(moment, moment_limits, legs, lower).items()},
        skeleton=measures.reshaped(skeleton, shape),
        measures=measures.shaped(read, shape),
    )  # fmt: skip
    return mirrored(swing) if left_handed else swing


_LENGTHS = ("sway", "thrust", "lead_heel_rise", "pelvis_toward_ball", "pelvis_toward_target")


def mirrored(swing: Swing) -> Swing:
    """The same swing left-handed: the figure reflected; words, angles and signs stay."""
    from dataclasses import replace

    flip = np.array([1.0, -1.0, 1.0])
    read = replace(swing.measures, centre_of_mass=swing.measures.centre_of_mass * flip)
    return replace(swing, skeleton=swing.skeleton.mirrored(), measures=read)


def _number(value: object) -> Array:
    return np.asarray(value.plus if isinstance(value, Steady) else value, dtype=float)


def _wish(piece: object, held: Array, rest: Array, change: Array, *, done_of: Array, count: int) -> Array:
    """A tilt or extension asked for at each moment: what holds the head plus a departure, or a plain number.

    A plain number is reached from its value at rest; ``change`` is the number or the departure times its timing.
    """
    if isinstance(piece, Steady):
        return held + change
    return rest * (1.0 - np.tile(done_of, count)) + change


def _hold_head(
    moment: Body, lower: LowerBody, stance: Stance, asked: dict[str, Array], frames: int
) -> tuple[Array, Hold, Array, Array, Array]:
    """Ribcage angles that hold the head; then hold, gaze and ribcage angles of the address for every moment.

    The last item is ``(2, N)``: how far the head is off nevertheless (m), and whether the solver converged.
    """

    def first(values: Array) -> Array:
        return np.repeat(values, frames, axis=0)

    rest = np.repeat(stance.ribcage_angles, frames, axis=1)
    gaze = first(stance.gaze)
    old = stance.hold
    hold = Hold(first(old.arm), first(old.club), first(old.club_length), first(old.ball))
    range_ = RoundedBox.of(moment.ranges, "trunk")
    carried = steady.TrunkOnPelvis(
        pelvis=lower.pelvis,
        lumbosacral=lumbosacral_place(moment, lower.pelvis, lower.pelvis_centre),
        spine_length=moment.lengths["spine"],
        range=range_,
        neck=Neck.of(moment),
        gaze=gaze,
    )
    turn = (1.0 - GIRDLE_SHARE) * asked["shoulder_turn"]
    start = np.stack(to_turn_tilt_bend(lower.pelvis))
    head = first(stance.figure.skeleton.joints["head"])
    held, miss, converged = steady.hold_head(carried, turn, head, start)
    return held, hold, gaze, rest, np.stack([miss, converged.astype(float)])


def _achieved(
    lower: LowerBody, q0: Array, angles: Array, ribcage: Array, girdle: Array, rest: Array, asked: dict[str, Array]
) -> dict[str, Array]:
    """Every piece as the joints show it, ``(N,)`` rad or m."""
    q = lower.q
    return {
        "hip_turn": q[0] - q0[0],
        "shoulder_turn": arms.shoulder_line_turn(ribcage, girdle),
        "tilt": angles[TILT],
        "extension": rest[BEND] - angles[BEND],
        "lead_flex_change": q[4] - q0[4],
        "trail_flex_change": q[5] - q0[5],
        "sway": q0[3] - q[3],
        "thrust": q[2] - q0[2],
        "lead_heel_rise": asked["lead_heel_rise"],
        "pelvis_bend": q[1],
        "pelvis_toward_ball": q[2],
        "pelvis_toward_target": q[3],
        "lead_knee_flex": q[4],
        "trail_knee_flex": q[5],
        "bend": angles[BEND],
        "pelvis_obliquity": lower.posture.obliquity,
    }


def _joint_angles(lower: LowerBody, figure: Figure, girdle: Array) -> dict[str, Array]:
    """Named joint angles ``(N,)`` rad; trunk and neck as rotation vectors of ribcage on pelvis, head on ribcage."""
    out = {
        f"{side}_{name}": lower.angles[2 * row + leg]
        for row, name in enumerate(LEG_OUTPUTS)
        if name != "tibial_share_of_range"
        for leg, side in enumerate(SIDES)
    }
    # The trunk's rotation vector as a whole, not the spine's per-level one, is what its range is about.
    from .rotations import log

    whole = log(np.swapaxes(lower.pelvis, -1, -2) @ figure.skeleton.frames["ribcage"])
    out |= {
        "trunk_rotation": -whole[:, 2], "trunk_side_bend": -whole[:, 0], "trunk_flexion": whole[:, 1],
        "neck_rotation": figure.head.vector[:, 2], "neck_side_bend": -figure.head.vector[:, 0],
        "neck_flexion": figure.head.vector[:, 1], "girdle_rotation": girdle,
    }  # fmt: skip
    return out


def _joint_ranges(
    moment: Body, limits: LegLimits, legs: object, lower: LowerBody
) -> dict[str, tuple[Array, Array]]:
    from .lower_body import tibial_range

    out: dict[str, tuple[Array, Array]] = {}
    internal, external, _, _ = tibial_range(moment).at(lower.q[4:6])
    for row, name in enumerate(LEG_OUTPUTS):
        if name == "tibial_share_of_range":
            continue
        for leg, side in enumerate(SIDES):
            tibial = name == "tibial_internal_rotation"
            low = -external[leg] if tibial else limits.low[2 * row + leg]
            high = internal[leg] if tibial else limits.high[2 * row + leg]
            out[f"{side}_{name}"] = (low, high)
    for joint in ("trunk", "neck"):
        for motion in ("rotation", "side_bend"):
            both = moment.ranges[f"{joint}_{motion}"]
            out[f"{joint}_{motion}"] = (-both, both)
        out[f"{joint}_flexion"] = (-moment.ranges[f"{joint}_extension"], moment.ranges[f"{joint}_flexion"])
    return out
