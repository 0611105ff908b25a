"""The most hip turn a golfer's stance and joints allow, and what stops it.

The pelvis is turned further and further from the address, everything else that was asked held a hundred times harder
than usual: with the usual weights the compromise would drag sway and knees along to buy turn, and answer another
question. The answer is where the first of these askings stops short. (Asking for an endless turn at once can land on
a turn that no continuous pivot reaches: beyond a gap that the joints do not allow.)

It is what joints allow, a ceiling: `golfer.measured_turn` has what people were measured to turn.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import Batch, Flags, common_batch
from ..chain.golfers import LEG_PIECES
from ..chain.legs import HIP_TURN
from ..chain.lower_body import ASKING_WEIGHTS, LEG_LIMITS
from ..golfer.address import Address
from ..golfer.body import Body
from ..golfer.pieces import Pieces
from ..swing import stages
from ..swing.doing import Doing, at_once

HELD_HARDER = 100.0
ASKED: Array = np.radians(np.arange(6.0, 157.0, 6.0))
"""Turns asked for one after the other, rad."""
_AT_ONCE = 12
"""So many of them are asked for together, up to 72 degrees first: few golfers turn farther, and what is far past what
the joints allow takes the solver twice as long."""
SHORT = float(np.radians(0.5))
"""A turn short by less than this may be short of a range without saying which (see ``lower_body.NOTICEABLE``)."""


@dataclass(frozen=True)
class Available(Batch):
    """The most hip turn of a batch ``(...)``.

    Attributes:
        hip_turn: ``(...)`` rad away from the target, from address; at most the last of ``ASKED``.
        limit_names: names of the ranges.
        stopped_by: ``(..., len(limit_names))`` which of them stop it.
        converged: ``(...)``.
    """

    hip_turn: Array
    limit_names: tuple[str, ...]
    stopped_by: Flags
    converged: BoolArray


def most_hip_turn(body: Body, address: Address, pieces: Pieces, do: Doing = at_once) -> Available:
    """How far the pelvis can turn, the knees, sway and hips toward ball of ``pieces`` being as asked for the top.

    Args:
        body: bodies of batch shape ``(...)``.
        address: how they stand.
        pieces: what else they do by the top; its hip turn is not used.
        do: how they are stood at address.
    """
    top = {name: value for name, value in pieces.amounts().items() if name in LEG_PIECES}
    batch = common_batch(body=body, address=address, pieces=pieces)
    golfers = do(stages.stand, body, address, batch)
    count, names = golfers.stance.balanced.size, len(LEG_LIMITS)
    asked = {name: np.broadcast_to(value, batch).reshape(-1) for name, value in top.items()}
    turned, stopped_by = np.zeros(count), np.zeros((count, names), dtype=bool)
    converged, left = np.zeros(count, dtype=bool), np.arange(count)
    for turns in np.split(ASKED, range(_AT_ONCE, ASKED.size, _AT_ONCE)):
        if not left.size:
            break
        # One moment for every turn asked and golfer.
        moments = golfers.moments(np.tile(left, turns.size))
        wish = {name: np.tile(value[left], turns.size) for name, value in asked.items()}
        wish["hip_turn"] = np.repeat(turns, left.size)
        lower = moments.lower(wish, ASKING_WEIGHTS * np.array([1.0] + 7 * [HELD_HARDER**2]))
        reached = (lower.q[HIP_TURN] - moments.q_at_address[HIP_TURN]).reshape(turns.size, left.size)
        short = reached < turns[:, None] - SHORT
        stops = short.any(axis=0)
        # Who turns as far as the last one is asked for more, and where there is no more, that is the answer.
        first, one = np.where(stops, short.argmax(axis=0), turns.size - 1), np.arange(left.size)
        turned[left] = reached[first, one]
        stopped_by[left] = lower.stopped_by.reshape(turns.size, left.size, names)[first, one]
        converged[left] = lower.converged.reshape(turns.size, left.size)[first, one]
        left = left[~stops]
    return Available(
        hip_turn=turned.reshape(batch),
        limit_names=LEG_LIMITS,
        stopped_by=stopped_by.reshape(*batch, names),
        converged=(converged & golfers.stance.converged).reshape(batch),
    )
