"""A swing as comma-separated values: one row a moment, units in every column's name."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from ..words.units import in_unit

if TYPE_CHECKING:
    from .report import MomentReport, SwingReport


def csv_text(report: SwingReport, inches: bool = False) -> str:
    """One row a moment, nested values spread over columns.

    Args:
        report: the swing.
        inches: lengths in inches instead of centimetres and metres, as the columns' names then say.
    """
    rows = [_flat(moment, inches) for moment in report.moments]
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def _flat(moment: MomentReport, inches: bool) -> dict[str, object]:
    row: dict[str, object] = {}
    for key, value in moment:
        if key == "joint_angles_deg":
            row.update({f"joint_{name}_deg": angle for name, angle in value.items()})
        elif key == "joints_m":
            for name, place in value.items():
                for axis, number in zip("xyz", place, strict=True):
                    column, shown = in_unit(f"{name}_{axis}_m", number, inches)
                    row[column] = shown
        elif key in ("limited_by", "arms_limited_by"):
            row[key] = " ".join(value)
        elif isinstance(value, bool):
            row[key] = "yes" if value else "no"
        else:
            column, shown = in_unit(key, value, inches)
            row[column] = shown
    return row
