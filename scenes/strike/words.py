"""A strike in plain sentences made from the computed numbers only.

What a club tends to do that comes so high or low is common practice, without a source, and says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from ..words.at_ball import MISSES_CM, aside_words, called_by_height, height_words, tends_by_height
from ..words.at_impact import CAUTION
from ..words.cautions import NOTICEABLE_CM, impact_sentence, listed, spoken
from ..words.pieces import NAMES, head_words
from ..words.units import told_length
from .columns import OUTCOMES
from .heels import each_by_its_heels, heels_sentence
from .mending import follows, mend
from .phrases import CALLED, ahead_words, misses, off_by, out_words, size, up_words

if TYPE_CHECKING:
    from .report import PassingReport, StrikeOutcome, StrikePiece, StruckSwing
    from .work import Passed, Struck

STRAIGHT_DEG = 0.5
"""A way off the target line by less is along it."""
SHORT_CM = 0.5
"""Drawn arms that leave the clubhead this far from where it should be are told of."""
MOST_TOLD = 3
HARDLY_A_SWING_DEG = 45.0
"""Where a club goes steeper than this, or as far off the line, its arc is not worth reading (our choice)."""
LEFT_OUT = (
    "The arc is the path alone: the arms are those that bring this golfer's club to the ball in a centred swing. "
    "The ball lies on the ground; speed, forces, the shaft's bend, the clubface and the ball's flight are left out."
)


def sentences(swing: StruckSwing, inches: bool = False) -> list[str]:
    """A few sentences about a strike."""
    told = (
        arc_sentence(swing, inches), _by_the_head(swing, inches), _because(swing, inches), mend(swing, inches),
        _given_back(swing), heels_sentence(swing, inches),
    )  # fmt: skip
    return [one for one in told if one]


def arc_sentence(swing: PassingReport, inches: bool = False) -> str:
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
    parts.append(f"{_passes(strike, inches)}, going {_going(strike.descent_deg)}, {_aim(swing)}")
    return f"{'; '.join(parts)}. {_tends(swing, inches)}".strip()


def _passes(strike: StrikeOutcome, inches: bool) -> str:
    up, out = strike.club_up_at_ball_cm, strike.club_out_at_ball_cm
    aside = f" and {aside_words(out, inches)}" if abs(out) >= NOTICEABLE_CM else ""
    return f"at the ball it is {height_words(up, inches)}{aside}"


def _going(descent_deg: float) -> str:
    return f"{abs(descent_deg):.1f}° {'down' if descent_deg >= 0.0 else 'up'}"


def _aim(swing: PassingReport) -> str:
    off = swing.strike.outward_deg
    if abs(off) < STRAIGHT_DEG:
        return "along the target line"
    return f"{abs(off):.1f}° {'outward, away from the golfer' if off > 0 else 'inward, across to the golfer’s side'}"


def _tends(swing: PassingReport, inches: bool) -> str:
    """What such a club tends to do; with a sound one nothing."""
    strike, beside = swing.strike, misses(swing.strike)
    told = [
        tends_by_height(
            strike.club_up_at_ball_cm, strike.descent_deg, swing.ground_before_ball_cm, inches, misses=beside
        )
    ]
    if beside:
        told.append(
            f"A clubhead so far {_way_aside(strike)} does not meet the ball unless the arms make up for it "
            f"(more than half a clubhead, {told_length(MISSES_CM, inches)}: our choice)."
        )
    return " ".join(filter(None, told))


def _way_aside(strike: StrikeOutcome) -> str:
    return "out" if strike.club_out_at_ball_cm > 0 else "in"


def _by_the_head(swing: StruckSwing, inches: bool) -> str:
    """What a head that is wanted elsewhere does by itself."""
    home, usual = swing.from_address, swing.centred
    if home is None:
        return ""
    up = usual.club_up_at_ball_cm - home.club_up_at_ball_cm
    text = f"That the head is wanted elsewhere takes the club {up_words(up, inches)} at the ball"
    if usual.low_point_ahead_cm is not None and home.low_point_ahead_cm is not None:
        text += f" and its low point {ahead_words(usual.low_point_ahead_cm - home.low_point_ahead_cm, inches)}"
    return f"{text}."


def _because(swing: StruckSwing, inches: bool) -> str:
    """What did it, the largest shares first."""
    told = [one for one in swing.pieces_at_impact if size(one) >= NOTICEABLE_CM]
    if not told:
        return "" if swing.from_address else "No piece is off at impact by enough to move the arc."
    told.sort(key=lambda one: -size(one))
    # What was done comes before what follows it: steady only answers to the rest.
    first = sorted(told[:MOST_TOLD], key=lambda one: follows(one, swing))
    parts = [
        f"{CALLED[one.piece]} {off_by(one.piece, one.beyond_centred, one.unit, inches)} than in the centred swing"
        f"{_as_steady(one, swing)}: the club {up_words(one.share.club_up_at_ball_cm or 0.0, inches)} "
        f"and {out_words(one.share.club_out_at_ball_cm or 0.0, inches)} at the ball, "
        f"its low point {ahead_words(one.share.low_point_ahead_cm, inches)}"
        for one in first
    ]
    rest = [NAMES[one.piece] for one in told[MOST_TOLD:]]
    more = f"; {listed(rest)} did less" if rest else ""
    return f"Of that, {'; '.join(parts)}{more}."


def _as_steady(piece: StrikePiece, swing: StruckSwing) -> str:
    return ", as steady then has it to hold the head" if follows(piece, swing) else ""


def _given_back(swing: StruckSwing) -> str:
    """What is off at the top alone."""
    if not swing.given_back:
        return ""
    names = listed([spoken(name) for name in swing.given_back])
    return f"What is off at the top ({names}) is given back before the ball, so it costs this strike nothing."


def held_words(swing: StruckSwing, inches: bool = False) -> str:
    """Where *steady* holds the head at impact, and where it is."""
    toward, up = swing.head_wanted.toward_target_cm, swing.head_wanted.up_cm
    parts = []
    if abs(toward) > 0.0:
        parts.append(f"{told_length(abs(toward), inches)} {'nearer to' if toward > 0 else 'farther from'} the target")
    if abs(up) > 0.0:
        parts.append(f"{told_length(abs(up), inches)} {'higher' if up > 0 else 'lower'}")
    held = f"where it is wanted: {listed(parts)} than at address" if parts else "where it was at address"
    at = swing.moment
    place = np.array([at.head_toward_ball_cm, at.head_toward_target_cm, at.head_up_cm])
    return f"Steady holds the head {held}. At impact it is {head_words(place, inches)}."


def beside_each_other(swings: Sequence[StruckSwing], inches: bool = False) -> list[str]:
    """How two strikes differ, what each tends to be and what each is held against; nothing for one."""
    if len(swings) < 2:
        return []
    one, other = swings
    first, then = one.strike, other.strike
    heels = each_by_its_heels(swings, inches)
    if all(number.signed(first) == number.signed(then) for number in OUTCOMES):
        text = f"{one.preset} and {other.preset} have the same strike."
        return [text, f"At the ball both are {_called(one, inches)}.", *heels]
    higher = up_words(then.club_up_at_ball_cm - first.club_up_at_ball_cm, inches)
    text = f"Against {one.preset}, {other.preset} has the club {higher} at the ball"
    if first.low_point_ahead_cm is not None and then.low_point_ahead_cm is not None:
        text += f" and its low point {ahead_words(then.low_point_ahead_cm - first.low_point_ahead_cm, inches)}"
    each = "; ".join(f"{swing.preset} is {_called(swing, inches)}" for swing in swings)
    return [f"{text}.", f"At the ball {each}.", *heels]


def _called(swing: StruckSwing, inches: bool) -> str:
    """What a strike tends to be, in a few words: ``thin (common practice) and too far out to meet it``."""
    strike, beside = swing.strike, misses(swing.strike)
    by_height = called_by_height(
        strike.club_up_at_ball_cm, strike.descent_deg, swing.ground_before_ball_cm, misses=beside
    )
    told = f"{by_height} (common practice)" if by_height else height_words(strike.club_up_at_ball_cm, inches)
    return f"{told} and too far {_way_aside(strike)} to meet it" if beside else told


def warnings(struck: Struck, swing: StruckSwing) -> list[str]:
    """What should not be overlooked of a swing at impact."""
    stopped = impact_sentence(struck.swing)
    return [
        *([f"In {swing.preset}: {stopped}"] if stopped else []),
        *doubts(swing.preset, struck.passed, swing),
        CAUTION,
    ]


def doubts(name: str, passed: Passed, swing: PassingReport) -> list[str]:
    """Why the strike of a swing called ``name`` is to be taken with care."""
    lines, impact = [], passed.swing.impact
    assert impact is not None  # A swing that passes the ball goes there.
    if swing.arms_short_cm > SHORT_CM:
        lines.append(
            f"In {name}, the drawn arms end {told_length(swing.arms_short_cm, False)} from where the arc takes "
            "the club at impact, because a joint of theirs ends; the arc is that of arms that reach."
        )
    steep = max(abs(swing.strike.descent_deg), abs(swing.strike.outward_deg)) > HARDLY_A_SWING_DEG
    if steep:
        lines.append(f"{name} asks for so much at impact that this is hardly a swing: do not read its arc.")
    asked, ahead = 100.0 * float(np.squeeze(impact.hands_ahead)), 100.0 * passed.hands_ahead
    if abs(asked - ahead) > SHORT_CM:
        lines.append(
            f"In {name}, with the wrists hinged so no hands are {told_length(asked, False)} ahead of the ball "
            f"when the club meets it: they are {told_length(ahead, False)}."
        )
    if not passed.swing.converged.all():
        lines.append(f"In {name}, the solver did not converge everywhere; do not rely on this strike.")
    return lines
