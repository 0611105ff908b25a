"""Simulate swings: body, address and pieces in, every moment out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..arrays import Array
from ..batch import common_batch
from ..chain.arm_joints import ARM_LIMITS
from ..chain.legs import TOWARD_BALL, TOWARD_TARGET
from ..chain.lower_body import LEG_LIMITS, heel_risen
from ..chain.trunk import BEND, TILT
from ..golfer.address import Address
from ..golfer.body import Body
from ..golfer.head_place import HeadPlace
from ..golfer.impact import Impact
from ..golfer.pieces import HEELS, Pieces, Timing, departs
from . import measures, readout, stages
from .asking import Wishes, asking
from .doing import Doing, at_once
from .phases import Phases
from .swing import Swing
from .way_back import Back, delivered

LIMIT_NAMES: tuple[str, ...] = (*LEG_LIMITS, "trunk", "girdle")


def simulate(
    body: Body,
    address: Address,
    pieces: Pieces,
    timing: Timing | None = None,
    frames: int = 41,
    left_handed: bool = False,
    impact: Impact | None = None,
    head: HeadPlace | None = None,
) -> Swing:
    """Swings of a batch of golfers, from address to the top or on through impact.

    Args:
        body: bodies of batch shape ``(...)``.
        address: how they stand; fields broadcast with the bodies.
        pieces: what they do by the top; fields broadcast with the bodies.
        timing: when each piece is done, the same for all; evenly if not said.
        frames: number of moments up to the top, evenly spaced in progress; at least 2. A swing that goes on has half
            as many more to impact, and as many past it (`phases`).
        left_handed: mirror the figure (world y negated).
        impact: what they do by impact; the swing ends at the top unless said.
        head: where they want the head at the top; where it was at address unless said.

    Returns:
        Swing: arrays ``(..., M)``.

    Raises:
        TurnstillError: an impossible number of moments, timing or club, or shapes that do not broadcast.
    """
    return walked(at_once, body, address, pieces, timing, frames, left_handed, impact, head)


def walked(
    do: Doing,
    body: Body,
    address: Address,
    pieces: Pieces,
    timing: Timing | None = None,
    frames: int = 41,
    left_handed: bool = False,
    impact: Impact | None = None,
    head: HeadPlace | None = None,
) -> Swing:
    """`simulate`, with ``do`` as the way in which its stages are done; whichever it is, the numbers are the same."""
    head = HeadPlace() if head is None else head
    batch = common_batch(body=body, address=address, pieces=pieces, head=head, impact=impact)
    phases = Phases.of(frames, impact is not None)
    golfers = do(stages.stand, body, address, batch)
    # From here on every moment of every golfer is one entry of a flat batch of N.
    wish = asking(golfers, batch, Wishes(pieces, timing, head, impact), phases, do)
    moments, asked, lower, held = wish.moments, wish.plain, wish.lower, wish.on.held
    stance, rest, setup = golfers.stance, moments.ribcage_at_address, moments.setup
    count, each = stance.balanced.size, phases.progress.size
    golfer = np.repeat(np.arange(count), each)
    tilt, extension = asked["tilt"], asked["extension"]
    back = None
    if impact is not None:
        back = Back(
            np.tile(phases.way, count), golfer * each + phases.at_top, delivered(golfers, batch, impact, do)[golfer]
        )
    upright = do(stages.straighten_up, moments, lower, wish.on, tilt, rest[BEND] - extension, back)
    upper, figure = upright.upper, upright.figure

    trunk_stopped = upper.trunk_stopped | stance.trunk_stopped[golfer]
    if departs(pieces.tilt) or departs(pieces.extension):
        trunk_stopped = trunk_stopped | held.stopped
    limited = np.concatenate(
        [
            lower.stopped_by | stance.lower.stopped_by[golfer],
            trunk_stopped[:, None],
            upper.girdle_stopped[:, None],
        ],
        axis=1,
    )
    # What was asked of the address counts too: where the body cannot stand like that, no moment is as asked.
    goal = moments.leg_goal(asked)
    wished = {
        **asked,
        "pelvis_bend": setup["pelvis_bend"],
        "pelvis_toward_ball": goal[TOWARD_BALL],
        "pelvis_toward_target": goal[TOWARD_TARGET],
        "lead_knee_flex": setup["knee_flex"] + asked["lead_flex_change"],
        "trail_knee_flex": setup["knee_flex"] + asked["trail_flex_change"],
        "bend": setup["forward_bend"] - extension,
    }
    heels = heel_risen(moments.body, np.array([asked[name] for name in HEELS]))
    got = readout.achieved(lower, moments.q_at_address, upper, rest, heels)
    converged = lower.converged & held.converged & upper.converged & figure.column.closed & stance.converged[golfer]
    shape = (*batch, each)

    def shaped(values: Array) -> Array:
        return values.reshape(shape + values.shape[1:])

    base = do(stages.base_of, golfers)[golfer]
    joint_ranges = readout.joint_ranges(moments.body, moments.limits, lower)
    swing = Swing(
        body=body,
        address=address,
        pieces=pieces,
        left_handed=left_handed,
        impact=impact,
        head=head,
        progress=phases.progress,
        asked={name: shaped(value) for name, value in wished.items()},
        achieved={name: shaped(value) for name, value in got.items()},
        steady={"tilt": shaped(held.angles[TILT]), "extension": shaped(rest[BEND] - held.angles[BEND])},
        steady_miss=shaped(held.miss),
        head_wanted=shaped(wish.wanted),
        limit_names=LIMIT_NAMES,
        limited=limited.reshape(*shape, len(LIMIT_NAMES)),
        arm_limit_names=ARM_LIMITS,
        arms_limited=figure.arms.limited.reshape(*shape, len(ARM_LIMITS)),
        met=readout.met(wished, got).reshape(shape),
        converged=converged.reshape(shape),
        address_balanced=stance.balanced.reshape(batch),
        joint_angles={n: shaped(v) for n, v in readout.joint_angles(lower, figure, upper.girdle).items()},
        joint_ranges={n: (shaped(low), shaped(high)) for n, (low, high) in joint_ranges.items()},
        skeleton=figure.skeleton.reshaped(shape),
        measures=measures.of(moments.body, figure.skeleton, moments.joints_at_address, base).reshaped(shape),
    )
    return mirrored(swing) if left_handed else swing


def mirrored(swing: Swing) -> Swing:
    """The same swing of a left-hander: the figure reflected (world y negated); words, angles and signs stay."""
    read = replace(swing.measures, centre_of_mass=swing.measures.centre_of_mass * np.array([1.0, -1.0, 1.0]))
    return replace(swing, left_handed=True, skeleton=swing.skeleton.mirrored(), measures=read)
