"""What pieces come to, moment by moment, as plain numbers.

Amounts grow with the swing; steady tilt and extension are worked out on the legs that the other pieces lead to.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import Array, ArrayLike
from ..chain.golfers import LEG_PIECES, Golfers, Moments
from ..chain.lower_body import LowerBody
from ..chain.trunk import BEND, TILT
from ..chain.walk import OnHeld
from ..errors import OutOfRange
from ..golfer.pieces import PIECES, Pieces, Steady, Timing, departs, share_done
from . import stages
from .stages import Doing, at_once

MOST_FRAMES = 100_001


@dataclass(frozen=True)
class Asking:
    """Every moment of every golfer, one entry of a flat batch of ``N`` each.

    Attributes:
        moments: of whom.
        plain: names of ``PIECES`` to ``(N,)`` rad or m.
        lower: legs and pelvis that do what is asked of them.
        on: what keeps the head still on these legs.
    """

    moments: Moments
    plain: Mapping[str, Array]
    lower: LowerBody
    on: OnHeld


def asking(
    golfers: Golfers,
    batch: tuple[int, ...],
    pieces: Pieces,
    timing: Timing | None,
    frames: int,
    do: Doing = at_once,
) -> Asking:
    """What pieces ask of golfers from address to the top.

    Args:
        golfers: of batch shape ``batch``, flattened.
        batch: with which the pieces broadcast.
        pieces: what they do by the top.
        timing: when each piece is done; evenly if not said.
        frames: number of moments, evenly spaced in progress.
        do: how the stages are done.

    Raises:
        TurnstillError: an impossible number of moments or timing.
    """
    if not 2 <= frames <= MOST_FRAMES:
        raise OutOfRange("frames", frames, 2, MOST_FRAMES)
    progress = np.linspace(0.0, 1.0, frames)
    share = {name: share_done(timing, name, progress) for name in PIECES}
    top = {name: np.broadcast_to(value, batch).reshape(-1, 1) for name, value in pieces.amounts().items()}
    asked = {name: (top[name] * share[name]).reshape(-1) for name in PIECES}

    count = golfers.stance.balanced.size
    moments = do(stages.spread, golfers, frames)
    lower = do(stages.turn_hips, moments, {name: asked[name] for name in LEG_PIECES})
    on = do(stages.hold_head, moments, lower, asked["shoulder_turn"])
    held = on.held
    rest, nothing = moments.ribcage_at_address, np.zeros(count * frames)
    tilt = _wish(pieces.tilt, held.angles[TILT], rest[TILT], asked["tilt"], np.tile(share["tilt"], count))
    extension = _wish(pieces.extension, rest[BEND] - held.angles[BEND], nothing, asked["extension"], nothing)
    return Asking(moments, {**asked, "tilt": tilt, "extension": extension}, lower, on)


def _wish(piece: ArrayLike | Steady, held: Array, rest: Array, change: Array, share: Array) -> Array:
    """Tilt or extension asked for at each moment ``(N,)``, rad.

    Either what holds the head plus a departure that grows to its amount (``change``), or a plain number, reached
    from the value at ``rest``.
    """
    return held + change if departs(piece) else rest * (1.0 - share) + change
