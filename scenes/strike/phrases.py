"""Words that several sentences about a strike share: how far off a piece is, and where the club goes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..words.at_ball import MISSES_CM
from ..words.at_impact import MORE_LESS
from ..words.pieces import NAMES, told_amount
from ..words.units import told_length

if TYPE_CHECKING:
    from .report import StrikeOutcome, StrikePiece

OFF = {"deg": 2.0, "cm": 1.0}
"""Pieces this much off count as off, in their units (our choice)."""
CALLED = {**NAMES, "sway": "hips", "hips_toward_ball": "hips"}
"""Pieces, where the words of `at_impact` follow."""


def misses(strike: StrikeOutcome) -> bool:
    """Whether a clubhead passes beside the ball."""
    return abs(strike.club_out_at_ball_cm) > MISSES_CM


def size(piece: StrikePiece) -> float:
    """The largest of a piece's shares in the arc, cm."""
    share = piece.share
    told = (share.club_up_at_ball_cm, share.club_out_at_ball_cm, share.low_point_ahead_cm)
    return max(abs(one or 0.0) for one in told)


def off_by(piece: str, amount: float, unit: str, inches: bool) -> str:
    """How far off a piece is: ``10.0° more to the trail side``."""
    more, less = MORE_LESS[piece]
    return f"{told_amount(abs(amount), unit, inches)} {more if amount > 0 else less}"


def out_words(value_cm: float, inches: bool) -> str:
    """A way from the golfer or to him."""
    return f"{told_length(abs(value_cm), inches)} {'away from' if value_cm >= 0.0 else 'toward'} the golfer"


def up_words(value_cm: float, inches: bool) -> str:
    """A way up or down."""
    return f"{told_length(abs(value_cm), inches)} {'up' if value_cm >= 0.0 else 'down'}"


def ahead_words(value_cm: float | None, inches: bool) -> str:
    """A way to the target or from it."""
    if value_cm is None:
        return "out of reach"
    return f"{told_length(abs(value_cm), inches)} {'toward the target' if value_cm >= 0.0 else 'away from the target'}"
