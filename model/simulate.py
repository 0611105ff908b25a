"""Simulate backswings: body, address and pieces in, every moment out."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from . import arms, lower_body, measures, readout, steady, trunk
from .address import Address
from .arrays import Array
from .body import Body
from .errors import OutOfRange
from .figure import Hold, build, lumbosacral_place
from .head import Neck
from .lower_body import LEG_LIMITS, LegLimits, LowerBody
from .pieces import PIECES, Pieces, Steady, Timing, share_done
from .rotations import from_turn_tilt_bend, turn_about_inclined_axis
from .stance import Stance, stand
from .swing import Swing
from .trunk import BEND, TILT, TURN, RoundedBox

GIRDLE_SHARE = 20.0 / 90.0
"""Part of the shoulder turn that the shoulder girdle makes on the ribcage: 20 of 90 degrees (assumption)."""
GIRDLE_RANGE = float(np.radians(30.0))
"""How far the girdle goes round on the ribcage, each way (assumption)."""
LIMIT_NAMES: tuple[str, ...] = (*LEG_LIMITS, "trunk", "girdle")
MOST_FRAMES = 100_001


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
    if not 2 <= frames <= MOST_FRAMES:
        raise OutOfRange("frames", frames, 2, MOST_FRAMES)
    progress = np.linspace(0.0, 1.0, frames)
    share = {name: share_done(timing, name, progress) for name in PIECES}
    top = {item.name: _amount(getattr(pieces, item.name)) for item in fields(pieces)}
    setup = {item.name: np.asarray(getattr(address, item.name), dtype=float) for item in fields(address)}
    batch = np.broadcast_shapes(
        body.batch, *(value.shape for value in top.values()), *(value.shape for value in setup.values())
    )
    golfers = body.flat(batch)
    setup = {name: np.broadcast_to(value, batch).reshape(-1) for name, value in setup.items()}
    limits = LegLimits.of(golfers)
    stance = stand(golfers, setup, limits)

    # From here on every moment of every golfer is one entry of a flat batch of N; `each` repeats a golfer's value
    # (last axis) for all of its moments.
    def each(values: NDArray[Any]) -> NDArray[Any]:
        return np.repeat(values, frames, axis=-1)

    count = stance.balanced.size
    asked = {name: (np.broadcast_to(top[name], batch).reshape(-1, 1) * share[name]).reshape(-1) for name in PIECES}
    moment = body.flat(batch, frames)
    moment_limits = LegLimits(each(limits.low), each(limits.high), each(limits.half))
    q0, rest = each(stance.lower.q), each(stance.ribcage_angles)
    at_address = {name: np.repeat(place, frames, axis=0) for name, place in stance.figure.skeleton.joints.items()}
    hold, gaze = _hold(stance, frames), np.repeat(stance.gaze, frames, axis=0)

    goal = q0.copy()
    goal[0] += asked["hip_turn"]
    goal[2] += asked["thrust"]
    goal[3] -= asked["sway"]
    goal[4] += asked["lead_flex_change"]
    goal[5] += asked["trail_flex_change"]
    legs = lower_body.planted(
        moment,
        each(np.stack([setup["lead_flare"], setup["trail_flare"]])),
        each(setup["stance_width"]),
        asked["lead_heel_rise"],
    )
    lower = lower_body.solve(legs, moment_limits, goal, each(stance.lower.angles), q0)

    turn = (1.0 - GIRDLE_SHARE) * asked["shoulder_turn"]
    held = steady.hold_head(_carried(moment, lower, gaze), turn, at_address["head"], _inclined_turn(turn, rest))
    steady_tilt, steady_extension = held.angles[TILT], rest[BEND] - held.angles[BEND]
    wished_tilt = _wish(pieces.tilt, steady_tilt, rest[TILT], asked["tilt"], np.tile(share["tilt"], count))
    wished_extension = _wish(pieces.extension, steady_extension, 0.0 * turn, asked["extension"], 0.0 * turn)
    # The turn is the one this trunk can make when tilt and extension are free to help.
    wish = np.stack([held.angles[TURN], wished_tilt, rest[BEND] - wished_extension])
    angles, stopped, trunk_converged = trunk.nearest(lower.pelvis, wish, RoundedBox.of(moment.ranges, "trunk"))
    stopped = stopped | (np.abs(turn - angles[TURN]) > readout.MET_ANGLE)
    if isinstance(pieces.tilt, Steady) or isinstance(pieces.extension, Steady):
        stopped = stopped | held.stopped
    ribcage = from_turn_tilt_bend(*angles)
    girdle_asked = arms.girdle_angle(angles[TURN] + GIRDLE_SHARE * asked["shoulder_turn"], *angles)
    girdle = np.clip(girdle_asked, -GIRDLE_RANGE, GIRDLE_RANGE)
    figure = build(moment, lower, ribcage, girdle, gaze, hold, np.tile(progress, count))

    # What was asked of the address counts too: where the body cannot stand like that, no moment is as asked.
    wished = {
        **asked,
        "tilt": wished_tilt,
        "extension": wished_extension,
        "pelvis_bend": each(setup["pelvis_bend"]),
        "pelvis_toward_ball": goal[2],
        "pelvis_toward_target": goal[3],
        "lead_knee_flex": each(setup["knee_flex"]) + asked["lead_flex_change"],
        "trail_knee_flex": each(setup["knee_flex"]) + asked["trail_flex_change"],
        "bend": each(setup["forward_bend"]) - wished_extension,
    }
    limits_hit = np.concatenate(
        [
            lower.stopped_by | np.repeat(stance.lower.stopped_by, frames, axis=0),
            (stopped | each(stance.trunk_stopped))[:, None],
            (np.abs(girdle_asked - girdle) > readout.MET_ANGLE)[:, None],
        ],
        axis=1,
    )
    got = readout.achieved(lower, q0, readout.Top(angles, ribcage, girdle), rest, asked["lead_heel_rise"])
    converged = lower.converged & held.converged & trunk_converged & figure.column.closed & each(stance.converged)
    joint_ranges = readout.joint_ranges(moment, moment_limits, lower)
    shape = (*batch, frames)

    def shaped(values: Array) -> Array:
        return values.reshape(shape + values.shape[1:])

    swing = Swing(
        body=body,
        address=address,
        pieces=pieces,
        left_handed=left_handed,
        progress=progress,
        asked={name: shaped(value) for name, value in wished.items()},
        achieved={name: shaped(value) for name, value in got.items()},
        steady={"tilt": shaped(steady_tilt), "extension": shaped(steady_extension)},
        steady_miss=shaped(held.miss),
        limit_names=LIMIT_NAMES,
        limited=limits_hit.reshape(*shape, len(LIMIT_NAMES)),
        met=readout.met(wished, got).reshape(shape),
        converged=converged.reshape(shape),
        address_balanced=stance.balanced.reshape(batch),
        joint_angles={n: shaped(v) for n, v in readout.joint_angles(lower, figure, girdle).items()},
        joint_ranges={n: (shaped(low), shaped(high)) for n, (low, high) in joint_ranges.items()},
        skeleton=figure.skeleton.reshaped(shape),
        measures=measures.of(moment, figure.skeleton, at_address).reshaped(shape),
    )
    return mirrored(swing) if left_handed else swing


def mirrored(swing: Swing) -> Swing:
    """The same swing of a left-hander: the figure reflected (world y negated); words, angles and signs stay."""
    read = replace(swing.measures, centre_of_mass=swing.measures.centre_of_mass * np.array([1.0, -1.0, 1.0]))
    return replace(swing, left_handed=True, skeleton=swing.skeleton.mirrored(), measures=read)


def _amount(piece: object) -> Array:
    return np.asarray(piece.plus if isinstance(piece, Steady) else piece, dtype=float)


def _wish(piece: object, held: Array, rest: Array, change: Array, share: Array) -> Array:
    """Tilt or extension asked for at each moment ``(N,)``, rad.

    Either what holds the head plus a departure that grows to its amount (``change``), or a plain number, reached
    from the value at ``rest``.
    """
    return held + change if isinstance(piece, Steady) else rest * (1.0 - share) + change


def _hold(stance: Stance, frames: int) -> Hold:
    hold = stance.hold
    return Hold(*(np.repeat(part, frames, axis=0) for part in (hold.arm, hold.club, hold.club_length, hold.ball)))


def _carried(moment: Body, lower: LowerBody, gaze: Array) -> steady.TrunkOnPelvis:
    return steady.TrunkOnPelvis(
        pelvis=lower.pelvis,
        lumbosacral=lumbosacral_place(moment, lower.pelvis, lower.pelvis_centre),
        spine_length=moment.lengths["spine"],
        range=RoundedBox.of(moment.ranges, "trunk"),
        neck=Neck.of(moment),
        gaze=gaze,
    )


def _inclined_turn(turn: Array, rest: Array) -> Array:
    """Tilt and bend ``(2, N)`` of a trunk that turns to ``turn`` about its own axis at rest ``(3, N)``, rad."""
    about_axis = np.arctan2(np.sin(turn), np.cos(turn) * np.cos(rest[BEND]))
    _, tilt, bend = turn_about_inclined_axis(about_axis, rest[BEND])
    return np.stack([rest[TILT] * np.cos(turn) + tilt, bend])
