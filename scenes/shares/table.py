"""Shares as tables in the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ..delivery.terminal import render
from ..words import cautions
from ..words.pieces import NAMES, told_amount
from ..words.units import length_unit, shown_length, signed, told_stature
from .words import REFERENCE_WORDS

if TYPE_CHECKING:
    from rich.table import Table

WAYS = ("toward_target", "toward_ball", "up")


def shares_table(report: dict[str, Any], inches: bool = False) -> str:
    """What each piece did, what a little more of it would do, and a sentence or two.

    Args:
        report: of ``turnstill.scenes.shares.work``.
        inches: lengths in inches.
    """
    from rich.text import Text

    body = report["body"]
    who = f"{told_stature(body['stature_cm'], inches)}, {body['mass_kg']:.0f} kg, {body['sex']}"
    shows = f": {report['shows']}" if report["shows"] else ""
    return render(
        Text(f"{report['preset']}{shows} ({who}, {body['handedness']}-handed)", style="bold"),
        Text(f"Shares of the head's place at the top, against {REFERENCE_WORDS[report['reference']]}.", style="dim"),
        _shares(report, inches),
        Text("How far the head goes for a little more of each piece from here, the others kept.", style="dim"),
        _sensitivities(report, inches),
        *(Text(line) for line in report["sentences"]),
        Text(),
        *(Text(f"Note: {line}", style="bold") for line in report["warnings"]),
        Text(cautions.ANGLE_ORDER, style="dim"),
        Text(" ".join(cautions.CAUTIONS), style="dim"),
    )


def _table(headings: Sequence[str]) -> Table:
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1), pad_edge=False)
    for k, heading in enumerate(headings):
        table.add_column(heading, justify="left" if k == 0 else "right", no_wrap=True)
    return table


def _outcome(row: dict[str, Any], inches: bool, decimals: int) -> list[str]:
    lengths = [shown_length(row[f"head_{way}_cm"], inches, decimals) for way in WAYS]
    return [*lengths, signed(row["inclination_deg"], decimals)]


def _shares(report: dict[str, Any], inches: bool) -> Table:
    unit = length_unit(inches)
    heads = (f"toward\ntarget\n{unit}", f"toward\nball\n{unit}", f"up\n\n{unit}", "incl.\n\ndeg")
    table = _table(("piece at the top", "this\nswing\n", "refer-\nence\n", *heads))
    for share in report["shares"]:
        amounts = [told_amount(share[key], share["unit"], inches) for key in ("asked", "in_reference")]
        table.add_row(NAMES[share["piece"]], *amounts, *_outcome(share, inches, 1))
    table.add_section()
    table.add_row("together", "", "", *_outcome(report["total"], inches, 1))
    return table


def _sensitivities(report: dict[str, Any], inches: bool) -> Table:
    unit = length_unit(inches)
    heads = (f"toward\ntarget\n{unit}", f"toward\nball\n{unit}", f"up\n\n{unit}", "incl.\n\ndeg")
    table = _table(("one more\n\n", "of", *heads))
    for row in report["sensitivities"]:
        table.add_row("degree" if row["per"] == "deg" else "cm", NAMES[row["piece"]], *_outcome(row, inches, 2))
    return table
