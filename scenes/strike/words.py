"""A strike in plain sentences made from the computed numbers only.

What a club tends to do that comes so high or low is common practice, without a source, and says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..words.cautions import NOTICEABLE_CM, listed, spoken
from ..words.pieces import NAMES, told_amount
from ..words.units import told_length

if TYPE_CHECKING:
    from .report import StrikePiece, StruckSwing
    from .work import Struck

LEVEL_CM = 0.3
"""A club this near the ball's height meets it as it should (our choice)."""
BALL_CM = 4.3
"""A ball's diameter, 42.67 mm at least by the rules of golf (from memory)."""
STRAIGHT_DEG = 0.5
"""A way off the target line by less is along it."""
SHORT_CM = 0.5
"""Drawn arms that leave the clubhead this far from where it should be are told of."""
OFF = {"deg": 2.0, "cm": 1.0}
"""Pieces this much off count as off, in their units (our choice)."""
MOST_TOLD = 3
CAUTION = (
    "At impact the low back bends to the side while it turns, which some backs do not take well: never force it, and "
    "leave pain or an earlier back injury to a clinician, the change of a swing to a qualified coach."
)
LEFT_OUT = (
    "The arc is the path alone: the arms are those that bring this golfer's club to the ball in a centred swing. "
    "Speed, forces, the shaft's bend, the clubface and the ball's flight are left out."
)


def sentences(swing: StruckSwing, inches: bool = False) -> list[str]:
    """Two or three sentences about a strike."""
    told = (_arc(swing, inches), _because(swing, inches), _mend(swing, inches), _given_back(swing))
    return [one for one in told if one]


def _arc(swing: StruckSwing, inches: bool) -> str:
    """Where it bottoms out, how it passes the ball, and what that tends to be."""
    strike = swing.strike
    parts = []
    if strike.low_point_ahead_cm is None or strike.low_point_up_cm is None:
        parts.append("The club has no lowest point near the ball")
    else:
        side = "past" if strike.low_point_ahead_cm >= 0.0 else "before"
        level = "below" if strike.low_point_up_cm < 0.0 else "above"
        parts.append(
            f"The club bottoms out {told_length(abs(strike.low_point_ahead_cm), inches)} {side} the ball, "
            f"{told_length(abs(strike.low_point_up_cm), inches)} {level} the ground"
        )
    parts.append(f"{_passes(strike.club_up_at_ball_cm, inches)}, going {_going(strike.descent_deg)}, {_aim(swing)}")
    return f"{'; '.join(parts)}. {_tends(swing, inches)}".strip()


def _passes(up_cm: float, inches: bool) -> str:
    if abs(up_cm) < LEVEL_CM:
        return "at the ball it is level with it"
    return f"at the ball it is {told_length(abs(up_cm), inches)} {'above' if up_cm > 0 else 'below'} the ground"


def _going(descent_deg: float) -> str:
    return f"{abs(descent_deg):.1f}° {'down' if descent_deg >= 0.0 else 'up'}"


def _aim(swing: StruckSwing) -> str:
    off = swing.strike.outward_deg
    if abs(off) < STRAIGHT_DEG:
        return "along the target line"
    return f"{abs(off):.1f}° {'outward, away from the golfer' if off > 0 else 'inward, across to the golfer’s side'}"


def _tends(swing: StruckSwing, inches: bool) -> str:
    """What such a club tends to do; with a sound one nothing."""
    up = swing.strike.club_up_at_ball_cm
    if swing.ground_before_ball_cm is not None and up < -LEVEL_CM:
        return (
            f"It comes to the ground {told_length(swing.ground_before_ball_cm, inches)} before the ball: fat (common "
            "practice, no source)."
        )
    if up > BALL_CM:
        return "It would pass over the ball unless the arms reach further down for it (common practice, no source)."
    if up > LEVEL_CM:
        return "It would meet the ball too high: thin (common practice, no source)."
    if swing.strike.descent_deg < 0.0:
        return "It meets the ball on the way up, as a driver from a tee may and an iron should not (common practice)."
    return ""


def _because(swing: StruckSwing, inches: bool) -> str:
    """What did it, the largest shares first."""
    told = [one for one in swing.pieces_at_impact if _size(one) >= NOTICEABLE_CM]
    if not told:
        return (
            "" if _wanted(swing) else "No piece is off at impact by enough to move the arc: it is the centred swing's."
        )
    told.sort(key=lambda one: -_size(one))
    parts = [
        f"{spoken(one.piece)}, {_more(one.beyond_centred, one.unit, inches)} than in the centred swing, "
        f"takes the club {_up(one.share.club_up_at_ball_cm, inches)} at the ball and its low point "
        f"{_ahead(one.share.low_point_ahead_cm, inches)}"
        for one in told[:MOST_TOLD]
    ]
    rest = [NAMES[one.piece] for one in told[MOST_TOLD:]]
    more = f"; {listed(rest)} less" if rest else ""
    return f"{'; '.join(parts)}{more}.".replace(parts[0], parts[0][0].upper() + parts[0][1:], 1)


def _size(piece: StrikePiece) -> float:
    return max(abs(piece.share.club_up_at_ball_cm), abs(piece.share.low_point_ahead_cm or 0.0))


def _more(amount: float, unit: str, inches: bool) -> str:
    return f"{told_amount(abs(amount), unit, inches)} {'more' if amount > 0 else 'less'}"


def _up(value_cm: float, inches: bool) -> str:
    return f"{told_length(abs(value_cm), inches)} {'up' if value_cm >= 0.0 else 'down'}"


def _ahead(value_cm: float | None, inches: bool) -> str:
    if value_cm is None:
        return "out of reach"
    return f"{told_length(abs(value_cm), inches)} {'toward the target' if value_cm >= 0.0 else 'away from the target'}"


def _mend(swing: StruckSwing, inches: bool) -> str:
    """What has to be given back to meet the ball all the same, by the piece that leaves the arc nearest to centred."""
    if abs(swing.strike.club_up_at_ball_cm) < LEVEL_CM:
        return ""
    able = [one for one in swing.pieces_at_impact if one.mends is not None and one.then is not None]
    if not able:
        return "No piece alone brings the club to the ball’s height with up to 30° or 12 cm."
    able.sort(key=lambda one: _far(one, swing))
    best = able[0]
    amount = _more(best.mends or 0.0, best.unit, inches)
    others = [f"{_more(one.mends or 0.0, one.unit, inches)} {spoken(one.piece)}" for one in able[1:MOST_TOLD]]
    text = f"To meet the ball all the same takes {amount} {spoken(best.piece)} at impact"
    if not others:
        return f"{text}."
    return f"{text}, or {' or '.join(others)}, after which the arc is less like the centred one."


def _given_back(swing: StruckSwing) -> str:
    """What is off at the top alone."""
    if not swing.given_back:
        return ""
    names = listed([spoken(name) for name in swing.given_back])
    return f"What is off at the top ({names}) is given back before the ball, so it costs this strike nothing."


def _far(piece: StrikePiece, swing: StruckSwing) -> float:
    """How far the arc that a mend leaves is from the centred one, in cm of its low point and degrees of its way."""
    then, usual = piece.then, swing.centred
    assert then is not None
    low = abs((then.low_point_ahead_cm or 0.0) - (usual.low_point_ahead_cm or 0.0))
    return low + abs(then.outward_deg - usual.outward_deg) + abs(then.club_out_at_ball_cm - usual.club_out_at_ball_cm)


def _wanted(swing: StruckSwing) -> bool:
    return bool(swing.head_wanted.toward_target_cm or swing.head_wanted.up_cm)


def held_words(swing: StruckSwing, inches: bool = False) -> str:
    """Where *steady* holds the head at impact."""
    toward, up = swing.head_wanted.toward_target_cm, swing.head_wanted.up_cm
    parts = []
    if abs(toward) > 0.0:
        parts.append(f"{told_length(abs(toward), inches)} {'nearer to' if toward > 0 else 'farther from'} the target")
    if abs(up) > 0.0:
        parts.append(f"{told_length(abs(up), inches)} {'higher' if up > 0 else 'lower'}")
    if not parts:
        return "Steady holds the head where it was at address."
    return f"Steady holds the head where it is wanted: {listed(parts)} than at address."


def beside_each_other(swings: Sequence[StruckSwing], inches: bool = False) -> list[str]:
    """How two strikes differ, in a sentence; nothing for one."""
    if len(swings) < 2:
        return []
    one, other = swings
    first, then = one.strike, other.strike
    up = then.club_up_at_ball_cm - first.club_up_at_ball_cm
    text = f"Against {one.preset}, {other.preset} has the club {_up(up, inches)} at the ball"
    if first.low_point_ahead_cm is not None and then.low_point_ahead_cm is not None:
        text += f" and its low point {_ahead(then.low_point_ahead_cm - first.low_point_ahead_cm, inches)}"
    return [f"{text}."]


def warnings(struck: Struck, swing: StruckSwing) -> list[str]:
    """What should not be overlooked of a swing at impact."""
    lines = []
    if swing.moment.limited_by:
        ranges = listed([spoken(name) for name in swing.moment.limited_by])
        lines.append(f"In {swing.preset}, ranges of this body stop part of what is asked at impact: {ranges}.")
    if swing.arms_short_cm > SHORT_CM:
        lines.append(
            f"In {swing.preset}, the drawn arms end {told_length(swing.arms_short_cm, False)} from where the arc takes "
            "the club at impact, because a joint of theirs ends; the arc is that of arms that reach."
        )
    if not (struck.swing.converged.all()):
        lines.append(f"In {swing.preset}, the solver did not converge everywhere; do not rely on this strike.")
    return [*lines, CAUTION]
