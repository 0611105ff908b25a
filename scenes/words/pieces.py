"""Pieces, amounts and places of the head in words."""

from __future__ import annotations

from math import hypot

import numpy as np

from ...model.arrays import Array
from .cautions import NOTICEABLE_CM, listed
from .units import length_unit, shown_length, signed, told_length

_WAYS = (
    ("nearer to the ball", "farther from the ball"),
    ("nearer to the target", "farther from the target"),
    ("higher", "lower"),
)


def head_words(place: Array, inches: bool, axes: tuple[int, ...] = (0, 1, 2)) -> str:
    """Where a head is, relative to its place at address; the largest part first.

    Parts that are not worth a word are left out; where only all of them together are, those from half the largest on
    are told.

    Args:
        place: ``(3,)`` cm: toward ball, toward target, up.
        inches: lengths in inches.
        axes: the axes a view shows.
    """
    # Plain numbers, since a page asks for the words of every moment.
    far = [float(part) for part in place]
    if hypot(*(far[axis] for axis in axes)) < NOTICEABLE_CM:
        return f"within {told_length(NOTICEABLE_CM, inches)} of its place"
    least = min(NOTICEABLE_CM, 0.5 * max(abs(far[axis]) for axis in axes))
    told = [axis for axis in sorted(axes, key=lambda axis: -abs(far[axis])) if abs(far[axis]) >= least]
    return listed([f"{told_length(abs(far[axis]), inches)} {_WAYS[axis][int(far[axis] < 0)]}" for axis in told])


def ways(moved: Array, least: float = 0.4) -> str:
    """Which way something went, the largest part first: ``higher and nearer to the target``.

    Args:
        moved: ``(3,)`` toward ball, toward target, up; not all zero.
        least: a part of the whole movement below which a way is not named.
    """
    order = np.argsort(-np.abs(moved))
    told = [axis for axis in order if abs(moved[axis]) >= least * float(np.linalg.norm(moved))]
    return listed([_WAYS[axis][int(moved[axis] < 0)] for axis in told])


NAMES = {
    "hip_turn": "hip turn",
    "shoulder_turn": "shoulder turn",
    "tilt": "tilt",
    "extension": "extension",
    "lead_flex_change": "lead knee",
    "trail_flex_change": "trail knee",
    "sway": "sway",
    "hips_toward_ball": "hips toward ball",
}
"""Pieces in a word or two."""
ALL_ELSE_STAYS = "everything else as it was, tilt and extension in degrees included"
"""What mending one piece means wherever it is told: the trunk keeps its degrees, it does not follow the piece."""


def told_amount(value: float, unit: str, inches: bool = False) -> str:
    """An amount of a piece, as in a sentence: ``37.5°``, ``-3.9 cm``."""
    return f"{signed(value).lstrip('+')}°" if unit == "deg" else told_length(value, inches)


def signed_amount(value: float, unit: str, inches: bool) -> str:
    """An amount with its sign, as in a table: ``+37.5°``, ``-3.9 cm``; a rounded zero has none."""
    return f"{signed(value)}°" if unit == "deg" else f"{shown_length(value, inches)} {length_unit(inches)}"
