"""What a diagnosis is made of, as plain numbers: its readings, its pieces, its departures and what to check."""

from __future__ import annotations

from typing import Any, Self

import numpy as np

from ...model.films.readings import READINGS
from ...model.golfer.pieces import DEPARTURES, PIECES
from ..setups.reports import Number, Report
from .found import PER_UNIT, PRIOR, Diagnosed
from .readings import Reading


class ReadingReport(Report):
    """Something that was read, beside what films would show."""

    reading: str
    """name of the reading, its option without the unit"""
    unit: str
    """`cm` or `deg`, of all its numbers"""
    value: Number
    """as it was read"""
    sd: Number
    """how sure that is: one standard deviation"""
    sd_given: bool
    """whether that was given; else the usual one was taken"""
    given: str
    """as it was written"""
    without_a_fault: Number
    """what films of this golfer would show with no piece departing"""
    most_probable: Number
    """what they would show with the departures that these readings make likeliest"""

    @classmethod
    def of(cls, one: Reading, found: Diagnosed) -> Self:
        """One of the readings of a diagnosis."""
        place = list(READINGS).index(one.name)
        return cls(
            reading=one.name, unit=one.unit, value=one.value, sd=one.sd, sd_given=one.sd_given, given=one.given,
            without_a_fault=found.due[place], most_probable=found.shown[place],
        )  # fmt: skip


class ScaleReport(Report):
    """What heads as a unit were taken for."""

    head_width_cm: Number
    """one head width, ear to ear"""
    head_length_cm: Number
    """one head length, brow to back"""
    measured: tuple[bool, bool]
    """whether width and length were measured; else they are means of the survey for this body"""
    used: dict[str, list[str]]
    """unit other than cm and deg (such as `hw`, `hl`, `in`) to the readings it was used for"""


class MisfitReport(Report):
    """How far the readings are from all that a body can do."""

    chi_squared: Number
    """of the best that a body can do with all pieces free"""
    degrees_of_freedom: int
    """how many readings there are"""


class CheckReport(Report):
    """Which reading to look at again where nothing fits."""

    slip: str | None
    """`tenfold`, `sign` or `tenth`, with which undone the readings would fit; null where no usual slip explains them"""
    factor: Number | None
    """what undoes it"""
    readings: list[str]
    """in which it is undone"""
    furthest: str
    """the reading that is furthest from what golfers show"""
    furthest_sd: Number
    """by how many standard deviations"""


class HeadReport(Report):
    """A movement of the head; null where it cannot be told."""

    head_toward_target_cm: Number | None
    """toward the target"""
    head_up_cm: Number | None
    """up"""
    head_toward_ball_cm: Number | None
    """toward the ball"""


class PieceReport(Report):
    """What the readings say of one piece; amounts are null where nothing fits and nothing can be told."""

    piece: str
    """its name"""
    probability: Number
    """that it is at fault, and does not only depart a little as everybody does"""
    most_likely: Number | None
    """if it is: the departure's median, counted from what holds the head for the turn made; where even the sign is
    open, between the two sides"""
    low: Number | None
    """if it is: the lower end of the interval that holds it with 90 %"""
    high: Number | None
    """if it is: the upper end"""
    unit: str
    """`deg` or `cm`, of all its amounts"""
    largest_probability: Number
    """that of all pieces it departs furthest"""
    overall_low: Number | None
    """the lower end of the 90 % interval, whether it is at fault or not"""
    overall_high: Number | None
    """the upper end"""
    not_at_fault_sd: Number
    """standard deviation of the departure of those not at fault"""
    head_by_itself: HeadReport
    """where `most_likely` takes the head by itself, everything else as it was, tilt and extension in degrees
    included"""

    @classmethod
    def of(cls, found: Diagnosed, k: int) -> Self:
        """The piece of that place in ``DEPARTURES``."""
        name, told = DEPARTURES[k], found.found
        low, likely, high = found.amount[:, k]
        return cls(
            piece=name,
            probability=min(told.probability[0, k], 1.0),
            most_likely=_known(likely),
            low=_known(low),
            high=_known(high),
            unit=PIECES[name].unit,
            largest_probability=min(told.largest[0, k], 1.0),
            overall_low=_known(told.overall_low[0, k] * PER_UNIT[k]),
            overall_high=_known(told.overall_high[0, k] * PER_UNIT[k]),
            not_at_fault_sd=PRIOR.spike[name] * PER_UNIT[k],
            head_by_itself=HeadReport(
                **{way: _known(-found.back[k, _place(way)]) for way in HeadReport.model_fields}
            ),
        )  # fmt: skip


class ApartReport(Report):
    """Two pieces that these readings cannot tell apart."""

    of: tuple[str, str]
    """both, the likelier first"""
    reading: str | None
    """the unread one that would tell them apart best; null where none does well"""
    doubt_removed: Number
    """the share of the doubt between them that it is expected to take away"""


class DepartureReport(Report):
    """A departure under the explanation that these readings make likeliest, counted in two ways."""

    piece: str
    """its name"""
    unit: str
    """`deg` or `cm`"""
    made: Number
    """what the piece comes to"""
    from_what_holds_the_head: Number
    """how much more that is than holds the head for the turn made"""
    from_centred: Number
    """how much more than in the centred preset's turn of this golfer"""


def _place(key: str) -> int:
    """The place in ``READINGS`` of a key with its unit."""
    return [f"{name}_{unit}" for name, unit in READINGS.items()].index(key)


def _known(value: Any) -> float | None:
    """A number; none where it cannot be told, which happens only to readings that nothing fits."""
    return float(value) if np.isfinite(value) else None
