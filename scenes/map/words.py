"""A map in plain sentences made from the computed numbers only."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from ...model.golfer.pieces import PIECES
from ..words.cautions import listed, spoken
from ..words.golfer import is_wanted_elsewhere, wanted_place
from ..words.pieces import ALL_ELSE_STAYS, head_words, told_amount
from ..words.units import told_length

if TYPE_CHECKING:
    from .report import MapAxis, MapReport, StillBand

ALL_ELSE_AS_IT_WAS = "everything else as it was"
MOST_RANGES = 3
"""Ranges that are named where a map cannot be reached."""


def still_words(report: MapReport, inches: bool) -> str:
    """What counts as still."""
    return (
        f"still means within {told_length(report.still_within_cm, inches)} of {its_place(report)} as seen face-on, "
        "sideways and in height together"
    )


def its_place(report: MapReport) -> str:
    """What the head is counted from."""
    return "where it is wanted" if is_wanted_elsewhere(report.head_held) else "its place at address"


def counted_words(report: MapReport, measure: str = "head_toward_target_cm") -> str:
    """The same after where the head is; of depth, where nothing is wanted, it is its place at address."""
    elsewhere = is_wanted_elsewhere(report.head_held) and measure != "head_toward_ball_cm"
    return "from where it is wanted" if elsewhere else "since address"


def held_words(report: MapReport) -> str:
    """What the steady answer of this swing does to its head."""
    return "what holds this head" if report.can_be_held else "what leaves this head nearest to its place"


def this_swing_words(report: MapReport, inches: bool) -> str:
    """What the swing has of the two pieces."""
    return amounts(report, [axis.this_swing for axis in report.axes], inches)


def steady_words(report: MapReport, inches: bool) -> str:
    """What holds the head, of the two pieces."""
    return amounts(report, [axis.steady for axis in report.axes], inches)


def amounts(report: MapReport, values: Sequence[float], inches: bool) -> str:
    """An amount of each of the two pieces, for example ``37.5° of tilt and 30.1° of extension``."""
    return listed(
        [
            f"{told_amount(value, axis.unit, inches)} of {spoken(axis.piece)}"
            for axis, value in zip(report.axes, values, strict=True)
        ]
    )


def sentences(report: MapReport, inches: bool = False) -> list[str]:
    """Where this swing is on its map, where the head is still, and what cannot be reached."""
    lines = [_this_swing(report, inches), _held(report, inches), _band(report, inches), _reach(report)]
    return [line for line in lines if line]


def _this_swing(report: MapReport, inches: bool) -> str:
    head = report.this_swing
    place = np.array([head.head_toward_ball_cm, head.head_toward_target_cm, head.head_up_cm])
    held = report.head_held
    meant = f" than at address, and is wanted {wanted_place(held, inches)}" if is_wanted_elsewhere(held) else ""
    return f"This swing has {this_swing_words(report, inches)}: its head ends {head_words(place, inches)}{meant}."


def _held(report: MapReport, inches: bool) -> str:
    lead = held_words(report)
    lead, held = f"{lead[0].upper()}{lead[1:]}", report.held_by
    still_off = "" if report.can_be_held else f", {told_length(report.steady_miss_cm, inches)} off"
    if len(held) == 2:
        return f"{lead} for this turn is {steady_words(report, inches)}{still_off}."
    if not held:
        return ""
    (axis,) = held
    other = "extension" if axis.piece == "tilt" else "tilt"
    return (
        f"{lead} for this swing's turn is {told_amount(axis.steady, axis.unit, inches)} of {axis.piece}, with the "
        f"{other} that goes with it{still_off}; here {other} is kept at {told_amount(report.kept[other], 'deg')}."
    )


def _band(report: MapReport, inches: bool) -> str:
    band, meaning = report.still_band, still_words(report, inches)
    if band is not None:
        parts = [_reaches(axis, ends, inches) for axis, ends in zip(report.axes, _ends(band), strict=True)]
        return f"The still band reaches over {' and '.join(parts)}, though not over every pair of these; {meaning}."
    if (best := report.stillest) is None:
        return ""
    return (
        f"Nowhere on this map is the head still ({meaning}); the nearest, {told_length(best.off_cm, inches)} "
        f"off, is at {amounts(report, [best.x, best.y], inches)}."
    )


def _ends(band: StillBand) -> tuple[tuple[float, float], tuple[float, float]]:
    return band.x, band.y


def _reaches(axis: MapAxis, ends: tuple[float, float], inches: bool) -> str:
    low, high = (told_amount(end, axis.unit, inches) for end in ends)
    # It may go on where the map ends.
    edge = " (to the map's edge)" if {*ends} & {axis.values[0], axis.values[-1]} else ""
    return f"{spoken(axis.piece)} from {low} to {high}{edge}"


def _reach(report: MapReport) -> str:
    cells = [cell for row in report.reached for cell in row]
    if all(cells):
        return "The joints allow every place on this map."
    names = sorted(report.stopped_cells, key=lambda name: -report.stopped_cells[name])[:MOST_RANGES]
    by = f", mostly because of {listed([_range(name) for name in names])}" if names else ""
    return (
        f"The joints allow {sum(cells) / len(cells):.0%} of the places on this map; the others are out of reach{by}, "
        "and show the nearest that the joints allow."
    )


def _range(name: str) -> str:
    return "the trunk's range" if name == "trunk" else spoken(name)


def all_else_words(report: MapReport) -> str:
    """What stays as it is everywhere on the map."""
    return ALL_ELSE_AS_IT_WAS if report.held_by else ALL_ELSE_STAYS


def kept_words(report: MapReport, inches: bool) -> list[str]:
    """Every other piece with what it has everywhere on the map, for example ``hip turn 45.0°``."""
    return [f"{spoken(name)} {told_amount(value, PIECES[name].unit, inches)}" for name, value in report.kept.items()]


def unsure_words(count: int, places: int) -> list[str]:
    """That the solver did not converge at so many of the places; nothing where it did at all."""
    if not count:
        return []
    return [f"The solver did not converge at {count} of {places} places; they count as not reached."]
