"""A map in plain sentences made from the computed numbers only."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from ..words.cautions import listed, spoken
from ..words.pieces import head_words, told_amount
from ..words.units import told_length

Report = dict[str, Any]


def still_words(report: Report, inches: bool = False) -> str:
    """What counts as still."""
    return (
        f"still means within {told_length(report['still_within_cm'], inches)} of its place at address as seen face-on, "
        "sideways and in height together"
    )


def amounts(report: Report, at: str, inches: bool = False) -> str:
    """What ``this_swing`` or ``steady`` has of the two pieces, in words."""
    return _of_both(report, [report[a][at] for a in "xy"], inches)


def _of_both(report: Report, values: Sequence[float], inches: bool) -> str:
    return listed(
        [
            f"{told_amount(value, report[a]['unit'], inches)} of {spoken(report[a]['piece'])}"
            for a, value in zip("xy", values, strict=True)
        ]
    )


def sentences(report: Report, inches: bool = False) -> list[str]:
    """Where this swing is on its map, where the head is still, and what cannot be reached."""
    head = report["this_swing"]
    place = np.array([head[f"head_{way}_cm"] for way in ("toward_ball", "toward_target", "up")])
    lines = [f"This swing has {amounts(report, 'this_swing', inches)}: its head ends {head_words(place, inches)}."]
    names = {report[a]["piece"] for a in "xy"}
    held = names & {"tilt", "extension"}
    if held == {"tilt", "extension"}:
        lines.append(f"What holds this head for this turn is {amounts(report, 'steady', inches)}.")
    elif held:
        (name,) = held
        axis = next(report[a] for a in "xy" if report[a]["piece"] == name)
        other = "extension" if name == "tilt" else "tilt"
        lines.append(
            f"What holds this head for this swing's turn is {told_amount(axis['steady'], axis['unit'], inches)} of "
            f"{name}, with the {other} that goes with it; here {other} is kept at "
            f"{told_amount(report['kept'][other], 'deg')}."
        )
    lines += [_band(report, inches), _reach(report)]
    return [line for line in lines if line]


def _band(report: Report, inches: bool) -> str:
    band, meaning = report["still_band"], still_words(report, inches)
    if band is None:
        best = report["stillest"]
        if best is None:
            return ""
        at = _of_both(report, [best["x"], best["y"]], inches)
        return (
            f"Nowhere on this map is the head still ({meaning}); the nearest, {told_length(best['off_cm'], inches)} "
            f"off, is at {at}."
        )
    parts = []
    for a in "xy":
        low, high = (told_amount(value, report[a]["unit"], inches) for value in band[a])
        # It may go on where the map ends.
        edge = " (to the map's edge)" if {*band[a]} & {report[a]["values"][0], report[a]["values"][-1]} else ""
        parts.append(f"{spoken(report[a]['piece'])} from {low} to {high}{edge}")
    return f"The still band reaches over {' and '.join(parts)}, though not over every pair of these; {meaning}."


def _reach(report: Report) -> str:
    cells = [cell for row in report["reached"] for cell in row]
    part = sum(cells) / len(cells)
    if part == 1.0:
        return "The joints allow every place on this map."
    names = sorted(report["stopped_cells"], key=lambda name: -int(report["stopped_cells"][name]))[:3]
    by = f", mostly because of {listed([_range(name) for name in names])}" if names else ""
    return (
        f"The joints allow {part:.0%} of the places on this map; the others are out of reach{by}, and show the nearest "
        "that the joints allow."
    )


def _range(name: str) -> str:
    return "the trunk's range" if name == "trunk" else spoken(name)
