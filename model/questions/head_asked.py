"""Where the head goes for plain numbers asked at a moment: many trunks on each solved pair of legs.

What `simulate` does for one asking a moment, from the same stages and by the same rules, without what does not reach
the head (girdle, arms, club, readings). So a head and an inclination found here are those `simulate` finds.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array, BoolArray
from ..chain import walk
from ..chain.golfers import Golfers, Moments
from ..chain.lower_body import LEG_LIMITS, LowerBody
from ..chain.trunk import BEND, TILT
from ..chain.walk import ribcage_share
from ..numeric import rotations

OUTCOMES = ("head_toward_ball", "head_toward_target", "head_up", "inclination")
"""What is answered for each asking: the head since address in m, and the trunk's inclination in space in rad."""
STOPS: tuple[str, ...] = (*LEG_LIMITS, "trunk")
"""Ranges that can keep an asking from reaching the head in full."""


@dataclass(frozen=True)
class TrunkAsked:
    """What is asked of the trunk; arrays ``(N,)`` rad.

    Attributes:
        shoulder: which of the shoulder turns solved for.
        tilt: of the ribcage.
        bend: of the ribcage.
    """

    shoulder: int
    tilt: Array
    bend: Array


@dataclass(frozen=True)
class HeadAsked:
    """Answers to trunk askings on solved legs.

    Attributes:
        outcome: ``(T, N, 4)`` ``OUTCOMES``; the head since address, the inclination in space.
        stopped: ``(T, N, len(STOPS))`` whether that range keeps what was asked from being met.
        converged: ``(T, N)``.
    """

    outcome: Array
    stopped: BoolArray
    converged: BoolArray


def answer(
    moments: Moments,
    lower: LowerBody,
    shoulder_turns: Sequence[Array],
    asked: Sequence[TrunkAsked],
    wanted: Array | None = None,
) -> HeadAsked:
    """Where each of ``T`` trunk askings takes the head on each of ``N`` solved legs.

    Args:
        moments: of whom, ``N``.
        lower: their legs, solved.
        shoulder_turns: each ``(N,)`` rad, of the shoulder line. As in `simulate`, the ribcage's turn is what this
            trunk can make when tilt and bend are free to help, on these legs.
        asked: what is asked of the trunk.
        wanted: ``(N, 3)`` m, from the head's place at address to where it is wanted; that place unless said. The turn
            that the trunk can make is that with the head there.
    """
    count, kinds = lower.converged.size, len(asked)
    each = np.arange(count)
    on = moments.on(lower, wanted)[np.tile(each, len(shoulder_turns))].hold(np.concatenate(shoulder_turns))
    on = on[np.concatenate([a.shoulder * count + each for a in asked])]
    upper = on.reach(np.concatenate([a.tilt for a in asked]), np.concatenate([a.bend for a in asked]))
    outcome = np.concatenate([upper.head_moved, walk.inclination(upper.line)[:, None]], axis=1)
    by_legs = np.broadcast_to(lower.stopped_by, (kinds, *lower.stopped_by.shape))
    converged = (on.held.converged & upper.converged).reshape(kinds, count) & lower.converged
    return HeadAsked(
        outcome=outcome.reshape(kinds, count, len(OUTCOMES)),
        stopped=np.concatenate([by_legs, upper.trunk_stopped.reshape(kinds, count, 1)], axis=2),
        converged=converged,
    )


def answer_plain(
    golfers: Golfers, golfer: NDArray[np.intp], asked: Mapping[str, Array], wanted: Array | None = None
) -> HeadAsked:
    """One asking a moment: every piece as a number ``(N,)`` rad or m, extension and tilt included (``T`` is 1).

    ``wanted`` is as of `answer`.
    """
    moments = golfers.moments(golfer)
    bend = moments.ribcage_at_address[BEND] - asked["extension"]
    return answer(moments, moments.lower(asked), [asked["shoulder_turn"]], [TrunkAsked(0, asked["tilt"], bend)], wanted)


def own_axis_turn(rest: Array, shoulder_turn: Array) -> tuple[Array, Array]:
    """Tilt and bend of a ribcage that turns about its own long axis as it stood at address.

    The axis stays where it is, so the ribcage keeps its inclination and trades bend for tilt (docs/model.md). With
    the address orientation A and a turn psi about its own axis, A Rz(-psi) reads as the turn T wanted where
    ``tan psi = (a11 sin T - a01 cos T) / (a00 cos T - a10 sin T)``. Without side bend this is
    `rotations.turn_about_inclined_axis`.

    Args:
        rest: ``(3, N)`` rad, turn, tilt and bend at address.
        shoulder_turn: ``(N,)`` rad, of the shoulder line; the ribcage makes its share of it.

    Returns:
        tilt and bend ``(N,)`` rad.
    """
    turn, start = ribcage_share(shoulder_turn), rotations.from_turn_tilt_bend(*rest)
    c, s = np.cos(turn), np.sin(turn)
    about_axis = np.arctan2(start[:, 1, 1] * s - start[:, 0, 1] * c, start[:, 0, 0] * c - start[:, 1, 0] * s)
    angles = rotations.to_turn_tilt_bend(start @ rotations.about_z(-about_axis))
    return angles[TILT], angles[BEND]
