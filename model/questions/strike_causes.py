"""What each piece does to the strike: its share of a strike that is off, its slope, and how much of it would mend it.

All count at impact. A piece that is off at the top and given back does nothing here, exactly, so it has no slope.

The reference is this golfer's centred swing, the head held where it is wanted. Trunk angles are taken as plain numbers,
moment by moment, so that a change of one piece is not made good by another that was to hold the head.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..golfer.address import Address
from ..golfer.body import Body
from ..golfer.head_place import HeadPlace
from ..golfer.impact import Impact
from ..golfer.pieces import DEPARTURES, PIECES, Pieces
from .arc import Arc
from .shares import SAME, shapley
from .strike import OUTCOMES, WAYS, Striking

_HALF_STEP = {"deg": float(np.radians(0.05)), "cm": 5e-4}
_MOST = {"deg": float(np.radians(30.0)), "cm": 0.12}
"""Rad and m: a piece that would have to change by more does not mend the strike (our choice)."""
_SECANTS = 6
_MET, _NEAR = 1e-6, 1e-3
"""m: a club this near the ball's height meets it; left this near by the last secant, it counts as meeting it."""


@dataclass(frozen=True)
class StrikeCauses:
    """Causes of strikes of batch shape ``(...)``; outcomes are `OUTCOMES` in m and rad, pieces ``DEPARTURES``.

    Attributes:
        arc: the strike.
        centred: of this golfer's centred swing.
        off: ``(..., 8)`` rad or m, what is asked at impact beyond the centred swing.
        share: ``(..., 8, 6)`` of each piece in the strike less the centred one; they add up to it.
        slope: ``(..., 8, 6)`` per rad or m more of each piece at impact, the others staying as they are.
        neck_slope: ``(..., 6, 3)`` per m that the base of the neck goes toward ball, target and up with all it carries.
        mends: ``(..., 8)`` rad or m, how much more of this piece alone brings the club to the ball's height; NaN where
            no sensible amount does.
        then: ``(..., 8, 6)`` what the strike then comes to.
    """

    arc: Arc
    centred: Arc
    off: Array
    share: Array
    slope: Array
    neck_slope: Array
    mends: Array
    then: Array


def strike_causes(
    body: Body, address: Address, pieces: Pieces, impact: Impact, head: HeadPlace | None = None
) -> StrikeCauses:
    """Causes of strikes; arguments and errors are those of `strike`."""
    swing = Striking.of(body, address, pieces, impact, head)
    reference = swing.centred(impact)
    own, usual = swing.wish.plain, reference.wish.plain
    size, count = len(DEPARTURES), swing.delivery.far.size
    off = np.stack([own[name] - usual[name] for name in DEPARTURES])
    players = [k for k in range(size) if np.any(np.abs(off[k]) > SAME)]

    def more(amounts: Array) -> Arc:
        """The arcs of ``K`` askings, ``amounts (K, 8, B)`` more than those of the swing."""
        asked = {name: np.repeat(own[name][None], len(amounts), axis=0) for name in PIECES}
        for k, name in enumerate(DEPARTURES):
            asked[name] = asked[name] + np.repeat(amounts[:, k], WAYS.size, axis=-1)
        return swing.arcs(asked)

    share = np.zeros((count, size, len(OUTCOMES)))
    if players:
        sets = 2 ** len(players)
        present = np.array([[number >> k & 1 for k in range(len(players))] for number in range(sets)], dtype=bool)
        asked = {name: np.repeat(usual[name][None], sets, axis=0) for name in PIECES}
        for column, k in enumerate(players):
            asked[DEPARTURES[k]][present[:, column]] = own[DEPARTURES[k]]
        for k, value in zip(players, shapley(_outcomes(swing.arcs(asked))), strict=True):
            share[:, k] = value

    step = np.array([_HALF_STEP[PIECES[name].unit] for name in DEPARTURES])
    each = (np.eye(size) * step)[:, :, None] * np.ones(count)
    slope = _outcomes(more(np.concatenate([each, -each])))
    slope = (slope[:size] - slope[size:]) / (2.0 * step[:, None, None])
    arc = swing.arc()
    mends, then = _mended(more, slope, arc)

    def shaped(values: Array) -> Array:
        return np.asarray(values.reshape(*swing.batch, *values.shape[1:]))

    at_ball = off.reshape(size, count, WAYS.size)
    return StrikeCauses(
        arc=arc,
        centred=reference.arc(),
        off=shaped(np.moveaxis(at_ball[:, :, int(np.abs(WAYS - 1.0).argmin())], 0, -1)),
        share=shaped(share),
        slope=shaped(np.moveaxis(slope, 0, 1)),
        neck_slope=_by_neck(arc),
        mends=shaped(mends.T),
        then=shaped(np.moveaxis(then, 0, 1)),
    )


def _outcomes(arc: Arc) -> Array:
    """`OUTCOMES` of arcs ``(...)`` as ``(..., 6)``."""
    return np.stack([np.asarray(getattr(arc, name)) for name in OUTCOMES], axis=-1)


def _by_neck(arc: Arc) -> Array:
    """``(..., 6, 3)``: the whole path is shifted, so what it is at the ball is what it was that much earlier on it."""
    nothing, one = np.zeros_like(arc.up), np.ones_like(arc.up)
    down, aside = np.tan(arc.descent) / np.cos(arc.outward), np.tan(arc.outward)
    toward_ball = [nothing, nothing, nothing, one, nothing, nothing]
    toward_target = [one, nothing, down, -aside, -arc.descent_by_along, -arc.outward_by_along]
    up = [nothing, one, one, nothing, nothing, nothing]
    return np.stack([np.stack(way, axis=-1) for way in (toward_ball, toward_target, up)], axis=-1)


def _mended(more: Callable[[Array], Arc], slope: Array, arc: Arc) -> tuple[Array, Array]:
    """How much of each piece brings the club to the ball's height, ``(8, B)``, and the outcomes then, ``(8, B, 6)``.

    Secants on the true chain from the slope; a piece whose slope points nowhere sensible mends nothing.
    """
    size, count = slope.shape[:2]
    up = list(OUTCOMES).index("up")
    most = np.array([_MOST[PIECES[name].unit] for name in DEPARTURES])[:, None]
    before, missed = np.zeros((size, count)), np.broadcast_to(arc.up.reshape(-1), (size, count))
    steep = slope[:, :, up]
    amount = np.clip(-missed / np.where(steep == 0.0, np.inf, steep), -most, most)
    found = np.full((size, count, len(OUTCOMES)), np.nan)
    for _ in range(_SECANTS):
        found = _outcomes(more(np.eye(size)[:, :, None] * amount[:, None]))
        now = found[:, :, up]
        run = now - missed
        step = np.where(run == 0.0, 0.0, -now * (amount - before) / np.where(run == 0.0, 1.0, run))
        before, missed = amount, now
        amount = np.where(np.abs(now) < _MET, amount, np.clip(amount + step, -most, most))
    met = (np.abs(missed) < _NEAR) & (np.abs(before) < most)
    return np.where(met, before, np.nan), np.where(met[:, :, None], found, np.nan)
