"""The most hip turn a golfer's stance and joints allow, and what stops it.

A solve of its own: the turn is asked for without end while everything else is held fifteen times harder than usual.
With the usual weights the compromise would drag sway and knees along to buy turn, and answer another question.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from . import lower_body
from .address import Address
from .arrays import Array, BoolArray
from .body import Body
from .lower_body import ASKING_WEIGHTS, LEG_LIMITS, LegLimits
from .pieces import Pieces, Steady
from .stance import stand

HELD_HARDER = 15.0
ENDLESS_TURN = float(np.radians(180.0))


@dataclass(frozen=True)
class Available:
    """The most hip turn of a batch ``(...)``.

    Attributes:
        hip_turn: ``(...)`` rad away from the target, from address.
        limit_names: names of the ranges.
        stopped_by: ``(..., len(limit_names))`` which of them stop it.
        converged: ``(...)``.
    """

    hip_turn: Array
    limit_names: tuple[str, ...]
    stopped_by: BoolArray
    converged: BoolArray


def most_hip_turn(body: Body, address: Address, pieces: Pieces) -> Available:
    """How far the pelvis can turn, the knees, sway and thrust of ``pieces`` being as asked for the top.

    Args:
        body: bodies of batch shape ``(...)``.
        address: how they stand.
        pieces: what else they do by the top; its hip turn is not used.
    """
    top = {
        item.name: np.asarray(value, dtype=float)
        for item in fields(pieces)
        if not isinstance(value := getattr(pieces, item.name), Steady)
    }
    setup = {item.name: np.asarray(getattr(address, item.name), dtype=float) for item in fields(address)}
    batch = np.broadcast_shapes(
        body.batch, *(value.shape for value in top.values()), *(value.shape for value in setup.values())
    )
    golfers = body.flat(batch)
    setup = {name: np.broadcast_to(value, batch).reshape(-1) for name, value in setup.items()}
    top = {name: np.broadcast_to(value, batch).reshape(-1) for name, value in top.items()}
    limits = LegLimits.of(golfers)
    stance = stand(golfers, setup, limits)
    goal = stance.lower.q.copy()
    goal[0] = ENDLESS_TURN
    goal[2] += top["thrust"]
    goal[3] -= top["sway"]
    goal[4] += top["lead_flex_change"]
    goal[5] += top["trail_flex_change"]
    flare = np.stack([setup["lead_flare"], setup["trail_flare"]])
    legs = lower_body.planted(golfers, flare, setup["stance_width"], top["lead_heel_rise"])
    weights = ASKING_WEIGHTS * np.array([1.0] + 7 * [HELD_HARDER**2])
    lower = lower_body.solve(legs, limits, goal, stance.lower.angles, stance.lower.q, weights)
    return Available(
        hip_turn=(lower.q[0] - stance.lower.q[0]).reshape(batch),
        limit_names=LEG_LIMITS,
        stopped_by=lower.stopped_by.reshape(*batch, len(LEG_LIMITS)),
        converged=(lower.converged & stance.converged).reshape(batch),
    )
