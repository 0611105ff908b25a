"""A student's record as comma-separated values, there and back without losing anything."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from ...model.errors import TurnstillError
from ...model.films.readings import READINGS
from ..delivery.reading import plain_bytes
from ..delivery.sqlite_names import DATABASE
from ..setups.quantities import echo, nearest, read_number
from .entry import FIELDS, MOST_ENTRIES, Entry, ImpactReading, checked, read_piece, unit_of

LARGEST_FILE = 50_000_000
"""Bytes; more than any record."""
_AT_CELL_START = re.compile(
    r"""(?: \A [ "]* '* (?=[=+\-@\t\r\n＝＋－＠]) | (?<=[;\t\r\n]) [ "]* '* (?=[=+\-@＝＋－＠]) )""", re.VERBOSE
)
"""What stands before that which a spreadsheet might run when a cell begins with it; apostrophes are what is put there.

A cell may begin within a note too. A spreadsheet that parts cells by semicolons or tabs takes no notice of quotes in
the middle of a cell, and our whole row up to the note is one cell to it.
"""
_BYTE_ORDER_MARK = "\ufeff"


def _columns_of(reading: str) -> tuple[str, str]:
    """The columns of a reading at impact and of how sure it is, with its unit."""
    return f"impact_{reading}_{READINGS[reading]}", f"impact_{reading}_sd_{READINGS[reading]}"


OF_IMPACT: Mapping[str, tuple[str, bool]] = {
    column: (reading, bool(k)) for reading in READINGS for k, column in enumerate(_columns_of(reading))
}
"""Column to the reading at impact that it is of, and whether it is how sure that is. Those that an entry has are
written."""


def csv_text(entries: Sequence[Entry], *, mark: bool) -> str:
    """Entries as CSV, a row each, the names of the columns being the fields'.

    What a spreadsheet would take for a formula, in a note or in a part of one, gets an apostrophe before it, which
    ``csv_entries`` takes off.

    Args:
        entries: in the order to be written.
        mark: begin with a byte order mark, by which spreadsheets know UTF-8.
    """
    out = io.StringIO()
    # With this line end the writer puts quotes about either half of it inside a note.
    writer = csv.writer(out, lineterminator="\r\n")
    found = [_at_impact(entry) for entry in entries]
    used = {name for one in found for name, value in one.items() if value is not None}
    at_impact = [name for name in OF_IMPACT if name in used]
    writer.writerow([*FIELDS, *at_impact])
    for entry, there in zip(entries, found, strict=True):
        writer.writerow([_cell(getattr(entry, name)) for name in FIELDS] + [_cell(there.get(n)) for n in at_impact])
    return (_BYTE_ORDER_MARK if mark else "") + out.getvalue()


def _at_impact(entry: Entry) -> dict[str, float | None]:
    """Columns ``OF_IMPACT`` to what an entry has of them."""
    return {
        name: number
        for one in entry.at_impact
        for name, number in zip(_columns_of(one.name), (one.value, one.sd), strict=True)
    }


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return repr(value)
    text = str(value)
    return _AT_CELL_START.sub(r"\g<0>'", text)


def csv_entries(file: str) -> tuple[list[Entry], list[str]]:
    """Entries of a CSV file, all of them or an error.

    Commas, semicolons or tabs part the cells; with semicolons and tabs a number may have a decimal comma, as European
    spreadsheets save them. A number may bring its unit. A date may be written day.month.year. Columns may stand in any
    order or be left out.

    Returns:
        The entries, and sentences about how the file was read.

    Raises:
        TurnstillError: naming the row (the heading is row 1) and the column.
    """
    text, notes = _text(file)
    lines = text.split("\n", 1)[0]
    delimiter = max(",;\t", key=lines.count)
    rows = _rows(file, text, delimiter)
    columns = _columns(file, next(rows, []))
    entries: list[Entry] = []
    for number, row in enumerate(rows, start=2):
        if len(entries) == MOST_ENTRIES:
            raise TurnstillError(
                f"{echo(file)} has more than {MOST_ENTRIES} entries, which no record holds, and nothing was written; "
                "take a part of it."
            )
        if not any(cell.strip() for cell in row):
            continue
        if len(row) > len(columns) and any(cell.strip() for cell in row[len(columns) :]):
            raise TurnstillError(
                f"Row {number} of {echo(file)} has {len(row)} cells where the heading has {len(columns)}, and "
                "nothing was "
                "written; put quotes about text that holds the separator."
            )
        cells = dict(zip(columns, row, strict=False))
        entries.append(_entry(file, number, cells, european=delimiter != ","))
    return entries, notes


def _rows(file: str, text: str, delimiter: str) -> Iterator[list[str]]:
    """The rows one by one, so that a table that is wrong somewhere is not read to its end.

    Raises:
        TurnstillError: for what is no table, naming the line.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        yield from reader
    except csv.Error as wrong:
        # What it says of it is advice to programmers.
        raise TurnstillError(
            f"Line {reader.line_num} of {echo(file)} cannot be read as a row of cells, and nothing was written; a "
            f"cell has quotes that do not close or more than {csv.field_size_limit()} "
            "letters, so mend it or save the table again."
        ) from wrong


def _text(file: str) -> tuple[str, list[str]]:
    try:
        data = plain_bytes(Path(file), echo(file), most=LARGEST_FILE, what="record", instead="name a CSV file")
    except FileNotFoundError:
        raise TurnstillError(f"There is no file {echo(file)}; check its name.") from None
    if data.startswith(DATABASE):
        raise TurnstillError(
            f"{echo(file)} is a student's record and no table; write its entries out with turnstill record show --csv."
        )
    try:
        wide = data.startswith((b"\xff\xfe", b"\xfe\xff"))
        return data.decode("utf-16" if wide else "utf-8-sig"), []
    except UnicodeDecodeError:
        pass
    if b"\x00" in data:
        raise TurnstillError(f"{echo(file)} is not text; save the table as CSV.")
    # The usual encoding of a spreadsheet in western Europe that was not told to write UTF-8.
    note = f"{echo(file)} is not UTF-8, so it was read as Windows-1252; check letters with accents in the notes."
    return data.decode("cp1252", errors="replace"), [note]


def _columns(file: str, heading: Sequence[str]) -> list[str]:
    columns = [re.sub(r"[\s-]+", "_", name.strip().lower()) for name in heading]
    while columns and not columns[-1]:
        columns.pop()
    for name in columns:
        if name not in (*FIELDS, *OF_IMPACT):
            raise TurnstillError(
                f"Row 1 of {echo(file)} has the column {echo(name)}, but columns may be {', '.join(FIELDS)}, and of "
                f"impact such as impact_head_up_cm.{nearest(name, (*FIELDS, *OF_IMPACT))}"
            )
        if columns.count(name) > 1:
            raise TurnstillError(f"Row 1 of {echo(file)} has the column {name} twice; leave one out.")
    if "date" not in columns:
        raise TurnstillError(
            f"Row 1 of {echo(file)} has no column date, but must name the columns, date among them; add it (turnstill "
            "record show FILE --csv OUT writes an example)."
        )
    return columns


def _entry(file: str, number: int, cells: dict[str, str], *, european: bool) -> Entry:
    values: dict[str, object] = {"date": "", "note": ""}
    at_impact: dict[str, list[float | None]] = {}
    try:
        # The piece comes first: it has the unit of what was felt and got.
        for name, cell in sorted(cells.items(), key=lambda one: one[0] != "piece"):
            if name == "note":
                values[name] = _AT_CELL_START.sub(lambda before: before[0].removesuffix("'"), cell)
            elif name == "date":
                values[name] = _date(cell.strip())
            elif name in OF_IMPACT:
                if cell.strip():
                    reading, is_sd = OF_IMPACT[name]
                    at_impact.setdefault(reading, [None, None])[is_sd] = _number(name, cell.strip(), values, european)
            elif cell.strip():
                values[name] = read_piece(cell) if name == "piece" else _number(name, cell.strip(), values, european)
        values["at_impact"] = tuple(_reading(name, *at_impact[name]) for name in READINGS if name in at_impact)
        return checked(Entry(**values))  # type: ignore[arg-type]
    except TurnstillError as wrong:
        raise TurnstillError(f"Row {number} of {echo(file)}, and nothing was written: {wrong}") from wrong


def _reading(name: str, value: float | None, sd: float | None) -> ImpactReading:
    if value is None:
        column, of_sd = _columns_of(name)
        raise TurnstillError(f"{of_sd} was given without {column}, so give that as well or leave it out.")
    return ImpactReading(name, value, sd)


def _date(text: str) -> str:
    # With dots the day always comes first; with slashes nobody can know, so those are refused.
    match = re.fullmatch(r"(\d\d?)\.(\d\d?)\.(\d{4})", text, re.ASCII)
    return f"{match[3]}-{int(match[2]):02}-{int(match[1]):02}" if match else text


def _number(name: str, text: str, values: Mapping[str, object], european: bool) -> float:
    plain = text.replace(",", ".") if european and "." not in text else text
    piece = values.get("piece")
    return read_number(name, plain, unit_of(name, None if piece is None else str(piece)))[0]
