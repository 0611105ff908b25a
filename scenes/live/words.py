"""What the page says of a swing while it changes."""

from __future__ import annotations

from ...model.swing.phases import IMPACT, TOP
from ...model.swing.swing import Swing
from ..words.cautions import NOTICEABLE_CM
from ..words.moments import per_cent
from ..words.pieces import head_words, told_amount
from .report import SteadyLive, head_cm

_SAME_DEG = 0.05
"""A departure that is shown as zero."""


def head_sentences(swing: Swing) -> list[str]:
    """Where the head is at each moment from address to the top, or on past the ball."""
    told = ["At address the head is in its place."]
    for share, moved in zip(swing.progress[1:].tolist(), head_cm(swing)[1:].tolist(), strict=True):
        than = " than at address" if max(abs(way) for way in moved) >= NOTICEABLE_CM else ""
        told.append(f"{_when(share)} the head is {head_words(moved, inches=False)}{than}.")
    return told


def _when(progress: float) -> str:
    """A moment past address, at the beginning of a sentence."""
    if progress < TOP:
        return f"At {per_cent(progress)}% of the backswing"
    if progress == TOP:
        return "At the top"
    if progress < IMPACT:
        return f"At {per_cent(progress)}% of the way down"
    return "At impact" if progress == IMPACT else "Past the ball"


def steady_sentence(steady: SteadyLive) -> str:
    """How far tilt and extension are from what would hold the head."""
    told = [
        f"{told_amount(amount, 'deg')} of {piece} ({_departure(departure)})"
        for piece, amount, departure in (
            ("tilt", steady.tilt_deg, steady.tilt_departure_deg),
            ("extension", steady.extension_deg, steady.extension_departure_deg),
        )
    ]
    return f"With this turn at the top the head would stay nearest to its place with {' and '.join(told)}."


def _departure(more: float) -> str:
    if abs(more) < _SAME_DEG:
        return "the swing has just that"
    return f"the swing has {told_amount(abs(more), 'deg')} {'more' if more > 0 else 'less'}"
