"""Numbers of several swings side by side, with what differs marked by sign and weight, not by colour alone."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from ..paper.tables import ShownRow
from ..simulate.report import SwingReport
from ..words.at_impact import SIGNS
from ..words.cautions import NOTICEABLE_CM, NOTICEABLE_DEG
from ..words.measures import MEASURES, Measure
from ..words.units import CM_PER_INCH, signed

FARTHEST = Measure("farthest_cm", "farthest from its place, face-on", ("farthest",))
HELD = {
    key: Measure(key, words, (words,))
    for key, words in (
        ("tilt_deg", "tilt"),
        ("extension_deg", "extension"),
        ("tilt_departure_deg", "tilt departs from that by"),
        ("extension_departure_deg", "extension departs from that by"),
    )
}
_NOTICEABLE = {"cm": NOTICEABLE_CM, "°": NOTICEABLE_DEG, "%": 2.0}


@dataclass(frozen=True)
class Row:
    """One row of the table.

    Attributes:
        measure: what is shown, and by which name.
        source: the part of a report that has it.
        words: the row's name where the measure's own would repeat the group's.
        signed: whether it has a sign.
    """

    measure: Measure
    source: Callable[[SwingReport], Any]
    words: str = ""
    signed: bool = True

    @property
    def name(self) -> str:
        """What stands before the numbers."""
        return self.words or self.measure.words


@dataclass(frozen=True)
class Cell:
    """A number of one swing, and how it differs from the first one's where that is noticeable."""

    text: str
    by: str


@dataclass(frozen=True)
class _Farthest:
    farthest_cm: float


def _top(report: SwingReport) -> Any:
    return report.to_top[-1]


def _address(report: SwingReport) -> Any:
    return report.moments[0]


def _impact(report: SwingReport) -> Any:
    return None if report.at_impact is None else report.moments[report.at_impact.moment]


def _held(report: SwingReport) -> Any:
    return report.steady


def _farthest(report: SwingReport) -> _Farthest:
    return _Farthest(max(math.hypot(at.head_toward_target_cm, at.head_up_cm) for at in report.to_top))


GROUPS: tuple[tuple[str, tuple[Row, ...]], ...] = (
    (
        "Head, at the top",
        (
            Row(MEASURES["head_toward_target_cm"], _top, "toward target"),
            Row(MEASURES["head_toward_ball_cm"], _top, "toward ball"),
            Row(MEASURES["head_up_cm"], _top, "up"),
            Row(FARTHEST, _farthest, signed=False),
        ),
    ),
    (
        "Trunk's inclination from the vertical (pelvis to base of neck)",
        (
            Row(MEASURES["inclination_down_the_line_deg"], _address, "down the line, at address"),
            Row(MEASURES["inclination_down_the_line_deg"], _top, "down the line, at the top"),
            Row(MEASURES["inclination_deg"], _top, "in space, at the top"),
            Row(MEASURES["shoulder_plane_deg"], _top),
        ),
    ),
    (
        "Pieces achieved, at the top",
        tuple(
            Row(MEASURES[key], _top)
            for key in (
                "hip_turn_deg", "shoulder_turn_deg", "tilt_deg", "extension_deg", "lead_knee_flex_deg",
                "trail_knee_flex_deg", "pelvis_toward_target_cm", "trail_weight_share",
                "balance_margin_cm",
            )
        ),
    ),
    ("What would keep this head still", tuple(Row(measure, _held) for measure in HELD.values())),
)  # fmt: skip
AT_IMPACT: tuple[tuple[str, tuple[Row, ...]], ...] = (
    (
        "Head, at impact",
        (
            Row(MEASURES["head_toward_target_cm"], _impact, "toward target"),
            Row(MEASURES["head_toward_ball_cm"], _impact, "toward ball"),
            Row(MEASURES["head_up_cm"], _impact, "up"),
        ),
    ),
    (
        f"Trunk and pieces achieved, at impact. {SIGNS}",
        tuple(
            Row(MEASURES[key], _impact)
            for key in (
                "inclination_deg", "inclination_down_the_line_deg", "hip_turn_deg", "shoulder_turn_deg", "tilt_deg",
                "extension_deg", "lead_knee_flex_deg", "trail_knee_flex_deg", "pelvis_toward_target_cm",
                "pelvis_toward_ball_cm",
            )
        ),
    ),
)  # fmt: skip
"""Groups of swings that go on through impact."""


def numbers(
    reports: Sequence[SwingReport], inches: bool = False, *, impact_first: bool = False
) -> list[tuple[str, list[ShownRow[Cell]]]]:
    """Groups of rows by title; cells that differ noticeably from the first swing's say by how much.

    Args:
        reports: one a swing.
        inches: lengths in inches.
        impact_first: whether groups of impact stand before those of the top.
    """
    on = () if any(report.at_impact is None for report in reports) else AT_IMPACT
    groups = (*on, *GROUPS) if impact_first else (*GROUPS, *on)
    return [(title, [_shown(row, reports, inches) for row in rows]) for title, rows in groups]


def _shown(row: Row, reports: Sequence[SwingReport], inches: bool) -> ShownRow[Cell]:
    measure = row.measure
    noticeable = _NOTICEABLE[measure.unit()] / (CM_PER_INCH if measure.is_length and inches else 1.0)
    first = row.source(reports[0])
    cells = []
    for report in reports:
        here = row.source(report)
        text = measure.text(here, inches)
        # Of the numbers as they are shown, so that two cells that read the same are marked the same.
        apart = measure.difference(here, first, inches)
        by = signed(apart, measure.decimals(inches)) if abs(apart) >= noticeable - 1e-9 else ""
        cells.append(Cell(text if row.signed else text.lstrip("+"), by))
    return ShownRow(row.name, measure.unit(inches), cells)
