"""The strike: where the club bottoms out and which way it goes at the ball, for what the body does.

For a centred swing of this body the club meets the ball on the way that this golfer's arms make it; in every other
swing the arms do the same relative to the chest (`chain.delivery`), so that what the body did shows. The arms are taken
as they are asked, as if no joint of theirs ended: whether they really reach so far is `simulate`'s to say.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..batch import common_batch
from ..chain.delivery import Delivery, clubhead
from ..chain.girdle import Girdle
from ..chain.golfers import LEG_PIECES, Golfers, Moments
from ..chain.trunk import BEND
from ..chain.walk import OnHeld
from ..golfer.address import Address
from ..golfer.body import Body
from ..golfer.head_place import HeadPlace
from ..golfer.impact import GIVEN_BACK_BY, Impact
from ..golfer.pieces import Pieces
from ..swing import stages
from ..swing.asking import Asking, Wishes, asking
from ..swing.doing import Doing, at_once
from ..swing.phases import Phases
from ..swing.way_back import delivered
from .arc import NODES, Arc, along

FROM, TO = GIVEN_BACK_BY + 0.02, 1.12
"""Ways between which the path is looked at: all that was off at the top is given back there."""
WAYS: Array = FROM + 0.5 * (NODES + 1.0) * (TO - FROM)


OUTCOMES: Mapping[str, str] = {
    "low_ahead": "cm", "low_up": "cm", "up": "cm", "out": "cm", "descent": "deg", "outward": "deg",
}  # fmt: skip
"""What a strike comes to, of an `Arc`, with its unit at the border."""


@dataclass(frozen=True)
class Striking:
    """``B`` golfers who are asked for a strike, once or in many ways; moments are theirs at `WAYS`, one after another.

    Attributes:
        batch: of the golfers, flattened to ``B``.
        golfers: at address.
        delivery: how their arms bring the club to the ball.
        wish: what they ask of every moment.
    """

    batch: tuple[int, ...]
    golfers: Golfers
    delivery: Delivery
    wish: Asking

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
        wish = asking(golfers, batch, Wishes(pieces, None, head, impact), Phases.on_the_way(WAYS), do)
        return cls(batch, golfers, delivered(golfers, batch, impact, do), wish)

    def centred(self, impact: Impact) -> Striking:
        """The same golfers' centred swing, as `Impact.centred` has it."""
        wishes = Wishes(Pieces(), None, impact.head, impact.centred())
        wish = asking(self.golfers, self.batch, wishes, Phases.on_the_way(WAYS))
        return Striking(self.batch, self.golfers, self.delivery, wish)

    def arc(self) -> Arc:
        """The arc of what they ask."""
        return Arc.of(self.path()).reshaped(self.batch)

    def path(self) -> Array:
        """Their clubheads at `WAYS`, ``(B, POINTS, 3)`` m from the ball."""
        return self._path(self.wish.moments, self.wish.on, self.wish.plain, 1)

    def at(self, ways: Array) -> Array:
        """Their clubheads at ``ways (n,)`` from `FROM` to `TO`, ``(B, n, 3)`` m from the ball."""
        return along(self.path(), 2.0 * (ways - FROM) / (TO - FROM) - 1.0)

    def arcs(self, asked: Mapping[str, Array]) -> Arc:
        """The arcs, batch shape ``(K, B)``, of ``K`` plain askings of every moment.

        Args:
            asked: names of ``PIECES`` to ``(K, B x POINTS)`` rad or m.
        """
        count = len(asked["tilt"])
        flat = {name: values.reshape(-1) for name, values in asked.items()}
        moments = self.wish.moments[np.tile(np.arange(flat["tilt"].size // count), count)]
        on = moments.on(moments.lower({name: flat[name] for name in LEG_PIECES})).hold(flat["shoulder_turn"])
        return Arc.of(self._path(moments, on, flat, count)).reshaped((count, self.delivery.far.size))

    def _path(self, moments: Moments, on: OnHeld, asked: Mapping[str, Array], count: int) -> Array:
        """The clubheads of ``count`` times ``B`` golfers, ``(count x B, POINTS, 3)`` m from the ball."""
        upper = on.reach(asked["tilt"], moments.ribcage_at_address[BEND] - asked["extension"])
        nothing = np.zeros_like(asked["tilt"])
        girdle = Girdle.of(moments.body, upper.ribcage, upper.neck_base, upper.girdle, nothing)
        # What the arms did at the top is gone by here.
        each = np.tile(np.repeat(np.arange(self.delivery.far.size), WAYS.size), count)
        carried = self.delivery[each].carried(np.tile(WAYS, each.size // WAYS.size), nothing)
        head = clubhead(girdle, carried, moments.hold.club_length)
        return (head - moments.hold.ball).reshape(-1, WAYS.size, 3)


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
