"""What golfers do on the way back: the centred golfer's pieces and arms, from which every swing's own are told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array
from ..batch import Batch, Parts
from ..chain.carried import Carried
from ..chain.delivery import Delivery
from ..chain.girdle import Girdle
from ..chain.giving import share_of_swing
from ..chain.golfers import LEG_PIECES, Golfers, Moments
from ..chain.reach import in_girdle, in_world
from ..chain.trunk import BEND, TILT
from ..chain.walk import OnHeld, UpperBody
from ..golfer.impact import EARLY, Impact, given_back, share_of_way
from ..golfer.pieces import Pieces, plain
from .doing import Doing, at_once

_STEP = 1e-5
"""Of the way: how far before impact the chest is looked at to find how it comes to it. So close to it, a range that
begins to act elsewhere changes nothing."""
_STENCIL = np.array([-2.0, -1.0, 0.0])
_SLOPE = np.array([0.5, -2.0, 1.5])
"""Backward differences of second order: they err by less than a micrometre per way."""


@dataclass(frozen=True)
class Back(Batch):
    """The way back of ``N`` moments of golfers.

    Attributes:
        way: ``(N,)``, 0 on the way up.
        at_top: ``(N,)`` which moment is the top of the same golfer's swing.
        delivery: how their arms bring the club to the ball.
    """

    way: Array
    at_top: Annotated[NDArray[np.intp], Parts()]
    delivery: Delivery

    def carried(self, moments: Moments, upper: UpperBody) -> Carried:
        """Their arms, which start down from where this swing has brought them."""
        up = share_of_swing(upper.ribcage, upper.girdle, moments.hold)
        return self.delivery.carried(self.way, up[self.at_top])


def centred(way: Array, at_impact: Mapping[str, Array]) -> dict[str, Array]:
    """The plain pieces of the centred golfer on the ``way`` back, all of `EARLY` and the lead heel.

    Args:
        way: ``(N,)``, or any shape that broadcasts with what is asked at impact.
        at_impact: name to ``(N,)`` rad or m, as `Impact.centred` has it.
    """
    top = Pieces()
    asked = {"lead_heel_rise": at_impact["lead_heel_rise"] * given_back(way)}
    for name in EARLY:
        first = float(plain(getattr(top, name)))
        asked[name] = first + (at_impact[name] - first) * share_of_way(name, way)
    return asked


def deliver(golfers: Golfers, hands_ahead: Array, hinge: Array, pieces: Pieces) -> Delivery:
    """How the arms of ``B`` golfers bring the club to the ball: what they do where the pivot is centred.

    Args:
        golfers: at address.
        hands_ahead: ``(B,)`` m.
        hinge: ``(B,)`` rad.
        pieces: what ``B`` golfers ask at impact in a centred swing.
    """
    count, here = golfers.stance.balanced.size, _STENCIL.size
    golfer = np.repeat(np.arange(count), here)
    moments = golfers.moments(golfer)
    on = centred_held(moments, np.tile(1.0 + _STEP * _STENCIL, count), pieces[golfer])
    upper = on.reach(on.held.angles[TILT], on.held.angles[BEND])
    still = np.zeros(count * here)
    girdle = Girdle.of(moments.body, upper.ribcage, upper.neck_base, upper.girdle, still)
    at_impact = np.arange(count) * here + here - 1
    impact, hold = girdle[at_impact], golfers.standing.hold
    own = in_girdle(impact, hold.ball - impact.shoulder["lead"])
    gone = girdle.shoulder["lead"] + in_world(girdle, np.repeat(own, here, axis=0))
    slope = np.tensordot(gone.reshape(count, here, 3), _SLOPE / _STEP, axes=(1, 0))
    return Delivery.of(hold, impact, slope, hands_ahead, hinge)


def delivered(golfers: Golfers, batch: tuple[int, ...], impact: Impact, do: Doing = at_once) -> Delivery:
    """`deliver` of golfers of batch shape ``batch``, as ``impact`` asks."""
    ahead, hinge = (
        np.broadcast_to(np.asarray(value, dtype=float), batch).reshape(-1)
        for value in (impact.hands_ahead, impact.wrist_hinge)
    )
    return do(deliver, golfers, ahead, hinge, impact.centred().pieces.flat(batch))


def centred_held(moments: Moments, way: Array, at_impact: Pieces) -> OnHeld:
    """What holds the head where it was at address in the centred golfers' pieces at ``way (N,)``.

    Args:
        moments: ``N`` of golfers.
        way: ``(N,)``.
        at_impact: what these golfers ask at impact in a centred swing.
    """
    asked = centred(way, at_impact.amounts())
    return moments.on(moments.lower({name: asked[name] for name in LEG_PIECES})).hold(asked["shoulder_turn"])
