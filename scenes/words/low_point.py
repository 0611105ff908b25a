"""Why a head that moves matters: where the low point of the swing goes if the move is not given back before impact.

The arc hangs from its hub, so where the base of the neck goes the low point goes with it. What the club then does at
the ball is this golfer's own centred arc, taken along; what such a club tends to hit is common practice, without a
source.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import numpy as np

from ...model.arrays import Array
from .at_ball import MISSES_CM, aside_words, height_words, tends_by_height
from .cautions import NOTICEABLE_CM, listed
from .pieces import head_words
from .units import told_length

WHY = "Why it matters"
_LEAD = (
    "If the move is not given back before impact, the low point of the swing goes with the base of the neck, from "
    "which its arc hangs"
)


class Along(Protocol):
    """How far the base of the neck is from its place in the centred turn, and how the arc taken along passes the ball.

    A report's `TakenAlong` is one.
    """

    @property
    def toward_ball_cm(self) -> float:
        """Nearer to the ball."""

    @property
    def toward_target_cm(self) -> float:
        """Nearer to the target."""

    @property
    def up_cm(self) -> float:
        """Higher."""

    @property
    def low_point_ahead_cm(self) -> float | None:
        """Its lowest point beyond the ball; None where it has none."""

    @property
    def club_up_at_ball_cm(self) -> float | None:
        """The clubhead above the ground at the ball; None where it does not pass it."""

    @property
    def club_out_at_ball_cm(self) -> float | None:
        """How much farther out than the ball it is there."""

    @property
    def descent_deg(self) -> float | None:
        """How much it goes down there."""

    @property
    def ground_before_ball_cm(self) -> float | None:
        """How far before the ball it comes to the ground."""


def low_point_goes(moved: Array, inches: bool = False) -> str:
    """Where the low point goes, and nothing of the ball.

    Args:
        moved: ``(3,)`` cm, how far the base of the neck is from where the centred turn has it: toward ball, toward
            target, up.
        inches: lengths in inches.
    """
    return f"{_LEAD}: now {head_words(moved, inches)}{_than([moved])}."


def low_point_sentence(now: Along, inches: bool = False, *, after: Along) -> str:
    """Where the low point goes, and what the club then does at the ball.

    Args:
        now: as it is.
        inches: lengths in inches.
        after: with what is to be changed changed.
    """
    than = _than([_moved(now), _moved(after)])
    lead = f"{_LEAD}: now {_goes(now, inches)}, with the change {_goes(after, inches)}{than}."
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
        if not _is_in_place(_moved(one))
    ]
    return " ".join(filter(None, (f"{_LEAD}: {listed(goes)}{_than([_moved(one) for _, one in named])}.", *told)))


def _moved(along: Along) -> Array:
    return np.array([along.toward_ball_cm, along.toward_target_cm, along.up_cm])


def _goes(along: Along, inches: bool) -> str:
    return head_words(_moved(along), inches)


def _is_in_place(moved: Array) -> bool:
    return bool(np.abs(moved).max() < NOTICEABLE_CM)


def _than(every: Sequence[Array]) -> str:
    return "" if all(map(_is_in_place, every)) else " (counted from the centred turn)"


def _at_ball(whose: str, arc: Along, inches: bool) -> str:
    """How the arc passes the ball, and what that tends to be."""
    up, out, descent = arc.club_up_at_ball_cm, arc.club_out_at_ball_cm, arc.descent_deg
    if up is None or out is None or descent is None:
        return ""
    ahead = arc.low_point_ahead_cm
    low = "" if ahead is None else f"bottoms out {told_length(abs(ahead), inches)} {_SIDE[ahead >= 0.0]} the ball and "
    aside = f" and {aside_words(out, inches)}" if abs(out) >= NOTICEABLE_CM else ""
    tends = tends_by_height(up, descent, arc.ground_before_ball_cm, inches, misses=abs(out) > MISSES_CM)
    return f"{whose} {low}at the ball is {height_words(up, inches)}{aside}. {tends}".rstrip()


_SIDE = {True: "past", False: "before"}
