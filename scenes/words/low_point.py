"""Why a head that moves matters: where the low point of the swing goes if the move is not given back before impact.

The arc hangs from its hub, so where the base of the neck goes the low point goes with it. What the club then does at
the ball is this golfer's own centred arc, taken along; what such a club tends to hit is common practice, without a
source.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import numpy as np

from .at_ball import height_words, tends_by_height
from .cautions import NOTICEABLE_CM, listed
from .pieces import head_words
from .units import told_length

WHY = "Why it matters"
_ALONG_FACE_ON = (1, 2)
"""The axes that face-on shows: toward target and up."""
_LEAD = (
    "If the move is not given back before impact, the low point of the swing goes with the base of the neck, from "
    "which its arc hangs"
)


class Moved(Protocol):
    """How far the base of the neck is, at the top, from where this golfer's centred turn has it."""

    @property
    def toward_target_cm(self) -> float:
        """Nearer to the target."""

    @property
    def up_cm(self) -> float:
        """Higher."""


class Along(Moved, Protocol):
    """The same, and how the centred arc, taken along by that, passes the ball; a report's `TakenAlong` is one."""

    @property
    def low_point_ahead_cm(self) -> float | None:
        """Its lowest point beyond the ball; None where it has none."""

    @property
    def club_up_at_ball_cm(self) -> float | None:
        """The clubhead above the ground at the ball; None where it does not pass it."""

    @property
    def descent_deg(self) -> float | None:
        """How much it goes down there."""

    @property
    def ground_before_ball_cm(self) -> float | None:
        """How far before the ball it comes to the ground."""


def low_point_goes(moved: Moved, inches: bool = False) -> str:
    """Where the low point goes, and nothing of the ball."""
    return f"{_LEAD}: now {_goes(moved, inches)}{_than([moved])}."


def low_point_sentence(now: Along, inches: bool = False, *, after: Along) -> str:
    """Where the low point goes, and what the club then does at the ball.

    Args:
        now: as it is.
        inches: lengths in inches.
        after: with what is to be changed changed.
    """
    lead = f"{_LEAD}: now {_goes(now, inches)}, with the change {_goes(after, inches)}{_than([now, after])}."
    told = (
        _at_ball("Taken along so, this golfer's centred arc", now, inches),
        _at_ball("With the change it", after, inches),
    )
    return " ".join(filter(None, (lead, *told)))


def low_points_sentence(named: Sequence[tuple[str, Along]], inches: bool = False) -> str:
    """The same of several swings beside each other.

    Args:
        named: name, and the swing's.
        inches: lengths in inches.
    """
    goes = [f"in {name} {_goes(one, inches)}" for name, one in named]
    told = [
        _at_ball(f"In {name}, the golfer's centred arc, taken along so,", one, inches)
        for name, one in named
        if not _is_in_place(one)
    ]
    return " ".join(filter(None, (f"{_LEAD}: {listed(goes)}{_than([one for _, one in named])}.", *told)))


def _goes(moved: Moved, inches: bool) -> str:
    return head_words(np.array([0.0, moved.toward_target_cm, moved.up_cm]), inches, _ALONG_FACE_ON)


def _is_in_place(moved: Moved) -> bool:
    return max(abs(moved.toward_target_cm), abs(moved.up_cm)) < NOTICEABLE_CM


def _than(every: Sequence[Moved]) -> str:
    return "" if all(map(_is_in_place, every)) else " (counted from the centred turn)"


def _at_ball(whose: str, arc: Along, inches: bool) -> str:
    """How the arc passes the ball, and what that tends to be."""
    up, descent = arc.club_up_at_ball_cm, arc.descent_deg
    if up is None or descent is None:
        return ""
    ahead = arc.low_point_ahead_cm
    low = "" if ahead is None else f"bottoms out {told_length(abs(ahead), inches)} {_SIDE[ahead >= 0.0]} the ball and "
    tends = tends_by_height(up, descent, arc.ground_before_ball_cm, inches)
    return f"{whose} {low}at the ball is {height_words(up, inches)}. {tends}".rstrip()


_SIDE = {True: "past", False: "before"}
