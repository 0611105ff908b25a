"""A map as a table in the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..delivery.terminal import render
from ..words import cautions
from ..words.cautions import spoken
from ..words.golfer import golfer_words
from ..words.pieces import told_amount
from ..words.units import length_unit, shown_length

if TYPE_CHECKING:
    from rich.table import Table

Report = dict[str, Any]
COLUMNS, ROWS = 5, 9
"""Places shown; files hold them all."""


def map_table(report: Report, inches: bool = False) -> str:
    """Some of the map's places, and what that means.

    Args:
        report: of ``turnstill.scenes.map.report``.
        inches: lengths in inches.
    """
    from rich.text import Text

    x, y = (spoken(report[a]["piece"]) for a in "xy")
    return render(
        Text(f"{report['preset']}: {x} and {y} ({golfer_words(report['body'], inches)})", style="bold"),
        Text(
            f"The head at the top: toward the target and up, {length_unit(inches)}. Across {x}, upward {y}. "
            f"* the head is still; (in brackets) the joints do not allow it.",
            style="dim",
        ),
        _table(report, inches),
        *(Text(line) for line in report["sentences"]),
        Text(),
        *(Text(f"Note: {line}", style="bold") for line in report["warnings"]),
        Text(cautions.ANGLE_ORDER, style="dim"),
        Text(" ".join(cautions.CAUTIONS), style="dim"),
    )


def some(count: int, most: int) -> list[int]:
    """Indices evenly spread over a map's side, both ends and the middle among them."""
    if count <= most:
        return list(range(count))
    return [round(k * (count - 1) / (most - 1)) for k in range(most)]


def _table(report: Report, inches: bool) -> Table:
    from rich import box
    from rich.table import Table

    x, y = report["x"], report["y"]
    columns, rows = some(len(x["values"]), COLUMNS), some(len(y["values"]), ROWS)
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)
    table.add_column("", justify="right", no_wrap=True)
    for k in columns:
        table.add_column(told_amount(x["values"][k], x["unit"], inches), justify="right", no_wrap=True)
    for row in reversed(rows):
        cells = [cell(report, row, column, inches) for column in columns]
        table.add_row(told_amount(y["values"][row], y["unit"], inches), *cells)
    return table


def cell(report: Report, row: int, column: int, inches: bool) -> str:
    """One place: the head toward the target and up; a star where it is still, brackets where it is not allowed."""
    target, up = (shown_length(report[f"head_{way}_cm"][row][column], inches) for way in ("toward_target", "up"))
    if not report["reached"][row][column]:
        return f"({target} {up})"
    return f"*{target} {up} " if report["still"][row][column] else f"{target} {up} "
