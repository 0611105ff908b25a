"""A student's record and the next feel as text in the terminal."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..delivery.terminal import render
from ..words.legible import legible
from ..words.measures import MEASURES
from ..words.pieces import NAMES, signed_amount
from ..words.units import length_unit, signed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import RenderableType
    from rich.table import Table

    from .next_report import NextReport
    from .report import EntryReport, RecordReport, ShowReport

ROWS = 24
"""Entries shown, the last ones; files hold them all."""
BY_HEAD_MARK = "~"


@dataclass(frozen=True)
class Column:
    """A column of the entries, the same in the terminal and on the page.

    Attributes:
        heading: a line each.
        unit: ``cm``, ``deg`` or empty.
        text: of an entry, lengths in inches where the flag is set.
    """

    heading: tuple[str, ...]
    unit: str
    text: Callable[[EntryReport, bool], str]

    def shown_unit(self, inches: bool, degree: str) -> str:
        """The unit written below the heading."""
        return length_unit(inches) if self.unit == "cm" else degree if self.unit == "deg" else ""


def _amount(key: str) -> Callable[[EntryReport, bool], str]:
    """A piece's amount, signed, with its unit; nothing where nothing was written."""

    def text(entry: EntryReport, inches: bool) -> str:
        value = getattr(entry, key)
        return "" if value is None or entry.unit is None else signed_amount(value, entry.unit, inches)

    return text


def is_by_head(entry: EntryReport) -> bool:
    """Whether nobody read what was got, and the head tells it."""
    return entry.got is None and entry.got_from == "head"


def _got(entry: EntryReport, inches: bool) -> str:
    if is_by_head(entry):
        return BY_HEAD_MARK + _amount("got_taken")(entry, inches)
    return _amount("got")(entry, inches)


def _place(key: str) -> Column:
    measure = MEASURES[key]

    def text(entry: EntryReport, inches: bool) -> str:
        return "" if getattr(entry, key) is None else measure.text(entry, inches)

    return Column(measure.short, "cm", text)


def _inclination(entry: EntryReport, inches: bool) -> str:
    return "" if entry.inclination_change_deg is None else signed(entry.inclination_change_deg)


_PIECE = Column(("piece",), "", lambda entry, inches: NAMES[entry.piece] if entry.piece else "film only")
COLUMNS = (
    Column(("no.",), "", lambda entry, inches: str(entry.id)),
    Column(("date",), "", lambda entry, inches: entry.date),
    _PIECE,
    Column(("felt",), "", _amount("felt")),
    Column(("got",), "", _got),
    *(_place(key) for key in ("head_toward_target_cm", "head_toward_ball_cm", "head_up_cm")),
    Column(("incl.", "down", "line"), "deg", _inclination),
)
"""Everything of an entry but its note."""
_LEFT = ("date", "piece")
_LONGEST_WORD = max(len(word) for name in NAMES.values() for word in name.split())


def record_table(report: ShowReport, inches: bool = False) -> str:
    """The entries, and what they tell.

    Args:
        report: its sentences in the unit to be shown.
        inches: lengths in inches.
    """
    from rich.text import Text

    hidden = len(report.entries) - ROWS
    items = [_entries(report.entries[-ROWS:], inches)] if report.entries else []
    more = [Text(f"{hidden} earlier entries are not shown; --csv and --json write them all.", style="dim")]
    return render(
        Text(f"{report.record}: what was asked for, and what the film showed", style="bold"),
        *(more if hidden > 0 else []),
        *items,
        *(Text(line) for line in report.sentences),
        Text(),
        *_impact(report),
        *_foot(report),
    )


def next_table(report: NextReport) -> str:
    """The next feel.

    Args:
        report: its sentences in the unit to be shown.
    """
    from rich.text import Text

    return render(
        Text(f"{report.record}: the next feel of {NAMES[report.piece]}", style="bold"),
        *(Text(line) for line in report.sentences),
        Text(),
        *_impact(report),
        *_foot(report),
    )


def _impact(report: RecordReport) -> list[RenderableType]:
    """What the last film that was read at impact says."""
    from rich.text import Text

    return [] if report.impact is None else [*(Text(line) for line in report.impact.sentences), Text()]


def _foot(report: RecordReport) -> list[RenderableType]:
    from rich.text import Text

    return [
        *(Text(f"Note: {line}", style="bold") for line in report.warnings),
        Text(f"Assumptions: {' '.join(report.assumptions)}", style="dim"),
        Text(" ".join(report.cautions)),
    ]


def _entries(entries: Sequence[EntryReport], inches: bool) -> Table:
    from rich import box
    from rich.table import Table
    from rich.text import Text

    # Eighty columns hold it: a heading that is cut short would be nobody's.
    table = Table(box=box.SIMPLE_HEAD, padding=0, pad_edge=False, caption_justify="left")
    for column in COLUMNS:
        lines = [*column.heading, *[""] * (3 - len(column.heading)), column.shown_unit(inches, "deg")]
        left = column.heading[0] in _LEFT
        table.add_column(
            "\n".join(lines),
            justify="left" if left else "right",
            no_wrap=column is not _PIECE,
            min_width=_LONGEST_WORD * (column is _PIECE),
        )
    noted = any(entry.note for entry in entries)
    if noted:
        table.add_column("note", overflow="fold", min_width=8)
    if any(is_by_head(entry) for entry in entries):
        table.caption = f"{BY_HEAD_MARK} as the head's movement since the film before tells; other pieces move it too."
    for entry in entries:
        note = [Text(legible(entry.note))] if noted else []
        table.add_row(*(column.text(entry, inches) for column in COLUMNS), *note)
    return table
