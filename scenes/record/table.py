"""A student's record and the next feel as text in the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..delivery.terminal import render
from ..words.pieces import NAMES, told_amount
from ..words.units import length_unit, shown_length, signed
from .entry import HEADS

if TYPE_CHECKING:
    from rich.table import Table

Report = dict[str, Any]
ROWS = 24
"""Entries shown, the last ones; files hold them all."""


def record_table(report: Report, inches: bool = False) -> str:
    """The entries, and what they tell.

    Args:
        report: of ``turnstill.scenes.record.report``.
        inches: lengths in inches.
    """
    from rich.text import Text

    entries = report["entries"]
    hidden = len(entries) - ROWS
    items = [_entries(entries[-ROWS:], inches)] if entries else []
    more = [Text(f"{hidden} earlier entries are not shown; --csv and --json write them all.", style="dim")]
    return render(
        Text(f"{report['record']}: what was asked for, and what the film showed", style="bold"),
        *(more if hidden > 0 else []),
        *items,
        *(Text(line) for line in report["sentences"]),
        Text(),
        *_foot(report),
    )


def next_table(report: Report) -> str:
    """The next feel.

    Args:
        report: of ``turnstill.scenes.record.report``, its sentences in the unit to be shown.
    """
    from rich.text import Text

    return render(
        Text(f"{report['record']}: the next feel of {NAMES[report['piece']]}", style="bold"),
        *(Text(line) for line in report["sentences"]),
        Text(),
        *_foot(report),
    )


def _foot(report: Report) -> list[Any]:
    from rich.text import Text

    return [
        *(Text(f"Note: {line}", style="bold") for line in report["warnings"]),
        Text(f"Assumptions: {' '.join(report['assumptions'])}", style="dim"),
        Text(" ".join(report["cautions"])),
    ]


def amount(entry: Report, key: str, inches: bool) -> str:
    """A piece's amount of an entry, signed, with its unit; nothing where nothing was written."""
    value = entry[key]
    if value is None:
        return ""
    return ("+" if value > 0 else "") + told_amount(value, entry["unit"], inches)


def got(entry: Report, inches: bool) -> str:
    """What was got: as read, or as the head tells, marked so."""
    if entry["got"] is None and entry["got_from"] == "head":
        return f"~{amount(entry, 'got_taken', inches)}"
    return amount(entry, "got", inches)


def _entries(entries: list[Report], inches: bool) -> Table:
    from rich import box
    from rich.table import Table

    unit = length_unit(inches)
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1), pad_edge=False, caption_justify="left")
    heads = (f"head\ntarget\n{unit}", f"head\nball\n{unit}", f"head\nup\n{unit}", "incl.\n\ndeg")
    for k, name in enumerate(("date", "piece", "felt", "got", *heads)):
        table.add_column(name, justify="left" if k < 2 else "right", no_wrap=True)
    table.add_column("note", overflow="fold", min_width=10)
    if any(entry["got"] is None and entry["got_from"] == "head" for entry in entries):
        table.caption = "~ as the head's movement since the film before tells; other pieces move it too."
    for entry in entries:
        places = ["" if entry[key] is None else shown_length(entry[key], inches) for key in HEADS]
        inclination = entry["inclination_change_deg"]
        table.add_row(
            entry["date"],
            NAMES[entry["piece"]] if entry["piece"] else "film only",
            amount(entry, "felt", inches),
            got(entry, inches),
            *places,
            "" if inclination is None else signed(inclination),
            plain(entry["note"]),
        )
    return table


def plain(note: str) -> Any:
    """A note as one line without anything a terminal or a markup would act on."""
    from rich.text import Text

    return Text("".join(c if c.isprintable() else " " for c in note))
