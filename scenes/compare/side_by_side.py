"""Numbers of several swings side by side, with what differs marked by sign and weight, not by colour alone."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from ..words.cautions import NOTICEABLE_CM, NOTICEABLE_DEG
from ..words.units import length_unit, shown_length, signed

Report = dict[str, Any]


@dataclass(frozen=True)
class Row:
    """One row: what it is, its kind (cm signed, cm off unsigned, deg or %) and how to find it in a report."""

    label: str
    kind: str
    find: Callable[[Report], float]


def _at(moment: int, field: str) -> Callable[[Report], float]:
    return lambda report: float(report["moments"][moment][field])


def _strays(report: Report) -> float:
    return max(math.hypot(moment["head_toward_target_cm"], moment["head_up_cm"]) for moment in report["moments"])


def _steady(field: str) -> Callable[[Report], float]:
    return lambda report: float(report["steady"][field])


GROUPS: tuple[tuple[str, tuple[Row, ...]], ...] = (
    (
        "Head, at the top",
        (
            Row("toward target", "cm", _at(-1, "head_toward_target_cm")),
            Row("toward ball", "cm", _at(-1, "head_toward_ball_cm")),
            Row("up", "cm", _at(-1, "head_up_cm")),
            Row("farthest from its place, face-on", "cm off", _strays),
        ),
    ),
    (
        "Trunk's inclination from the vertical (pelvis to base of neck)",
        (
            Row("down the line, at address", "deg", _at(0, "inclination_down_the_line_deg")),
            Row("down the line, at the top", "deg", _at(-1, "inclination_down_the_line_deg")),
            Row("in space, at the top", "deg", _at(-1, "inclination_deg")),
            Row("shoulder line to the horizontal", "deg", _at(-1, "shoulder_plane_deg")),
        ),
    ),
    (
        "Pieces achieved, at the top",
        (
            Row("hip turn", "deg", _at(-1, "hip_turn_deg")),
            Row("shoulder turn", "deg", _at(-1, "shoulder_turn_deg")),
            Row("tilt", "deg", _at(-1, "tilt_deg")),
            Row("extension", "deg", _at(-1, "extension_deg")),
            Row("lead knee flex", "deg", _at(-1, "lead_knee_flex_deg")),
            Row("trail knee flex", "deg", _at(-1, "trail_knee_flex_deg")),
            Row("pelvis toward target", "cm", _at(-1, "pelvis_toward_target_cm")),
            Row(
                "weight on trail foot, standing still", "%", lambda report: _at(-1, "trail_weight_share")(report) * 100
            ),
        ),
    ),
    (
        "What would keep this head still",
        (
            Row("tilt", "deg", _steady("tilt_deg")),
            Row("extension", "deg", _steady("extension_deg")),
            Row("tilt departs from that by", "deg", _steady("tilt_departure_deg")),
            Row("extension departs from that by", "deg", _steady("extension_departure_deg")),
        ),
    ),
)
_NOTICEABLE = {"cm": NOTICEABLE_CM, "cm off": NOTICEABLE_CM, "deg": NOTICEABLE_DEG, "%": 2.0}


def numbers_table(reports: Sequence[Report], inches: bool = False) -> str:
    """The table as HTML; values that differ noticeably from the first swing's are marked.

    Args:
        reports: of ``turnstill.scenes.simulate.report``, one a swing.
        inches: lengths in inches.
    """
    names = "".join(f'<th scope="col">{escape(report["preset"])}</th>' for report in reports)
    rows = []
    for title, group in GROUPS:
        rows.append(f'<tr class="group"><th scope="rowgroup" colspan="{len(reports) + 1}">{escape(title)}</th></tr>')
        rows += [_row(row, reports, inches) for row in group]
    return (
        f'<div class="scroll" style="--count: {len(reports)}"><table><caption>≠ and bold: differs noticeably from the '
        "first column, in brackets by how much.</caption>"
        f'<thead><tr><th scope="col">At the top, if not said otherwise</th>{names}</tr></thead>'
        f"<tbody>{''.join(rows)}</tbody></table></div>"
    )


def _row(row: Row, reports: Sequence[Report], inches: bool) -> str:
    unit = length_unit(inches) if row.kind.startswith("cm") else row.kind
    values = [row.find(report) for report in reports]
    cells = []
    for value in values:
        difference = value - values[0]
        text = _text(value, row.kind, inches)
        if abs(difference) >= _NOTICEABLE[row.kind]:
            by = shown_length(difference, inches) if row.kind.startswith("cm") else signed(difference)
            cells.append(f'<td class="differs">{text} <small>({_minus(by)})</small></td>')
        else:
            cells.append(f"<td>{text}</td>")
    return f'<tr><th scope="row">{escape(row.label)} <small>{unit}</small></th>{"".join(cells)}</tr>'


def _text(value: float, kind: str, inches: bool) -> str:
    if kind.startswith("cm"):
        text = shown_length(value, inches)
        return text.lstrip("+") if kind == "cm off" else _minus(text)
    return _minus(f"{round(value, 1) + 0.0:.{0 if kind == '%' else 1}f}")


def _minus(text: str) -> str:
    return text.replace("-", "−")
