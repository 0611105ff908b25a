"""The strike: where the club bottoms out and which way it goes at the ball, for what the body does.

For a centred swing of this body the club meets the ball on the way that this golfer's arms make it; in every other
swing the arms do the same relative to the chest (`chain.delivery`), so that what the body did shows. The arms are taken
as they are asked, as if no joint of theirs ended: whether they really reach so far is `simulate`'s to say.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array
from ..batch import Batch, common_batch
from ..chain.delivery import Delivery, clubhead
from ..chain.girdle import Girdle
from ..chain.golfers import LEG_PIECES, Golfers, Moments
from ..chain.trunk import BEND
from ..chain.walk import OnHeld
from ..golfer.address import Address
from ..golfer.body import Body
from ..golfer.head_place import HeadPlace
from ..golfer.impact import GIVEN_BACK_BY, Impact
from ..golfer.pieces import PIECES, Pieces
from ..swing import stages
from ..swing.asking import Asking, Wishes, asking, held_at_impact
from ..swing.doing import Doing, at_once
from ..swing.phases import Phases
from ..swing.way_back import delivered
from .arc import Arc

FROM, TO = GIVEN_BACK_BY + 0.02, 1.12
"""Ways between which the path is looked at: all that was off at the top is given back there."""

DRAWN = 97
"""Places of a path where it is told or drawn."""
_AT_ONCE = 4096
"""Moments solved in one batch, for memory's sake."""
OUTCOMES: Mapping[str, str] = {
    "low_ahead": "cm", "low_up": "cm", "up": "cm", "out": "cm", "descent": "deg", "outward": "deg",
}  # fmt: skip
"""What a strike comes to, of an `Arc`, with its unit at the border."""


@dataclass(frozen=True)
class _Wishes(Batch):
    """What golfers do by the top, where they want the head there, and what they do by impact."""

    pieces: Pieces
    head: HeadPlace
    impact: Impact


@dataclass(frozen=True)
class Striking:
    """``B`` golfers who are asked for a strike, and can be asked where their clubheads are at any way.

    Attributes:
        batch: of the golfers, flattened to ``B``.
        golfers: at address.
        delivery: how their arms bring the club to the ball.
        wishes: what each does, by the top and by impact.
    """

    batch: tuple[int, ...]
    golfers: Golfers
    delivery: Delivery
    wishes: _Wishes

    @classmethod
    def of(
        cls,
        body: Body,
        address: Address,
        pieces: Pieces,
        impact: Impact | None = None,
        head: HeadPlace | None = None,
        do: Doing = at_once,
    ) -> Striking:
        """Golfers of batch shape ``(...)``; arguments and errors are those of `strike`, ``do`` as of `walked`."""
        impact, head = Impact() if impact is None else impact, HeadPlace() if head is None else head
        batch = common_batch(body=body, address=address, pieces=pieces, impact=impact, head=head)
        golfers = do(stages.stand, body, address, batch)
        wishes = _Wishes(pieces, head, impact).flat(batch)
        return cls(batch, golfers, delivered(golfers, batch, impact, do), wishes)

    @cached_property
    def centred(self) -> Striking:
        """The same golfers' centred swing, as `Impact.centred` has it."""
        return self._centred(self.wishes.impact)

    @cached_property
    def centred_from_address(self) -> Striking:
        """The same with the head held where it was at address."""
        impact = self.wishes.impact
        return self._centred(impact.replace(head=HeadPlace())) if impact.head.elsewhere else self.centred

    def _centred(self, impact: Impact) -> Striking:
        return replace(self, wishes=_Wishes(Pieces(), impact.head, impact.centred()).flat(self.wishes.batch))

    def arc(self) -> Arc:
        """The arc of what they ask."""
        return self._arc

    @cached_property
    def _arc(self) -> Arc:
        return Arc.of(self.places, self.delivery.far.size, (FROM, TO)).reshaped(self.batch)

    @cached_property
    def _at_impact(self) -> OnHeld:
        return held_at_impact(self.golfers, self.wishes.impact.centred().pieces)

    def drawn(self) -> Array:
        """The path of the first of them at `DRAWN` places, ``(DRAWN, 3)`` m from the ball."""
        return self.at(np.linspace(FROM, TO, DRAWN))[0]

    def at(self, ways: Array) -> Array:
        """Their clubheads at ``ways (n,)`` from `FROM` to `TO`, ``(B, n, 3)`` m from the ball."""
        golfer = np.arange(self.delivery.far.size)
        return self.places(golfer, np.broadcast_to(ways, (golfer.size, ways.size)))

    def places(self, golfer: NDArray[np.intp], ways: Array) -> Array:
        """The clubheads of the ``golfer (P,)`` at ``ways (P, n)``: ``(P, n, 3)`` m from the ball."""
        wish = self.asking(golfer, ways)
        return self._clubheads(golfer, ways, wish.moments, wish.on, wish.plain)

    def asking(self, golfer: NDArray[np.intp], ways: Array) -> Asking:
        """What the ``golfer (P,)`` asks of the moments at ``ways (P, n)``."""
        own = self.wishes[golfer]
        wishes = Wishes(own.pieces, None, own.head, own.impact)
        phases = Phases.on_the_way(ways)
        return asking(self.golfers[golfer], golfer.shape, wishes, phases, at_impact=lambda: self._at_impact[golfer])

    def asked_places(self, golfer: NDArray[np.intp], ways: Array, asked: Mapping[str, Array]) -> Array:
        """The same where anything is ``asked`` of them, names of ``PIECES`` to ``(P, n)`` rad or m.

        What asks the same of the legs of a golfer at the same ways stands on the same solved legs.
        """
        legs, _ = _alike(golfer, ways, *(asked[name] for name in LEG_PIECES))
        # Those on the same legs are neighbours, so that hardly any are solved in two blocks.
        order, blocks = np.argsort(legs, kind="stable"), max(1, -(-ways.size // _AT_ONCE))
        found = np.empty((*ways.shape, 3))
        for block in np.array_split(order, blocks):
            found[block] = self._solved(golfer[block], ways[block], {name: asked[name][block] for name in PIECES})
        return found

    def _solved(self, golfer: NDArray[np.intp], ways: Array, asked: Mapping[str, Array]) -> Array:
        """`asked_places` at once."""
        each = np.arange(ways.shape[1])

        def moments_of(rows: NDArray[np.intp]) -> NDArray[np.intp]:
            return np.asarray((rows[:, None] * each.size + each).reshape(-1))

        def flat(name: str, rows: NDArray[np.intp]) -> Array:
            return asked[name][rows].reshape(-1)

        legs, first = _alike(golfer, ways, *(asked[name] for name in LEG_PIECES))
        turns, first_turn = _alike(legs, asked["shoulder_turn"])
        everybody = self.golfers.moments(np.repeat(golfer, each.size))
        standing = everybody[moments_of(first)]
        lower = standing.lower({name: flat(name, first) for name in LEG_PIECES})
        wanted = self.wishes.impact.head.offset((len(self.wishes),))[np.repeat(golfer[first], each.size)]
        on_legs = standing.on(lower, wanted)[moments_of(legs[first_turn])]
        on = on_legs.hold(flat("shoulder_turn", first_turn))[moments_of(turns)]
        every = np.arange(golfer.size)
        return self._clubheads(golfer, ways, everybody, on, {name: flat(name, every) for name in PIECES})

    def _clubheads(
        self, golfer: NDArray[np.intp], ways: Array, moments: Moments, on: OnHeld, asked: Mapping[str, Array]
    ) -> Array:
        """The clubheads of trunks that do what is ``asked ((P x n),)`` on what is solved."""
        upper = on.reach(asked["tilt"], moments.ribcage_at_address[BEND] - asked["extension"])
        nothing = np.zeros_like(asked["tilt"])
        girdle = Girdle.of(moments.body, upper.ribcage, upper.neck_base, upper.girdle, nothing)
        # What the arms did at the top is gone by here.
        carried = self.delivery[np.repeat(golfer, ways.shape[1])].carried(ways.reshape(-1), nothing)
        head = clubhead(girdle, carried, moments.hold.club_length)
        return np.asarray((head - moments.hold.ball).reshape(*ways.shape, 3))


def _alike(*told: Array | NDArray[np.intp]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Rows that are told by the same numbers, ``(P,)`` or ``(P, n)`` each: which kind each is, and a row of each."""
    rows = np.column_stack([np.asarray(one, dtype=float) for one in told])
    _, first, of = np.unique(rows, axis=0, return_index=True, return_inverse=True)
    return of.reshape(-1), first


def strike(
    body: Body, address: Address, pieces: Pieces, impact: Impact | None = None, head: HeadPlace | None = None
) -> Arc:
    """The arc at the ball of swings of batch shape ``(...)``.

    Args:
        body: bodies.
        address: how they stand; a driver or an iron by its club length and ball position.
        pieces: what they do by the top; given back before the ball, so the strike does not depend on it.
        impact: what they do by impact, and where they want the head there; the centred golfer's unless said.
        head: where they want the head at the top; given back like the pieces.

    Raises:
        TurnstillError: an impossible club, or shapes that do not broadcast.
    """
    return Striking.of(body, address, pieces, impact, head).arc()
