"""What holds the head of a swing at the top, and how it stands at impact, in sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ..words.at_impact import SIGNS
from ..words.cautions import STILL_CM, listed, spoken
from ..words.golfer import is_wanted_elsewhere, wanted_place
from ..words.pieces import head_words, told_amount

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
        centred = told_amount(amount - more, "deg")
        parts.append(
            f"{told_amount(amount, 'deg')} of {piece} (the swing has {_beyond(departure)}; the centred preset's turn "
            f"would need {centred})"
        )
    # Where nothing holds the head, a warning of the report says so and by how much.
    lead = "What holds this head" if steady.head_miss_cm <= STILL_CM else "What leaves this head nearest to its place"
    return f"{lead} at the top of this turn: {' and '.join(parts)}."


def impact_sentences(report: SwingReport, inches: bool = False) -> list[str]:
    """Where the head and the trunk are at impact, what holds that head there, and what stops the rest.

    Args:
        report: the swing; of one that ends at the top nothing is told.
        inches: lengths in inches.
    """
    there = report.at_impact
    if there is None:
        return []
    at = report.moments[there.moment]
    place = head_words(np.array([at.head_toward_ball_cm, at.head_toward_target_cm, at.head_up_cm]), inches)
    than = "" if place.startswith("within") else " than at address"
    wanted = f"; it is wanted {wanted_place(there.head_held, inches)}" if is_wanted_elsewhere(there.head_held) else ""
    parts = []
    for piece in ("tilt", "extension"):
        holds, has = getattr(at, f"steady_{piece}_deg"), there.achieved[f"{piece}_deg"]
        parts.append(f"{piece} {told_amount(holds, 'deg')} (the swing has {_beyond(has - holds)})")
    lead = "What holds this head" if at.steady_miss_cm <= STILL_CM else "What leaves this head nearest to its place"
    in_space, seen = (told_amount(one, "deg") for one in (at.inclination_deg, at.inclination_down_the_line_deg))
    return [
        f"At impact the head is {place}{than}{wanted}; the trunk's inclination is {in_space} in space and {seen} down "
        "the line.",
        f"{lead} at impact: {' and '.join(parts)}. {SIGNS}",
        _stopped(at.limited_by, at.arms_limited_by),
    ]


def _stopped(body: list[str], arms: list[str]) -> str:
    """What stops part of what is asked at impact."""
    parts = [
        f"of {whose} {listed([spoken(name) for name in names])}"
        for whose, names in (("the body", body), ("the arms", arms))
        if names
    ]
    return (
        f"What stops part of what is asked at impact: {'; '.join(parts)}."
        if parts
        else "No range stops anything that is asked at impact."
    )


def _beyond(departure: float) -> str:
    """How much more or less than holds the head."""
    if abs(departure) < JUST_THAT_DEG:
        return "just that"
    return f"{told_amount(abs(departure), 'deg')} {'more' if departure > 0 else 'less'}"
