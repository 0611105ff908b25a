"""Swings with the faults that the schedule asks for, by bodies that can make them.

What a body cannot do is drawn again, the pattern of faults kept: address and sizes change, never who is at fault.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from ....model.arrays import Array, BoolArray
from ....model.errors import TurnstillError
from ....model.golfer.address import Address
from ....model.golfer.body import Body
from ....model.golfer.club import fitted_club
from ....model.golfer.impact import Impact, centred_at_impact
from ....model.golfer.pieces import DEPARTURES, PIECES, Pieces, Steady, scattered
from ....model.swing.simulate import simulate
from ....model.swing.swing import Swing
from .clubs import CLUBS
from .recipe import ADDRESS_KEYS, IMPACT, MOMENTS, PIECE_KEYS, TOP, Recipe
from .schedule import Pattern

ROUNDS = (1, 3, 6, 10)
"""How many tries are worked out together; nobody who made it in an earlier round is in a later one."""
MOST_TRIES = sum(ROUNDS)
_IN_CM: BoolArray = np.array([PIECES[name].unit == "cm" for name in DEPARTURES])
TO_MODEL: Array = np.where(_IN_CM, 0.01, np.radians(1.0))
"""From degrees and centimetres to rad and m, in the order of ``DEPARTURES``."""
ALLOWED: Array = np.where(_IN_CM, 0.003, np.radians(1.0))
"""A body makes a swing if every departure comes out within this (rad and m)."""
_CENTRED = {TOP: Pieces(), IMPACT: centred_at_impact()}


_SOUND = Pattern((), ())


@dataclass(frozen=True)
class Try:
    """One way to make a swing.

    Attributes:
        address: no batch axes.
        departures: of each posture that the swing goes to, ``(8,)`` rad and m.
        number: from 1, how many it was.
    """

    address: Address
    departures: Mapping[str, Array]
    number: int


@dataclass(frozen=True)
class Wanted:
    """A swing to be found.

    Attributes:
        body: no batch axes.
        pattern: what has to be at fault.
        club: a key of ``CLUBS``.
        seed: spawn key of its tries.
    """

    body: Body
    pattern: Pattern
    club: str
    seed: tuple[int, ...]


@dataclass(frozen=True)
class Found:
    """A swing that was found.

    Attributes:
        swing: ``MOMENTS`` moments to the top, right-handed, no batch axes.
        faults: the pieces at fault: those asked for, or, where no try was good, those that came out as faults.
        departures: ``(8,)`` rad and m, as they come out where the faults are.
        tries: how many it took.
    """

    swing: Swing
    faults: tuple[str, ...]
    departures: Array
    tries: int


def find(recipe: Recipe, wanted: Sequence[Wanted]) -> list[Found]:
    """The swings of golfers who are worked out together.

    After ``MOST_TRIES`` the nearest that stood is kept, and its faults are what it really does.
    """
    best: list[tuple[float, Try | None]] = [(np.inf, None)] * len(wanted)
    first = 1
    for tries in ROUNDS:
        left = [k for k, (miss, _) in enumerate(best) if miss > 1.0]
        rows = []
        for k in left:
            usual = _with_club(wanted[k])
            rows += [(k, _draw(recipe, wanted[k], usual, first + one)) for one in range(tries)]
        misses = _misses([wanted[k].body for k, _ in rows], [one for _, one in rows])
        for (k, one), miss in zip(rows, misses, strict=True):
            # The first that is good, else the nearest.
            if best[k][0] > 1.0 and miss < best[k][0]:
                best[k] = (float(miss), one)
        first += tries
    # Who cannot stand in any way that was tried stands as most do and turns as most do.
    none = dict.fromkeys(_postures(recipe), np.zeros(len(DEPARTURES)))
    chosen = [one or Try(_usual(who), none, first) for who, (_, one) in zip(wanted, best, strict=True)]
    swings = _performed([who.body for who in wanted], chosen, MOMENTS)
    found = []
    for k, (who, one, (miss, _)) in enumerate(zip(wanted, chosen, best, strict=True)):
        swing = swings[k]
        departed = _departed(swing, recipe.swing.faults_at)
        faults = who.pattern.pieces if miss <= 1.0 else _really(recipe, departed)
        found.append(Found(swing, faults, departed, min(one.number, MOST_TRIES)))
    return found


def _usual(who: Wanted) -> Address:
    return Address(club_length=float(fitted_club(who.body)))


def _with_club(who: Wanted) -> Address:
    """How most stand with the club."""
    usual, club = _usual(who), CLUBS[who.club]
    length = float(np.asarray(usual.club_length)) + club.length_m - CLUBS["mid-iron"].length_m
    return usual.replace(ball_position=club.ball_m, club_length=length)


def _draw(recipe: Recipe, who: Wanted, usual: Address, number: int) -> Try:
    rng = np.random.default_rng(np.random.SeedSequence(recipe.seed, spawn_key=(*who.seed, number)))
    changes = {}
    for key, name in ADDRESS_KEYS.items():
        per_unit = 0.01 if key.endswith("_cm") else np.radians(1.0)
        changes[name] = float(getattr(usual, name) + scattered(rng, 1, getattr(recipe.address, key) * per_unit)[0])
    at_fault = recipe.swing.faults_at
    drawn = {at: _amounts(recipe, who.pattern if at == at_fault else _SOUND, rng) for at in _postures(recipe)}
    return Try(usual.replace(**changes), drawn, number)


def _postures(recipe: Recipe) -> tuple[str, ...]:
    """Where a swing of the recipe is held to what was drawn."""
    return (TOP, IMPACT) if recipe.swing.goes_on else (TOP,)


def _amounts(recipe: Recipe, pattern: Pattern, rng: np.random.Generator) -> Array:
    """``(8,)`` rad and m: departures with the pattern's faults, all others wandering."""
    amounts = np.zeros(len(DEPARTURES))
    for k, key in enumerate(PIECE_KEYS):
        where, spread = rng.uniform(0.0, 1.0), getattr(recipe.swing.pieces, key)
        amounts[k] = (2.0 * where - 1.0) * spread.wander
        if DEPARTURES[k] in pattern.pieces:
            more = pattern.too_much[pattern.pieces.index(DEPARTURES[k])]
            low, high = spread.more if more else spread.less
            amounts[k] = (1.0 if more else -1.0) * (low + where * (high - low))
    return amounts * TO_MODEL


def _performed(bodies: Sequence[Body], tries: Sequence[Try], frames: int) -> Swing:
    """Swings of several bodies, one batch axis.

    Raises:
        TurnstillError: where one of them cannot stand at all.
    """
    asked = {at: _asked(at, np.stack([one.departures[at] for one in tries])) for at in tries[0].departures}
    impact = Impact(asked[IMPACT]) if IMPACT in asked else None
    addresses = Address.stack([one.address for one in tries])
    return simulate(Body.stack(bodies), addresses, asked[TOP], frames=frames, impact=impact)


def _asked(at: str, departures: Array) -> Pieces:
    """The pieces of one posture with ``(N, 8)`` rad and m of departures."""
    of = dict(zip(DEPARTURES, departures.T, strict=True))
    centred = _CENTRED[at]
    pieces = {name: getattr(centred, name) + value for name, value in of.items() if name not in ("tilt", "extension")}
    return Pieces(**pieces, tilt=Steady(of["tilt"]), extension=Steady(of["extension"]))


def _misses(bodies: Sequence[Body], tries: Sequence[Try]) -> Array:
    """``(N,)`` how far the worst departure of each try comes out from what was drawn, 1 being allowed; inf where the
    address cannot be.
    """
    if not tries:
        return np.zeros(0)
    try:
        swing = _performed(bodies, tries, 2)
    except TurnstillError:  # One of them does not reach feet or ball: then each half alone.
        if len(tries) == 1:
            return np.array([np.inf])
        half = len(tries) // 2
        return np.concatenate([_misses(bodies[:half], tries[:half]), _misses(bodies[half:], tries[half:])])
    postures = tries[0].departures
    drawn = np.stack([[one.departures[at] for at in postures] for one in tries])
    found = np.stack([_departed(swing, at) for at in postures], axis=-2)
    off = (np.abs(found - drawn) / ALLOWED).max(axis=-2)
    sound = swing.address_balanced & swing.converged.all(axis=-1)
    return np.asarray(np.where(sound, off.max(axis=-1), np.inf))


def _departed(swing: Swing, at: str) -> Array:
    """``(..., 8)`` rad and m: what the pieces come out as at a posture, beyond what holds the head or is centred."""
    moment = swing.at_impact if at == IMPACT else swing.at_top
    due = [swing.steady[n][..., moment] if n in swing.steady else getattr(_CENTRED[at], n) for n in DEPARTURES]
    return np.stack([swing.achieved[n][..., moment] - one for n, one in zip(DEPARTURES, due, strict=True)], axis=-1)


def _really(recipe: Recipe, departed: Array) -> tuple[str, ...]:
    """The pieces that came out as faults, to within what is allowed."""
    found = []
    for name, key, amount, allowed, unit in zip(DEPARTURES, PIECE_KEYS, departed, ALLOWED, TO_MODEL, strict=True):
        size = getattr(recipe.swing.pieces, key)
        if amount >= size.more[0] * unit - allowed or amount <= -(size.less[0] * unit - allowed):
            found.append(name)
    return tuple(found)


def left_handed(found: Found, mirror: bool) -> Found:
    """The same, mirrored where its golfer is left-handed."""
    from ....model.swing.simulate import mirrored

    return replace(found, swing=mirrored(found.swing)) if mirror else found
