"""The walk from a golfer to a moment's figure in stages, each a pure function of what it is given.

`simulate` goes through them one after the other. Whoever asks for many swings that differ a little (`rehearsal`) hands
it another way of doing them, which keeps what has not changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

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
from .way_back import Back


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


def spread(golfers: Golfers, moments: int) -> Moments:
    """Every golfer ``moments`` times in a row."""
    return golfers.moments(np.repeat(np.arange(golfers.stance.balanced.size), moments))


def turn_hips(moments: Moments, asked: Mapping[str, Array]) -> LowerBody:
    """Legs and pelvis that do what is ``asked`` (``LEG_PIECES`` to ``(N,)`` rad or m)."""
    return moments.lower(asked)


def hold_head(moments: Moments, lower: LowerBody, shoulder_turn: Array, wanted: Array) -> OnHeld:
    """What holds the head where it is ``wanted (N, 3)`` m on these legs, for ``shoulder_turn (N,)`` rad."""
    return moments.on(lower, wanted).hold(shoulder_turn)


def straighten_up(
    moments: Moments, lower: LowerBody, on: OnHeld, tilt: Array, bend: Array, back: Back | None = None
) -> Upright:
    """Trunk and girdle nearest to ``tilt`` and ``bend (N,)`` rad, and all they carry, on the way up or ``back``."""
    upper = on.reach(tilt, bend)
    carried = None if back is None else back.carried(moments, upper)
    return Upright(upper, moments.figure(lower, upper, carried))
