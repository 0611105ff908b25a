"""What an amount of one piece does to places that a body can find: a feel told in lengths.

Both swings are simulated, the present one and the one with so much more of the piece, everything else as it was: all
other pieces are asked for in plain numbers, those that the swing asks at the top, tilt and extension too. What moved is
the difference of the two at the top. So a joint's range that stops part of the amount stops its part of the movement.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array, ArrayLike, BoolArray
from ..batch import Batch, Frame, Vector
from ..errors import TurnstillError
from ..golfer.pieces import DEPARTURES, PIECES, Pieces
from ..swing.simulate import simulate
from ..swing.swing import Swing
from .places import places


@dataclass(frozen=True)
class Felt(Batch):
    """What an amount of a piece moves at the top; batch shape ``...``.

    Attributes:
        moved: ``(..., 4, 3)`` m, each of ``places.PLACES``: toward ball, toward target, up, for either hand.
        head: ``(..., 3)`` m, the head's centre, same axes.
        achieved: ``(...)`` rad or m, how much of the amount the joints allow.
        converged: ``(...)`` whether both swings met the solvers' tolerance.
    """

    moved: Frame
    head: Vector
    achieved: Array
    converged: BoolArray

    @property
    def distance(self) -> Array:
        """``(..., 4)`` m, how far each of ``places.PLACES`` goes."""
        return np.asarray(np.linalg.norm(self.moved, axis=-1))


def felt(swing: Swing, piece: str, amount: ArrayLike) -> Felt:
    """What so much more of a piece does at the top.

    Args:
        swing: of `simulate`, any batch shape.
        piece: of ``DEPARTURES``.
        amount: rad or m, less where it is negative; it broadcasts with the swing's batch.

    Raises:
        TurnstillError: for a piece there is not.
    """
    if piece not in DEPARTURES:
        raise TurnstillError(f"The piece was {piece!r}, but must be one of {', '.join(DEPARTURES)}.")
    batch = np.broadcast_shapes(swing.met.shape[:-1], np.shape(amount))
    asked = {name: np.broadcast_to(swing.asked[name][..., -1], (2, *batch)) for name in PIECES}
    # Sums of what may be asked for may go past what may be asked for.
    more = np.stack([np.zeros(batch), np.broadcast_to(np.asarray(amount, dtype=float), batch)])
    pieces = Pieces.unchecked(**asked | {piece: asked[piece] + more})
    both = simulate(swing.body, swing.address, pieces, frames=2)
    there = places(swing.body.broadcast((2, *batch)), both.skeleton)[..., -1, :, :]
    head, got = both.skeleton.joints["head"][..., -1, :], both.achieved[piece][..., -1]
    return Felt(there[1] - there[0], head[1] - head[0], got[1] - got[0], np.asarray(both.converged.all(axis=(0, -1))))
