"""What pieces come to, moment by moment, as plain numbers.

Amounts grow with the swing, and on the way back they go from those of the top to those of impact; steady tilt and
extension are worked out on the legs that the other pieces lead to.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, partial

import numpy as np

from ..arrays import Array, ArrayLike
from ..chain.golfers import LEG_PIECES, Golfers, Moments
from ..chain.lower_body import LowerBody
from ..chain.trunk import BEND, TILT
from ..chain.walk import OnHeld
from ..golfer.head_place import HeadPlace
from ..golfer.impact import Impact, given_back
from ..golfer.pieces import PIECES, Pieces, Steady, Timing, departs, plain, share_done
from . import stages
from .doing import Doing, at_once
from .phases import Phases
from .way_back import centred, centred_held


@dataclass(frozen=True)
class Wishes:
    """What golfers do by the top and, where the swing goes on, by impact; fields broadcast with them.

    Attributes:
        pieces: by the top.
        timing: when each piece is done on the way up; evenly if not said.
        head: where the head is wanted at the top.
        impact: by impact, if the swing goes on.
    """

    pieces: Pieces
    timing: Timing | None = None
    head: HeadPlace = field(default_factory=HeadPlace)
    impact: Impact | None = None


@dataclass(frozen=True)
class Asking:
    """Every moment of every golfer, one entry of a flat batch of ``N`` each.

    Attributes:
        moments: of whom.
        plain: names of ``PIECES`` to ``(N,)`` rad or m.
        wanted: ``(N, 3)`` m, from the head's place at address to where it is wanted.
        lower: legs and pelvis that do what is asked of them.
        on: what holds the head where it is wanted on these legs.
    """

    moments: Moments
    plain: Mapping[str, Array]
    wanted: Array
    lower: LowerBody
    on: OnHeld


def asking(
    golfers: Golfers,
    batch: tuple[int, ...],
    wishes: Wishes,
    phases: Phases,
    do: Doing = at_once,
    at_impact: Callable[[], OnHeld] | None = None,
) -> Asking:
    """What is wished of golfers, from address on.

    Args:
        golfers: of batch shape ``batch``, flattened.
        batch: with which the wishes broadcast.
        wishes: what they do.
        phases: the moments.
        do: how the stages are done.
        at_impact: gives `held_at_impact` of the same golfers and wishes, where somebody keeps it; asked only where a
            trunk angle is a plain number.

    Raises:
        TurnstillError: an impossible timing.
    """
    pieces, impact, count = wishes.pieces, wishes.impact, golfers.stance.balanced.size
    share = {name: share_done(wishes.timing, name, phases.up) for name in PIECES}
    top = _each(pieces, batch)
    asked = {name: (top[name] * share[name]).reshape(-1) for name in PIECES}
    wanted = wishes.head.offset(batch)[:, None] * phases.up[..., None]
    back = phases.each(given_back(phases.way), count)
    if impact is not None:
        usual = impact.centred().pieces
        asked |= _on_the_way_back(top, _each(impact.pieces, batch), _each(usual, batch), phases, asked)
        wanted = wanted + given_back(phases.way)[..., None] * (impact.head.offset(batch)[:, None] - wanted)
    wanted = wanted.reshape(-1, 3)

    moments = do(stages.spread, golfers, phases.count)
    lower = do(stages.turn_hips, moments, {name: asked[name] for name in LEG_PIECES})
    on = do(stages.hold_head, moments, lower, asked["shoulder_turn"], wanted)
    held = on.held
    rest, nothing = moments.ribcage_at_address, np.zeros(count * phases.count)
    tilt = _wish(pieces.tilt, held.angles[TILT], rest[TILT], asked["tilt"], phases.each(share["tilt"], count))
    extension = _wish(pieces.extension, rest[BEND] - held.angles[BEND], nothing, asked["extension"], nothing)
    if impact is not None:
        usual = usual.flat(batch)
        to_ball = _ToBall(golfers, batch, phases, usual, at_impact or partial(held_at_impact, golfers, usual))
        there = to_ball.wish(impact.pieces.tilt, held.angles[TILT], _tilt)
        given_up = to_ball.wish(impact.pieces.extension, rest[BEND] - held.angles[BEND], _extension)
        tilt, extension = tilt + back * (there - tilt), extension + back * (given_up - extension)
    return Asking(moments, {**asked, "tilt": tilt, "extension": extension}, wanted, lower, on)


def _each(pieces: Pieces, batch: tuple[int, ...]) -> dict[str, Array]:
    """Every piece as plain numbers ``(B, 1)`` of golfers of batch shape ``batch``, flattened."""
    return {name: np.broadcast_to(value, batch).reshape(-1, 1) for name, value in pieces.amounts().items()}


def _on_the_way_back(
    top: Mapping[str, Array],
    ball: Mapping[str, Array],
    last: Mapping[str, Array],
    phases: Phases,
    asked: Mapping[str, Array],
) -> dict[str, Array]:
    """The pieces ``(N,)`` that go at the centred golfer's pace, with what a golfer is off from it top and impact.

    On the way up they are as ``asked``; ``last`` is the centred golfer's at impact.
    """
    way, up = phases.way, phases.each(phases.way == 0.0, len(top["hip_turn"]))
    first, over = Pieces(), given_back(way)
    found = {}
    for name, usual in centred(way, last).items():
        off = top[name] - plain(getattr(first, name))
        then = ball[name] - last[name]
        found[name] = np.where(up, asked[name], (usual + off + over * (then - off)).reshape(-1))
    return found


@dataclass(frozen=True)
class _ToBall:
    """What is asked of the trunk at impact, as it comes to at the moments around it.

    Attributes:
        golfers: ``B``, of batch shape ``batch``.
        phases: the moments of each.
        usual: ``B`` golfers' centred pieces at impact.
        at_impact: gives what holds the centred golfers' heads there.
    """

    golfers: Golfers
    batch: tuple[int, ...]
    phases: Phases
    usual: Pieces
    at_impact: Callable[[], OnHeld]

    def wish(self, piece: ArrayLike | Steady, held: Array, read: Callable[[OnHeld], Array]) -> Array:
        """Tilt or extension at each moment ``(N,)`` rad.

        A departure goes beside what holds the head, ``held (N,)``. A plain number goes through impact as every other
        piece does, beside the centred golfer's (``read`` from what holds that head), by as much as it is off there.
        """
        each = self.phases.count
        amount = np.repeat(np.broadcast_to(plain(piece), self.batch), each)
        if departs(piece):
            return held + amount
        around, there = self._centred
        return amount + read(around) - np.repeat(read(there), each)

    @cached_property
    def _centred(self) -> tuple[OnHeld, OnHeld]:
        """What holds the centred golfer's head at each moment, and at impact itself; on the way up, as at impact."""
        count, way = self.golfers.stance.balanced.size, self.phases.way
        moments = stages.spread(self.golfers, self.phases.count)
        around = self.phases.each(np.where(way > 0.0, way, 1.0), count)
        every = self.usual[np.repeat(np.arange(count), self.phases.count)]
        return centred_held(moments, around, every), self.at_impact()


def held_at_impact(golfers: Golfers, usual: Pieces) -> OnHeld:
    """What holds the heads of ``B`` golfers at impact in their centred swing, which asks ``usual`` there."""
    return centred_held(golfers.standing, np.ones(golfers.stance.balanced.size), usual)


def _tilt(on: OnHeld) -> Array:
    """The tilt that holds the head, ``(N,)`` rad."""
    return np.asarray(on.held.angles[TILT])


def _extension(on: OnHeld) -> Array:
    """The extension that holds the head, ``(N,)`` rad."""
    return np.asarray(on.legs.rest[BEND] - on.held.angles[BEND])


def _wish(piece: ArrayLike | Steady, held: Array, rest: Array, change: Array, share: Array) -> Array:
    """Tilt or extension asked for at each moment ``(N,)``, rad.

    Either what holds the head plus a departure that grows to its amount (``change``), or a plain number, reached
    from the value at ``rest``.
    """
    return held + change if departs(piece) else rest * (1.0 - share) + change
