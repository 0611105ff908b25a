"""Why a head that moves matters: where the low point of the swing goes if the move is not given back before impact.

The arc hangs from its hub, so where the base of the neck goes the low point goes with it (`Measures.low_point_shift`).
What a club then tends to do is common practice, without a source.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from .cautions import listed
from .pieces import head_words

WHY = "Why it matters"

FAT_CM, STEEP_CM, HIGH_CM = 1.0, 4.0, 1.0
"""Shifts away from the target, toward it, and up or down, below which nothing is said of the club. With an iron the low
point lies some way past the ball anyway (common practice), so toward the target it takes more (our choice)."""
_ALONG_FACE_ON = (1, 2)
"""The axes that face-on shows: toward target and up."""


def low_point_sentence(
    toward_target_cm: float, up_cm: float, inches: bool = False, *, after: tuple[float, float] | None = None
) -> str:
    """Where it goes, and what that tends to do.

    Args:
        toward_target_cm: how far the base of the neck is nearer to the target at the top than at address.
        up_cm: how far it is higher.
        inches: lengths in inches.
        after: both again, with what is to be changed changed.
    """
    then = f", with the change {_goes(*after, inches)}" if after is not None else ""
    return (
        "If the move is not given back before impact, the low point of the swing goes with the base of the neck, from "
        f"which its arc hangs: now {_goes(toward_target_cm, up_cm, inches)}{then}. {_tends(toward_target_cm, up_cm)}"
    )


def low_points_sentence(named: Sequence[tuple[str, float, float]], inches: bool = False) -> str:
    """The same of several swings beside each other.

    Args:
        named: name, and how far the base of the neck is nearer to the target and higher at the top than at address, cm.
        inches: lengths in inches.
    """
    goes = [f"in {name} {_goes(toward, up, inches)}" for name, toward, up in named]
    tends = [f"in {name} {listed(parts)}" for name, *moved in named if (parts := _tendencies(*moved))]
    then = f"A club then tends {listed(tends)}" if tends else "So small a shift does little"
    return (
        "If the move is not given back before impact, the low point of the swing goes with the base of the neck, from "
        f"which its arc hangs: {listed(goes)}. {then} (common practice, no source)."
    )


def _goes(toward_target_cm: float, up_cm: float, inches: bool) -> str:
    return head_words(np.array([0.0, toward_target_cm, up_cm]), inches, _ALONG_FACE_ON)


def _tendencies(toward_target_cm: float, up_cm: float) -> list[str]:
    """What a club with such a low point tends to do; with a small one nothing."""
    parts = []
    if toward_target_cm <= -FAT_CM:
        parts.append("to reach the ground before the ball")
    elif toward_target_cm >= STEEP_CM:
        parts.append("to come down steeply")
    if up_cm <= -HIGH_CM:
        parts.append("to dig in")
    elif up_cm >= HIGH_CM:
        parts.append("to pass too high over the ground")
    return parts


def _tends(toward_target_cm: float, up_cm: float) -> str:
    """The same as a sentence."""
    parts = _tendencies(toward_target_cm, up_cm)
    if not parts:
        return "So small a shift does little (common practice, no source)."
    return f"A club whose low point is where it is now tends {listed(parts)} (common practice, no source)."
