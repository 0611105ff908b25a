"""What holds the head of a swing, in a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..words.cautions import STILL_CM
from ..words.pieces import told_amount

if TYPE_CHECKING:
    from .report import SwingReport

JUST_THAT_DEG = 0.05
"""A departure that is shown as zero."""


def held_sentence(report: SwingReport) -> str:
    """What holds the head at the top, or leaves it nearest, and what the swing has of it."""
    steady = report.steady
    parts = []
    for piece in ("tilt", "extension"):
        amount, departure, more = (
            getattr(steady, f"{piece}_{what}deg") for what in ("", "departure_", "more_than_centred_")
        )
        has = "just that"
        if abs(departure) >= JUST_THAT_DEG:
            has = f"{told_amount(abs(departure), 'deg')} {'more' if departure > 0 else 'less'}"
        centred = told_amount(amount - more, "deg")
        parts.append(
            f"{told_amount(amount, 'deg')} of {piece} (the swing has {has}; the centred preset's turn would need "
            f"{centred})"
        )
    # Where nothing holds the head, a warning of the report says so and by how much.
    lead = "What holds this head" if steady.head_miss_cm <= STILL_CM else "What leaves this head nearest to its place"
    return f"{lead} at the top of this turn: {' and '.join(parts)}."
