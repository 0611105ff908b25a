"""Why a head that moves matters: where the low point of the swing goes if the move is not given back before impact.

The arc hangs from its hub, so where the base of the neck goes the low point goes with it (`Measures.low_point_shift`).
What the club then does at the ball is this golfer's own centred arc, taken along; what such a club tends to hit is
common practice, without a source.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, Protocol

import numpy as np

from .at_ball import height_words, tends_by_height
from .cautions import listed
from .pieces import head_words
from .units import told_length

WHY = "Why it matters"
_ALONG_FACE_ON = (1, 2)
"""The axes that face-on shows: toward target and up."""


class AtBall(Protocol):
    """How an arc passes the ball; a report's `ArcAtBall` is one."""

    @property
    def low_point_ahead_cm(self) -> float | None:
        """Its lowest point beyond the ball; None where it has none."""

    @property
    def club_up_at_ball_cm(self) -> float:
        """The clubhead above the ground at the ball."""

    @property
    def descent_deg(self) -> float:
        """How much it goes down there."""

    @property
    def ground_before_ball_cm(self) -> float | None:
        """How far before the ball it comes to the ground."""


class NeckMoved(NamedTuple):
    """Where the base of the neck is at the top, from its place at address, and what that does to the arc.

    Attributes:
        toward_target_cm: nearer to the target.
        up_cm: higher.
        arc: of the centred swing, taken along by that; None where it then passes no ball, or nobody asked.
    """

    toward_target_cm: float
    up_cm: float
    arc: AtBall | None = None


def low_point_sentence(now: NeckMoved, inches: bool = False, *, after: NeckMoved | None = None) -> str:
    """Where it goes, and what the club then does.

    Args:
        now: the base of the neck at the top.
        inches: lengths in inches.
        after: the same with what is to be changed changed.
    """
    then = f", with the change {_goes(after, inches)}" if after is not None else ""
    told = [f"{_LEAD}: now {_goes(now, inches)}{then}."]
    if now.arc is not None:
        told.append(f"Taken along so, this golfer's centred arc {_passes(now.arc, inches)}.")
        told.append(_tends(now.arc, inches))
    if after is not None and after.arc is not None:
        told.append(f"With the change it {_passes(after.arc, inches)}.")
        told.append(_tends(after.arc, inches))
    return " ".join(filter(None, told))


def low_points_sentence(named: Sequence[tuple[str, NeckMoved]], inches: bool = False) -> str:
    """The same of several swings beside each other.

    Args:
        named: name, and the base of the neck at the top.
        inches: lengths in inches.
    """
    told = [f"{_LEAD}: {listed([f'in {name} {_goes(one, inches)}' for name, one in named])}."]
    for name, one in named:
        if one.arc is not None:
            told.append(f"Taken along so, the golfer's centred arc in {name} {_passes(one.arc, inches)}.")
            told.append(_tends(one.arc, inches))
    return " ".join(filter(None, told))


_LEAD = (
    "If the move is not given back before impact, the low point of the swing goes with the base of the neck, from "
    "which its arc hangs"
)


def _goes(moved: NeckMoved, inches: bool) -> str:
    return head_words(np.array([0.0, moved.toward_target_cm, moved.up_cm]), inches, _ALONG_FACE_ON)


def _passes(arc: AtBall, inches: bool) -> str:
    at_ball = f"at the ball is {height_words(arc.club_up_at_ball_cm, inches)}"
    ahead = arc.low_point_ahead_cm
    if ahead is None:
        return at_ball
    return (
        f"bottoms out {told_length(abs(ahead), inches)} {'past' if ahead >= 0.0 else 'before'} the ball and {at_ball}"
    )


def _tends(arc: AtBall, inches: bool) -> str:
    return tends_by_height(arc.club_up_at_ball_cm, arc.descent_deg, arc.ground_before_ball_cm, inches)
