"""Shares: how much of where the head went each piece did.

The share of a piece is its Shapley value (Shapley 1953, in Contributions to the Theory of Games II, pp. 307-317): the
difference it makes when it is added to those already there, averaged over all orders of adding them. It is the only
division that adds up, treats alike pieces alike and gives nothing to a piece that does nothing. All combinations of
present and absent pieces are computed on the true chain, at every moment, as one batch; those that differ only in
the trunk's pieces stand on the same solved legs.

What is absent is a matter of the question, so there are three references:

- ``steady``: this golfer's centred turn, with the tilt and extension that hold the head for it as plain numbers. Shares
  are what the departures from it did; one changed piece gets everything.
- ``address``: every piece at zero. Valid, but large shares cancel, and a fault is spread over untouched pieces.
- ``turn``: from address too, but shoulder turn counts as a turn about the address spine's own inclined axis, which
  carries its trade of bend for tilt; tilt and extension are what is added to that. It says what holds the head.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import comb
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array, BoolArray
from ..chain.golfers import LEG_PIECES, Golfers
from ..chain.trunk import BEND, TILT
from ..errors import TurnstillError
from ..golfer.pieces import DEPARTURES, HEELS, PIECES, Pieces, Timing
from ..swing.asking import Wishes, asking
from ..swing.phases import Phases
from ..swing.swing import Swing
from .head_asked import OUTCOMES, STOPS, HeadAsked, TrunkAsked, answer, answer_plain, own_axis_turn

STEADY, FROM_ADDRESS, OWN_TURN = "steady", "address", "turn"
REFERENCES = (STEADY, FROM_ADDRESS, OWN_TURN)
SAME = 1e-9
"""rad or m: askings nearer than this are the same; it is what rounding leaves of a steady number."""
_AT_ONCE = 16_384
"""Combinations computed in one batch, for memory's sake."""
_STEP_ANGLE, _STEP_LENGTH = float(np.radians(0.05)), 5e-4
"""Half the step of the central differences of `sensitivities`, rad and m."""


@dataclass(frozen=True)
class Shares:
    """What each piece did of the difference to a reference; arrays of the swing's ``(..., M)``.

    Outcomes are ``OUTCOMES``: the head toward the ball, toward the target, up (m), and the inclination in space (rad).

    Attributes:
        share: ``(..., M, 8, 4)`` of each of ``DEPARTURES``; exactly zero where its asking is that of the reference.
        total: ``(..., M, 4)`` the swing less the reference; the shares add up to it.
        reference: ``(..., M, 4)`` the reference's head since address, and its inclination.
        present: piece to ``(..., M)`` rad or m, what the swing asks of it; with ``turn``, tilt and extension as what
            is added to the turn.
        absent: the same in the reference.
        against: which one that is, one of ``REFERENCES``.
        combinations: for each combination computed, the pieces that are the swing's.
        stopped: ``(..., M, C, len(STOPS))`` whether that range keeps a combination from what it asks.
        converged: ``(..., M)`` whether all combinations met the solvers' tolerance.
    """

    share: Array
    total: Array
    reference: Array
    present: dict[str, Array]
    absent: dict[str, Array]
    against: str
    combinations: tuple[tuple[str, ...], ...]
    stopped: BoolArray
    converged: BoolArray

    @property
    def stop_names(self) -> tuple[str, ...]:
        """Names of the last axis of ``stopped``."""
        return STOPS

    def of(self, piece: str) -> Array:
        """Share ``(..., M, 4)`` of one piece."""
        return np.asarray(self.share[..., DEPARTURES.index(piece), :])


def shares(
    swing: Swing, against: str = STEADY, reference: Pieces | None = None, timing: Timing | None = None
) -> Shares:
    """Exact shares of every piece in where the head went, at every moment of a swing.

    Args:
        swing: of `simulate`, any batch shape.
        against: the reference, see the module.
        reference: for ``steady``: the turn that counts as not departing, the centred pivot of ``Pieces()`` if not
            given. Its fields broadcast with the swing's batch.
        timing: for ``steady``: the timing the swing was simulated with, which the reference then keeps.

    Raises:
        TurnstillError: for an unknown reference.
    """
    if against not in REFERENCES:
        raise TurnstillError(f"Shares are against {', '.join(REFERENCES[:-1])} or {REFERENCES[-1]}, not {against!r}.")
    shape = swing.met.shape
    golfers = Golfers.at_address(swing.body, swing.address, shape[:-1])
    golfer = np.repeat(np.arange(golfers.stance.balanced.size), shape[-1])
    game = _Game.of(swing, against, reference, timing, golfers)
    size = 2 ** len(game.players)
    blocks = np.array_split(np.arange(golfer.size), max(1, -(-golfer.size * size // _AT_ONCE)))
    answers = [game.play(golfers, golfer, block) for block in blocks if block.size]
    outcome = np.concatenate([one.outcome for one in answers], axis=1)
    share = np.zeros((golfer.size, len(DEPARTURES), len(OUTCOMES)))
    for name, values in zip(game.players, shapley(outcome), strict=True):
        # An asking that does not differ makes no difference; this leaves rounding out as well.
        share[:, DEPARTURES.index(name)] = np.where(game.differs(name)[:, None], values, 0.0)
    return Shares(
        against=against,
        share=share.reshape(*shape, *share.shape[1:]),
        total=(outcome[-1] - outcome[0]).reshape(*shape, -1),
        reference=outcome[0].reshape(*shape, -1),
        present={name: value.reshape(shape) for name, value in game.present.items()},
        absent={name: value.reshape(shape) for name, value in game.absent.items()},
        combinations=game.combinations,
        stopped=np.moveaxis(np.concatenate([a.stopped for a in answers], axis=1), 0, 1).reshape(*shape, size, -1),
        converged=np.concatenate([a.converged for a in answers], axis=1).all(axis=0).reshape(shape) & swing.converged,
    )


def shapley(outcome: Array) -> list[Array]:
    """Shapley values of ``n`` players.

    Args:
        outcome: ``(2^n, ...)`` of every coalition; player k is in those whose number has bit k.

    Returns:
        ``n`` arrays ``(...)``. They add up to ``outcome[-1] - outcome[0]``.
    """
    count = len(outcome).bit_length() - 1
    numbers = np.arange(len(outcome))
    size = np.array([int(number).bit_count() for number in numbers])
    values = []
    for k in range(count):
        without = numbers[numbers >> k & 1 == 0]
        # Of all orders, those in which just this coalition of s comes before k: s! (n - s - 1)! / n!.
        weight = np.array([1.0 / (count * comb(count - 1, s)) for s in size[without]])
        values.append(np.tensordot(weight, outcome[without | 1 << k] - outcome[without], 1))
    return values


@dataclass(frozen=True)
class _Game:
    """Who plays, and what each asks when present and when absent; arrays ``(N,)``.

    Coalitions are numbered by bits, the trunk's players first, so that those with the same legs are neighbours.
    ``tilt`` and ``extension`` hold what these two start from when the shoulder turn is absent and when it is present;
    what the players of these names ask is added to that. The head is ``wanted`` at ``(N, 3)`` m from its place at
    address, on which the turn that a trunk can make depends.
    """

    trunk: tuple[str, ...]
    legs: tuple[str, ...]
    present: dict[str, Array]
    absent: dict[str, Array]
    tilt: tuple[Array, Array]
    extension: tuple[Array, Array]
    heels: dict[str, Array]
    wanted: Array

    @classmethod
    def of(cls, swing: Swing, against: str, reference: Pieces | None, timing: Timing | None, golfers: Golfers) -> _Game:
        """The game of a swing by ``golfers``."""
        shape = swing.met.shape
        rest = np.repeat(golfers.stance.ribcage_angles, shape[-1], axis=1)
        present = {name: swing.asked[name].reshape(-1) for name in DEPARTURES}
        nothing = np.zeros(rest.shape[1])
        absent = dict.fromkeys(DEPARTURES, nothing)
        tilt, extension = (rest[TILT], rest[TILT]), (nothing, nothing)
        if against == STEADY:
            pieces = (reference or Pieces()).replace(**{name: getattr(swing.pieces, name) for name in HEELS})
            wishes = Wishes(pieces, timing, swing.head, None if swing.impact is None else swing.impact.centred())
            centred = asking(golfers, shape[:-1], wishes, Phases(swing.progress))
            absent = {name: centred.plain[name] for name in DEPARTURES}
            tilt, extension = (absent["tilt"],) * 2, (absent["extension"],) * 2
        elif against == FROM_ADDRESS:
            absent["tilt"] = rest[TILT]
        else:
            turned, bend = own_axis_turn(rest, present["shoulder_turn"])
            tilt, extension = (rest[TILT], turned), (nothing, rest[BEND] - bend)
            present |= {"tilt": present["tilt"] - turned, "extension": present["extension"] - extension[1]}
        players = [name for name in DEPARTURES if np.any(np.abs(present[name] - absent[name]) > SAME)]
        return cls(
            tuple(name for name in players if name not in LEG_PIECES),
            tuple(name for name in players if name in LEG_PIECES),
            present, absent, tilt, extension, {name: swing.asked[name].reshape(-1) for name in HEELS},
            swing.head_wanted.reshape(-1, 3),
        )  # fmt: skip

    @property
    def players(self) -> tuple[str, ...]:
        """Everyone who plays, in the order of the bits."""
        return self.trunk + self.legs

    @property
    def combinations(self) -> tuple[tuple[str, ...], ...]:
        """The players present in each coalition, in the order of their numbers."""
        return tuple(_members(self.players, number) for number in range(2 ** len(self.players)))

    def differs(self, name: str) -> BoolArray:
        """``(N,)`` where a player asks for something else than the reference."""
        return np.asarray(np.abs(self.present[name] - self.absent[name]) > SAME)

    def play(self, golfers: Golfers, golfer: NDArray[np.intp], block: NDArray[np.intp]) -> HeadAsked:
        """Every coalition at the moments ``block``: arrays ``(2^n, block, ...)``."""
        sets = 2 ** len(self.legs)
        moments = golfers.moments(np.tile(golfer[block], sets))
        on_legs = [self._asked(self.legs, _members(self.legs, number), block) for number in range(sets)]
        asked = {name: np.concatenate([one[name] for one in on_legs]) for name in on_legs[0]}
        asked |= {name: np.tile(rise[block], sets) for name, rise in self.heels.items()}
        lower = moments.lower(asked)
        turns = [np.tile(values["shoulder_turn"][block], sets) for values in (self.absent, self.present)]
        plays = "shoulder_turn" in self.trunk
        wishes = []
        for number in range(2 ** len(self.trunk)):
            there = _members(self.trunk, number)
            turned = not plays or "shoulder_turn" in there
            added = self._asked(self.trunk, there, block)
            tilt = self.tilt[turned][block] + (added["tilt"] - self.absent["tilt"][block])
            extension = self.extension[turned][block] + (added["extension"] - self.absent["extension"][block])
            bend = np.tile(-extension, sets) + moments.ribcage_at_address[BEND]
            wishes.append(TrunkAsked(int(turned and plays), np.tile(tilt, sets), bend))
        found = answer(moments, lower, turns if plays else turns[1:], wishes, np.tile(self.wanted[block], (sets, 1)))

        def by_coalition(values: NDArray[Any]) -> NDArray[Any]:
            apart = values.reshape(len(wishes), sets, block.size, *values.shape[2:])
            return np.moveaxis(apart, 0, 1).reshape(-1, block.size, *values.shape[2:])

        return HeadAsked(by_coalition(found.outcome), by_coalition(found.stopped), by_coalition(found.converged))

    def _asked(self, side: tuple[str, ...], there: tuple[str, ...], block: NDArray[np.intp]) -> dict[str, Array]:
        """What is asked at ``block`` when of the players ``side`` only ``there`` are present."""
        gone = [name for name in side if name not in there]
        return {name: (self.absent if name in gone else self.present)[name][block] for name in DEPARTURES}


def _members(players: tuple[str, ...], number: int) -> tuple[str, ...]:
    return tuple(name for k, name in enumerate(players) if number >> k & 1)


def sensitivities(swing: Swing) -> Array:
    """How far the head goes for a little more of each piece at the top, the others kept as plain numbers.

    One batch of central differences on the true chain, half a step being 0.05 degrees or half a millimetre; where a
    joint's range begins to act within a step, it is the mean of both sides.

    Args:
        swing: of `simulate`, batch shape ``(...)``.

    Returns:
        ``(..., 8, 4)``: ``OUTCOMES`` per rad or m of each of ``DEPARTURES``, tilt and extension as asked at the top.
    """
    shape = swing.met.shape[:-1]
    golfers = Golfers.at_address(swing.body, swing.address, shape)
    count = golfers.stance.balanced.size
    at_top = {name: swing.asked[name][..., -1].reshape(-1) for name in PIECES}
    asked = {name: np.tile(value, 2 * len(DEPARTURES)) for name, value in at_top.items()}
    steps = np.array([_STEP_LENGTH if PIECES[name].unit == "cm" else _STEP_ANGLE for name in DEPARTURES])
    for k, name in enumerate(DEPARTURES):
        for side in (0, 1):
            asked[name][(2 * k + side) * count :][:count] += (2 * side - 1) * steps[k]
    every = np.tile(np.arange(count), 2 * len(DEPARTURES))
    found = answer_plain(golfers, every, asked, swing.head_wanted[..., -1, :].reshape(-1, 3)[every])
    apart = found.outcome[0].reshape(len(DEPARTURES), 2, count, len(OUTCOMES))
    slope = (apart[:, 1] - apart[:, 0]) / (2.0 * steps[:, None, None])
    return np.moveaxis(slope, 0, 1).reshape(*shape, len(DEPARTURES), len(OUTCOMES))
