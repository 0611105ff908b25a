"""The steady map: where the head ends up at the top for any amounts of two pieces, the others kept.

The other pieces keep the plain numbers that the swing asks for at the top, tilt and extension as well: a place on the
map is the swing that `simulate` makes of its numbers. Legs are solved once for each combination of leg pieces, and the
turn a trunk can make once for each of these and each shoulder turn.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array, BoolArray
from ..chain.golfers import LEG_PIECES, Golfers
from ..chain.steady import STILL_M
from ..chain.trunk import BEND
from ..errors import TurnstillError
from ..golfer.pieces import PIECES
from ..swing.swing import Swing
from .head_asked import OUTCOMES, STOPS, TrunkAsked, answer

_HELD_BY = (*LEG_PIECES, "shoulder_turn")
"""Pieces that the turn which a trunk can make depends on, tilt and extension being free to help."""
_OF_TRUNK = ("tilt", "extension")


@dataclass(frozen=True)
class SteadyMap:
    """Heads on a grid of two pieces; the swing's batch shape is ``...``, the grid ``(Y, X)``.

    Attributes:
        x, y: names of the pieces.
        x_values, y_values: ``(X,)`` and ``(Y,)`` rad or m.
        outcome: ``(..., Y, X, 4)`` ``OUTCOMES``: the head since address in m, the inclination in space in rad. Where a
            range does not allow what is asked, the nearest it does allow.
        stopped: ``(..., Y, X, len(STOPS))`` whether that range keeps a cell from what it asks.
        converged: ``(..., Y, X)``.
        place: ``(..., 2)`` what the swing asks of x and y.
        steady: ``(..., 2)`` the same, tilt and extension being what holds the head for this swing's turn.
        wanted: ``(..., 2)`` m, where the head is wanted from its place at address: toward the target, up.
    """

    x: str
    y: str
    x_values: Array
    y_values: Array
    outcome: Array
    stopped: BoolArray
    converged: BoolArray
    place: Array
    steady: Array
    wanted: Array

    @property
    def stop_names(self) -> tuple[str, ...]:
        """Names of the last axis of ``stopped``."""
        return STOPS

    @property
    def reached(self) -> BoolArray:
        """``(..., Y, X)`` whether every joint allows what the cell asks."""
        return np.asarray(~self.stopped.any(axis=-1) & self.converged)

    @property
    def toward_target(self) -> Array:
        """``(..., Y, X)`` m."""
        return np.asarray(self.outcome[..., OUTCOMES.index("head_toward_target")])

    @property
    def up(self) -> Array:
        """``(..., Y, X)`` m."""
        return np.asarray(self.outcome[..., OUTCOMES.index("head_up")])

    @property
    def toward_ball(self) -> Array:
        """``(..., Y, X)`` m."""
        return np.asarray(self.outcome[..., OUTCOMES.index("head_toward_ball")])

    @property
    def away(self) -> tuple[Array, Array]:
        """Both ``(..., Y, X)`` m, from where the head is wanted: toward the target, and up."""
        wanted = self.wanted[..., None, None, :]
        return np.asarray(self.toward_target - wanted[..., 0]), np.asarray(self.up - wanted[..., 1])

    @property
    def off(self) -> Array:
        """``(..., Y, X)`` m, how far the head is from where it is wanted as seen face-on, both ways together."""
        return np.hypot(*self.away)

    @property
    def still(self) -> BoolArray:
        """``(..., Y, X)`` whether the head stays in the still band and the joints allow it."""
        return np.asarray((self.off <= STILL_M) & self.reached)


def steady_map(swing: Swing, x: str, y: str, x_values: Array, y_values: Array) -> SteadyMap:
    """Where the head ends up at the top for every pair of amounts.

    Args:
        swing: of `simulate`, batch shape ``(...)``: whose body, address and other pieces.
        x: a name of ``turnstill.model.golfer.pieces.PIECES``.
        y: another.
        x_values: ``(X,)`` rad or m.
        y_values: ``(Y,)`` rad or m.

    Raises:
        TurnstillError: for an unknown piece, or the same one twice.
    """
    for name in (x, y):
        if name not in PIECES:
            raise TurnstillError(f"A map is of two of {', '.join(PIECES)}, not {name!r}.")
    if x == y:
        raise TurnstillError(f"A map is of two different pieces, not of {x} twice.")
    x_values, y_values = np.asarray(x_values, dtype=float), np.asarray(y_values, dtype=float)
    batch = swing.met.shape[:-1]
    golfers = Golfers.at_address(swing.body, swing.address, batch)
    count = golfers.stance.balanced.size
    at_top = {name: swing.asked[name][..., -1].reshape(-1) for name in PIECES}

    def grid(pieces: tuple[str, ...]) -> tuple[int, int, int]:
        """Golfers, and the part of the map over which any of these pieces differs."""
        return count, (y_values.size if y in pieces else 1), (x_values.size if x in pieces else 1)

    def of_golfer(part: tuple[int, int, int]) -> NDArray[np.intp]:
        return np.repeat(np.arange(count), part[1] * part[2])

    def asked(name: str, part: tuple[int, int, int]) -> Array:
        own = {x: x_values[None, None, :], y: y_values[None, :, None]}.get(name, at_top[name][:, None, None])
        return np.broadcast_to(own, part).reshape(-1)

    legs, turns = grid(LEG_PIECES), grid(_HELD_BY)
    lower = golfers.moments(of_golfer(legs)).lower({name: asked(name, legs) for name in LEG_PIECES})
    moments = golfers.moments(of_golfer(turns))
    kept = {name: at_top[name][of_golfer(turns)] for name in _OF_TRUNK}

    def of_trunk(own: dict[str, float]) -> TrunkAsked:
        amount = {name: np.full_like(value, own[name]) if name in own else value for name, value in kept.items()}
        return TrunkAsked(0, amount["tilt"], moments.ribcage_at_address[BEND] - amount["extension"])

    across = [{x: value} for value in x_values] if x in _OF_TRUNK else [{}]
    upward = [{y: value} for value in y_values] if y in _OF_TRUNK else [{}]
    wishes = [of_trunk({**one, **two}) for one in upward for two in across]
    wanted = swing.head_wanted[..., -1, :].reshape(-1, 3)
    found = answer(
        moments, lower[_spread(legs, turns)], [asked("shoulder_turn", turns)], wishes, wanted[of_golfer(turns)]
    )

    def on_map(values: NDArray[Any]) -> NDArray[Any]:
        """From wishes on moments to the map: each of its sides is either the wishes' or the moments'."""
        apart = values.reshape(len(upward), len(across), *turns, -1).transpose(2, 0, 3, 1, 4, 5)
        return apart.reshape(*batch, y_values.size, x_values.size, -1)

    held = {name: swing.steady.get(name, swing.asked[name])[..., -1] for name in (x, y)}
    return SteadyMap(
        x=x,
        y=y,
        x_values=x_values,
        y_values=y_values,
        outcome=on_map(found.outcome),
        stopped=on_map(found.stopped),
        converged=on_map(found.converged)[..., 0],
        place=np.stack([swing.asked[name][..., -1] for name in (x, y)], axis=-1),
        steady=np.stack([held[x], held[y]], axis=-1),
        wanted=swing.head_wanted[..., -1, 1:],
    )


def _spread(part: tuple[int, int, int], whole: tuple[int, int, int]) -> NDArray[np.intp]:
    """For every place of ``whole``, flat, which one of ``part`` belongs to it."""
    return np.broadcast_to(np.arange(np.prod(part)).reshape(part), whole).reshape(-1)
