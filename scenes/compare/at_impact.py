"""What differs between two swings at impact, in sentences made from the computed numbers only."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ...model.arrays import Array
from ..setups.quantities import IMPACT_SECTION, Entry, section_entries
from ..setups.reports import HeldHead
from ..simulate.report import ImpactReport, SwingReport
from ..words.cautions import NOTICEABLE_CM, listed, spoken
from ..words.golfer import is_wanted_elsewhere, wanted_place
from ..words.pieces import head_words, told_amount
from ..words.units import told_length

STRIKE = "What that does where the club meets the ball, turnstill strike says."


def sentences_at_impact(
    to_top: Sequence[str], first: SwingReport, later: SwingReport, *, alike: bool, inches: bool = False
) -> list[str]:
    """What differs between two swings that go on through impact, what they were asked first.

    Args:
        to_top: what is said of them up to the top.
        first: the swing compared with.
        later: the swing compared.
        alike: whether they were asked the same up to the top, so that ``to_top`` says no more than that.
        inches: lengths in inches.
    """
    otherwise, heads = _asked_otherwise(first, later, inches), _heads(first, later, inches)
    if not alike:
        if otherwise:
            return [*to_top, f"At impact {listed(otherwise)}. {STRIKE}", heads]
        return [*to_top, f"Both are asked the same at impact. {heads}"]
    if not otherwise:
        return [
            f"{later.preset} was asked for just what {first.preset} was, to the top and at impact: nothing differs."
        ]
    lead = (
        f"Up to the top {later.preset} was asked for just what {first.preset} was, and nothing differs; at impact "
        f"{listed(otherwise)}."
    )
    return [lead, heads, STRIKE]


def _asked_otherwise(first: SwingReport, later: SwingReport, inches: bool) -> list[str]:
    """What is asked otherwise at impact: ``hips toward ball is 7.0 cm (centred has 2.0 cm)``."""
    there, other = _impact(later), _impact(first)
    parts = []
    for key, entry in section_entries(IMPACT_SECTION).items():
        if key in there.given and there.given[key] != other.given[key]:
            has, had = (_amount(one, key, entry, inches) for one in (there, other))
            parts.append(f"{spoken(entry.bare)} is {has} ({first.preset} has {had})")
    if there.head_held != other.head_held:
        wanted, was = (_wanted(one.head_held, inches) for one in (there, other))
        parts.append(f"the head is wanted {wanted} (in {first.preset} {was})")
    return parts


def _amount(there: ImpactReport, key: str, entry: Entry, inches: bool) -> str:
    """Of a piece as a number, and as it was written where that is steady."""
    given = there.given[key]
    amount = there.asked.get(key, given)
    if entry.quantity is None or isinstance(amount, str):
        return str(given)
    told = told_amount(amount, entry.quantity.unit, inches)
    return f"{told}, {given}" if isinstance(given, str) else told


def _wanted(held: HeldHead, inches: bool) -> str:
    return f"{wanted_place(held, inches)} than at address" if is_wanted_elsewhere(held) else "where it was at address"


def _heads(first: SwingReport, later: SwingReport, inches: bool) -> str:
    """Where both heads are at impact."""
    here, there = _head(first), _head(later)
    if float(np.linalg.norm(there - here)) < NOTICEABLE_CM:
        within = told_length(NOTICEABLE_CM, inches)
        return f"At impact both heads are in the same place (to {within}), {_placed(here, inches)}."
    return (
        f"At impact the head of {first.preset} is {_placed(here, inches)}; that of {later.preset} is "
        f"{_placed(there, inches)}."
    )


def _placed(place: Array, inches: bool) -> str:
    if float(np.linalg.norm(place)) < NOTICEABLE_CM:
        return f"within {told_length(NOTICEABLE_CM, inches)} of where it was at address"
    return f"{head_words(place, inches)} than at address"


def _head(report: SwingReport) -> Array:
    """``(3,)`` cm since address: toward ball, toward target, up."""
    at = report.moments[_impact(report).moment]
    return np.array([at.head_toward_ball_cm, at.head_toward_target_cm, at.head_up_cm])


def _impact(report: SwingReport) -> ImpactReport:
    assert report.at_impact is not None  # Swings that are told of at impact go there.
    return report.at_impact
