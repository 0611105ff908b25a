"""What each piece does to the strike: its share of a strike that is off, its slope, and how much of it would mend it.

All count at impact. A piece that is off at the top and given back does nothing here, exactly, so it has no slope.

The reference is this golfer's centred swing, the head held where it is wanted. Trunk angles are taken as plain numbers,
moment by moment, so that a change of one piece is not made good by another that was to hold the head.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array, BoolArray
from ..golfer.address import Address
from ..golfer.body import Body
from ..golfer.head_place import HeadPlace
from ..golfer.impact import Impact
from ..golfer.pieces import DEPARTURES, PIECES, Pieces
from .arc import Arc
from .closing_in import whole_ways
from .shares import SAME, shapley
from .strike import FROM, OUTCOMES, TO, Striking

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
    return causes_of(Striking.of(body, address, pieces, impact, head))


def causes_of(swing: Striking) -> StrikeCauses:
    """Causes of the strikes of golfers who are asked for one."""
    ask = _Askings(_Told(swing), _Told(swing.centred))
    arc, size, count = swing.arc(), len(DEPARTURES), swing.delivery.far.size
    step = np.array([_HALF_STEP[PIECES[name].unit] for name in DEPARTURES])
    there = ask.outcomes(*_each_alone(count, np.concatenate([np.diag(step), -np.diag(step)])))
    more, less = there.reshape(2, size, count, len(OUTCOMES))
    slope = (more - less) / (2.0 * step[:, None, None])
    mends, then = _mended(ask, slope, arc.up.reshape(-1))

    def shaped(values: Array) -> Array:
        """``(8, B, ...)`` as ``(..., 8, ...)``."""
        return np.asarray(np.moveaxis(values, 0, 1).reshape(*swing.batch, size, *values.shape[2:]))

    return StrikeCauses(
        arc=arc,
        centred=swing.centred.arc(),
        off=shaped(ask.off(np.ones(1))[:, :, 0]),
        share=shaped(_shares(ask)),
        slope=shaped(slope),
        neck_slope=_by_neck(arc),
        mends=shaped(mends),
        then=shaped(then),
    )


@dataclass(frozen=True)
class _Told:
    """What golfers ask, as plain numbers; what was asked once is not worked out again."""

    striking: Striking
    known: dict[tuple[int, float, float], Array] = field(default_factory=dict)

    def plain(self, golfer: NDArray[np.intp], ways: Array) -> dict[str, Array]:
        """What the ``golfer (P,)`` asks at ``ways (P, n)``, known by their ends: names of ``PIECES`` to ``(P, n)``."""
        keys = list(zip(golfer.tolist(), ways[:, 0].tolist(), ways[:, -1].tolist(), strict=True))
        new = {key: row for row, key in enumerate(keys) if key not in self.known}
        if new:
            rows = np.array(list(new.values()))
            asked = self.striking.asking(golfer[rows], ways[rows]).plain
            told = np.stack([asked[name].reshape(ways[rows].shape) for name in PIECES], axis=1)
            self.known.update(zip(new, told, strict=True))
        told = np.stack([self.known[key] for key in keys])
        return {name: told[:, k] for k, name in enumerate(PIECES)}


@dataclass(frozen=True)
class _Askings:
    """Swings that ask this golfer's or the centred golfer's of each piece, and more of it.

    Attributes:
        own: the swing.
        usual: the same golfers' centred swing.
    """

    own: _Told
    usual: _Told

    def outcomes(self, golfer: NDArray[np.intp], more: Array, own: BoolArray | None = None) -> Array:
        """`OUTCOMES` ``(R, 6)`` of ``R`` askings.

        Args:
            golfer: ``(R,)`` whose.
            more: ``(R, 8)`` rad or m of each of ``DEPARTURES`` more.
            own: ``(R, 8)`` whether a piece is the swing's or, plainly, the centred one's; the swing's if not said.
        """

        def places(row: NDArray[np.intp], ways: Array) -> Array:
            asked = self.own.plain(golfer[row], ways)
            usual = asked if own is None else self.usual.plain(golfer[row], ways)
            for k, name in enumerate(DEPARTURES):
                taken = asked[name] if own is None else np.where(own[row, k, None], asked[name], usual[name])
                asked[name] = taken + more[row, k, None]
            return self.own.striking.asked_places(golfer[row], ways, asked)

        arc = Arc.of(places, golfer.size, (FROM, TO))
        return np.stack([np.asarray(getattr(arc, name)) for name in OUTCOMES], axis=-1)

    def off(self, ways: Array) -> Array:
        """How much more the swing asks than the centred one at ``ways (n,)``, ``(8, B, n)`` rad or m."""
        golfer = np.arange(self.own.striking.delivery.far.size)
        each = np.broadcast_to(ways, (golfer.size, ways.size))
        own, usual = (one.plain(golfer, each) for one in (self.own, self.usual))
        return np.stack([own[name] - usual[name] for name in DEPARTURES])


def _each_alone(count: int, amounts: Array) -> tuple[NDArray[np.intp], Array]:
    """Golfers and ``amounts (K, 8)`` of ``K`` askings of ``count`` golfers each, one asking after the other."""
    return np.tile(np.arange(count), len(amounts)), np.repeat(amounts, count, axis=0)


def _shares(ask: _Askings) -> Array:
    """Shares of the pieces ``(8, B, 6)``: every coalition of those that are off in any golfer is asked for."""
    off = np.any(np.abs(ask.off(whole_ways((FROM, TO)))) > SAME, axis=2)
    players, count = np.flatnonzero(off.any(axis=1)), off.shape[1]
    share = np.zeros((*off.shape, len(OUTCOMES)))
    if players.size:
        own = np.zeros((2**players.size, len(DEPARTURES)), dtype=bool)
        own[:, players] = np.arange(len(own))[:, None] >> np.arange(players.size) & 1
        golfer, nothing = _each_alone(count, np.zeros(own.shape))
        found = ask.outcomes(golfer, nothing, np.repeat(own, count, axis=0)).reshape(len(own), count, -1)
        share[players] = np.where(off[players, :, None], shapley(found), 0.0)
    return share


def _by_neck(arc: Arc) -> Array:
    """``(..., 6, 3)``: the whole path is shifted, so what it is at the ball is what it was that much earlier on it."""
    nothing, one = np.zeros_like(arc.up), np.ones_like(arc.up)
    down, aside = np.tan(arc.descent) / np.cos(arc.outward), np.tan(arc.outward)
    toward_ball = [nothing, nothing, nothing, one, nothing, nothing]
    toward_target = [one, nothing, down, -aside, -arc.descent_by_along, -arc.outward_by_along]
    up = [nothing, one, one, nothing, nothing, nothing]
    return np.stack([np.stack(way, axis=-1) for way in (toward_ball, toward_target, up)], axis=-1)


def _mended(ask: _Askings, slope: Array, up: Array) -> tuple[Array, Array]:
    """How much of each piece brings clubs that are ``up (B,)`` m to the ball's height, ``(8, B)``, and the outcomes
    then, ``(8, B, 6)``.

    Secants on the true chain from the ``slope (8, B, 6)``; a piece whose slope points nowhere sensible mends nothing.
    """
    size, count = slope.shape[:2]
    height = list(OUTCOMES).index("up")
    most = np.repeat([_MOST[PIECES[name].unit] for name in DEPARTURES], count)
    piece, golfer = np.divmod(np.arange(size * count), count)
    steep, missed, before = slope[:, :, height].reshape(-1), np.tile(up, size), np.zeros(size * count)
    amount = np.clip(-missed / np.where(steep == 0.0, np.inf, steep), -most, most)
    found = np.full((size * count, len(OUTCOMES)), np.nan)
    open_ = np.arange(size * count)
    for _ in range(_SECANTS):
        more = np.eye(size)[piece[open_]] * amount[open_, None]
        found[open_] = ask.outcomes(golfer[open_], more)
        now = found[open_, height]
        run = now - missed[open_]
        step = np.where(run == 0.0, 0.0, -now * (amount - before)[open_] / np.where(run == 0.0, 1.0, run))
        before[open_], missed[open_] = amount[open_], now
        amount[open_] = np.clip(amount[open_] + step, -most[open_], most[open_])
        open_ = open_[(np.abs(now) >= _MET) & (amount[open_] != before[open_])]
        if not open_.size:
            break
    met = (np.abs(missed) < _NEAR) & (np.abs(before) < most)
    shape = (size, count)
    return np.where(met, before, np.nan).reshape(shape), np.where(met[:, None], found, np.nan).reshape(*shape, -1)
