"""The walk from a golfer to a moment's figure in stages, each a pure function of what it is given.

`simulate` goes through them one after the other. Whoever asks for many swings that differ a little (`rehearsal`) hands
it another way of doing them, which keeps what has not changed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import ParamSpec, Protocol, TypeVar

import numpy as np

from ..arrays import Array
from ..batch import Batch
from ..chain.figure import Figure
from ..chain.golfers import Golfers, Moments
from ..chain.lower_body import LowerBody
from ..chain.support import Base
from ..chain.walk import OnHeld, UpperBody
from ..golfer.address import Address
from ..golfer.body import Body

Given = ParamSpec("Given")
Made = TypeVar("Made")


class Doing(Protocol):
    """How a stage is done."""

    def __call__(self, stage: Callable[Given, Made], *given: Given.args, **named: Given.kwargs) -> Made:
        """What the stage makes of what it is given."""


def at_once(stage: Callable[Given, Made], *given: Given.args, **named: Given.kwargs) -> Made:
    """A stage done anew."""
    return stage(*given, **named)


@dataclass(frozen=True)
class Upright(Batch):
    """Trunk, girdle and the whole figure of ``N`` moments."""

    upper: UpperBody
    figure: Figure


def stand(body: Body, address: Address, batch: tuple[int, ...]) -> Golfers:
    """Golfers of batch shape ``batch`` at address, flattened."""
    return Golfers.at_address(body, address, batch)


def base_of(golfers: Golfers) -> Base:
    """What each of them stands on."""
    return Base.of(golfers.stance.figure.skeleton, golfers.standing.body)


def spread(golfers: Golfers, frames: int) -> Moments:
    """Every golfer ``frames`` times in a row."""
    return golfers.moments(np.repeat(np.arange(golfers.stance.balanced.size), frames))


def turn_hips(moments: Moments, asked: Mapping[str, Array]) -> LowerBody:
    """Legs and pelvis that do what is ``asked`` (``LEG_PIECES`` to ``(N,)`` rad or m)."""
    return moments.lower(asked)


def hold_head(moments: Moments, lower: LowerBody, shoulder_turn: Array) -> OnHeld:
    """What keeps the head still on these legs, for ``shoulder_turn (N,)`` rad."""
    return moments.on(lower).hold(shoulder_turn)


def straighten_up(moments: Moments, lower: LowerBody, on: OnHeld, tilt: Array, bend: Array) -> Upright:
    """Trunk and girdle nearest to ``tilt`` and ``bend (N,)`` rad, and all that they carry."""
    upper = on.reach(tilt, bend)
    return Upright(upper, moments.figure(lower, upper))
