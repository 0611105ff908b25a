"""What brings a club back to the ball, in a sentence: one piece alone, or all that is off given back together.

A mend meets the ball and makes no new fault. All that is off given back is the centred swing by what *off* means, so
that it can always be told; whether that meets the ball depends on where the head is wanted.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..words.at_ball import LEVEL_CM, MISSES_CM, aside_words, height_words
from ..words.cautions import NOTICEABLE_CM, listed
from ..words.pieces import NAMES
from .phrases import CALLED, OFF, misses, off_by, size

if TYPE_CHECKING:
    from .report import StrikeOutcome, StrikePiece, StruckSwing

MOST_TOLD = 3
_LEAST = 0.05
"""Degrees or cm: less is not told of."""


def mend(swing: StruckSwing, inches: bool = False) -> str:
    """What brings the club to the ball; nothing where it meets it, or no piece is off: who wants the head elsewhere
    means it.
    """
    off = any(size(one) >= NOTICEABLE_CM for one in swing.pieces_at_impact)
    if _meets(swing.strike) or not off:
        return ""
    able = _alone(swing)
    told = []
    if able:
        ways = [
            f"{CALLED[one.piece]} {off_by(one.piece, one.mends or 0.0, one.unit, inches)}{_left(one, inches)}"
            for one in able[:MOST_TOLD]
        ]
        told.append(f"What alone would bring it to the ball’s height at impact: {'; or '.join(ways)}.")
    named = {one.piece for one in able}
    given = [one for one in swing.pieces_at_impact if abs(one.beyond_centred) >= _LEAST and not follows(one, swing)]
    if any(one.piece not in named for one in given):
        told.append(_together(swing, given, bool(able), inches))
    return " ".join(told)


def follows(piece: StrikePiece, swing: StruckSwing) -> bool:
    """Whether it is tilt or extension that nobody asked for: it follows the other pieces, to hold the head."""
    return swing.impact.get(f"{piece.piece}_deg") == "steady"


def _meets(strike: StrikeOutcome) -> bool:
    return abs(strike.club_up_at_ball_cm) < LEVEL_CM and not misses(strike)


def _alone(swing: StruckSwing) -> list[StrikePiece]:
    """Pieces that mend the strike alone: those that are off first, then what leaves the arc nearest to centred."""
    if abs(swing.strike.club_up_at_ball_cm) < LEVEL_CM:
        return []  # It is beside the ball, and what mends its height does nothing.
    able = [one for one in swing.pieces_at_impact if _keeps_aside(one, swing) and _makes_no_fault(one)]
    return sorted(able, key=lambda one: (abs(one.beyond_centred) < OFF[one.unit], _far(one, swing)))


def _keeps_aside(piece: StrikePiece, swing: StruckSwing) -> bool:
    """Whether a mend leaves a club that meets the ball, no farther beside it than it is, or hardly beside it."""
    if piece.mends is None or piece.then is None:
        return False
    most = min(MISSES_CM, max(abs(swing.strike.club_out_at_ball_cm), NOTICEABLE_CM))
    return abs(piece.then.club_out_at_ball_cm) <= most


def _makes_no_fault(piece: StrikePiece) -> bool:
    """Whether a mend leaves its piece no farther off than it is to that side, or by less than counts."""
    off, counts = piece.beyond_centred, OFF[piece.unit]
    return min(off, -counts) <= off + (piece.mends or 0.0) <= max(off, counts)


def _left(piece: StrikePiece, inches: bool) -> str:
    """How far beside the ball a mend leaves the club."""
    out = piece.then.club_out_at_ball_cm if piece.then else 0.0
    return f" (the club then {aside_words(out, inches)})" if abs(out) >= NOTICEABLE_CM else ""


def _far(piece: StrikePiece, swing: StruckSwing) -> float:
    """How far the arc that a mend leaves is from the centred one, in cm of its low point and degrees of its way."""
    then, usual = piece.then, swing.centred
    assert then is not None
    low = abs((then.low_point_ahead_cm or 0.0) - (usual.low_point_ahead_cm or 0.0))
    return low + abs(then.outward_deg - usual.outward_deg) + abs(then.club_out_at_ball_cm - usual.club_out_at_ball_cm)


def _together(swing: StruckSwing, given: list[StrikePiece], alone: bool, inches: bool) -> str:
    """All that is off given back: ``given`` pieces, and those that follow them."""
    ways = listed([f"{CALLED[one.piece]} {off_by(one.piece, -one.beyond_centred, one.unit, inches)}" for one in given])
    following = [
        NAMES[one.piece]
        for one in swing.pieces_at_impact
        if abs(one.beyond_centred) >= _LEAST and follows(one, swing)
    ]  # fmt: skip
    if following:
        ways += f", with {listed(following)} as steady then has {'it' if len(following) == 1 else 'them'}"
    if not _meets(swing.centred):
        at = height_words(swing.centred.club_up_at_ball_cm, inches)
        out = swing.centred.club_out_at_ball_cm
        beside = f" and {aside_words(out, inches)}" if abs(out) >= NOTICEABLE_CM else ""
        return f"All that is off given back ({ways}) leaves the club where the wanted head takes it: {at}{beside}."
    if alone:
        return f"All that is off given back makes it the centred swing: {ways}."
    if len(given) == 1:
        return f"What is off given back brings it to the ball: {ways}."
    if abs(swing.strike.club_up_at_ball_cm) < LEVEL_CM:
        # What one piece alone does to a club that is only beside the ball was not looked for.
        return f"All that is off given back brings it to the ball: {ways}."
    return f"No one piece alone brings it back to the ball without a new fault; what is off together does: {ways}."
