"""A student's record on disk: its entries, and the writing of the body beside them."""

from __future__ import annotations

import datetime
import sqlite3
from collections import Counter
from collections.abc import Collection, Mapping, Sequence

from ...model.errors import TurnstillError
from ...model.films.readings import READINGS
from ..setups.former_names import todays_name
from ..setups.quantities import Value, echo
from ..setups.student import kept_in
from ..setups.student_file import reading, writing
from ..setups.student_layout import BODY, ENTRY, IMPACT, TABLES, VERSION_WITH_IMPACT, tables_of
from ..setups.student_refusals import damaged, error_name
from .entry import FIELDS, MOST_ENTRIES, NUMBERS, Entry, ImpactReading, checked

_COLUMNS = ", ".join(FIELDS)
_LAST_NUMBER = 2**63 - 1
_NO_ENTRY = " OR ".join(
    [f"typeof({name}) != 'text' OR instr({name}, char(0)) > 0" for name in ("date", "note")]
    + ["typeof(piece) NOT IN ('text', 'null')"]
    + [f"typeof({name}) NOT IN ('real', 'null') OR abs({name}) > 1e300" for name in NUMBERS]
)
"""What tells a row that nobody could read again, as SQLite sees it: in a tenth of a second for any record."""
_NO_READING = (
    "typeof(entry) != 'integer' OR entry NOT IN (SELECT id FROM entry) OR typeof(reading) != 'text' OR "
    f"reading NOT IN ({', '.join(repr(name) for name in READINGS)}) OR typeof(value) != 'real' OR "
    "typeof(sd) NOT IN ('real', 'null')"
)
"""The same of a reading at impact."""


def add(target: str, entries: Sequence[Entry]) -> list[int]:
    """Write entries in one transaction; a record that is not there yet is begun.

    Returns:
        Their numbers. When this returns, they are on the disk.

    Raises:
        TurnstillError: where nothing was written.
    """
    entries = [checked(entry) for entry in entries]
    stored: list[str] = []
    with writing(target, new=True, stored=stored) as base:
        return _insert(base, entries, target, stored)


def add_once(target: str, entry: Entry) -> tuple[int, bool]:
    """Write an entry that the record does not have yet.

    Returns:
        Its number, and whether it was there already: alike in every field.

    Raises:
        TurnstillError: where nothing was written.
    """
    checked(entry)
    stored: list[str] = []
    with writing(target, new=True, stored=stored) as base:
        alike = [number for number, one in _select(base, target, entry.date) if one == entry]
        return (alike[-1], True) if alike else (_insert(base, [entry], target, stored)[0], False)


def add_missing(target: str, entries: Sequence[Entry]) -> tuple[list[int], int]:
    """Write those entries that the record does not have yet, in one transaction.

    An entry the record has is one alike in every field; one that is given twice and is there once is written once.

    Returns:
        The numbers of those written, and how many were there already.

    Raises:
        TurnstillError: where nothing was written.
    """
    entries = [checked(entry) for entry in entries]
    stored: list[str] = []
    with writing(target, new=True, stored=stored) as base:
        there = Counter(entry for _, entry in _select(base, target))
        fresh = []
        for entry in entries:
            if there[entry] > 0:
                there[entry] -= 1
            else:
                fresh.append(entry)
        return _insert(base, fresh, target, stored), len(entries) - len(fresh)


def entries_of(target: str) -> list[tuple[int, Entry]]:
    """Every entry with its number, in the order they were written.

    Raises:
        TurnstillError: no such record, or none that can be read.
    """
    return contents_of(target)[0]


def contents_of(target: str) -> tuple[list[tuple[int, Entry]], dict[str, Value]]:
    """Every entry with its number, in the order they were written, and what is kept of the body, at one moment.

    Raises:
        TurnstillError: no such record, or none that can be read.
    """
    with reading(target) as base:
        return (_select(base, target) if tables_of(base, target) else []), kept_in(base, target)


def keep_body(target: str, changes: Mapping[str, Value], forgotten: Collection[str] = ()) -> None:
    """Keep a student's body and usual address, in one transaction; a record that is not there yet is begun.

    Args:
        target: the record.
        changes: name with its unit to value, beside or in place of what is kept already.
        forgotten: names not to be kept any more.

    Raises:
        TurnstillError: where nothing was written.
    """
    with writing(target, new=bool(changes), stored=(f"the body in {target}",)) as base:
        body = {**kept_in(base, target), **changes}
        body = {name: value for name, value in body.items() if name not in forgotten}
        if BODY not in tables_of(base, target):
            base.execute(TABLES[BODY])
        base.execute("DELETE FROM body")
        base.executemany("INSERT INTO body (name, value) VALUES (?, ?)", list(body.items()))


def _insert(base: sqlite3.Connection, entries: Sequence[Entry], target: str, stored: list[str]) -> list[int]:
    # Nothing is acknowledged into a record that could then not be read.
    for (number,) in base.execute(f"SELECT id FROM {ENTRY} WHERE {_NO_ENTRY} LIMIT 1"):
        raise damaged(target, f"entry {number} holds what no entry can")
    _check_readings(base, target)
    there = base.execute(f"SELECT count(*) FROM {ENTRY}").fetchone()[0]
    if there + len(entries) > MOST_ENTRIES:
        raise TurnstillError(
            f"The record holds {there} entries and may hold {MOST_ENTRIES}, so {len(entries)} more were not added; "
            "begin another."
        )
    places = ", ".join("?" * len(FIELDS))
    numbers = []
    for entry in entries:
        try:
            done = base.execute(
                f"INSERT INTO {ENTRY} ({_COLUMNS}) VALUES ({places})", [getattr(entry, name) for name in FIELDS]
            )
        except sqlite3.OperationalError as wrong:
            # SQLite says that the disk is full where it has no number left to give.
            if error_name(wrong) == "SQLITE_FULL" and _numbers_are_used_up(base):
                raise TurnstillError(
                    f"The record has no number left for another entry, {_LAST_NUMBER} being given, and nothing was "
                    "written; write it out with turnstill record show --csv and read that into a new record."
                ) from wrong
            raise
        numbers.append(int(done.lastrowid or 0))
    _insert_readings(base, target, dict(zip(numbers, entries, strict=True)))
    if numbers:
        what = f"entry {numbers[0]}" if len(numbers) == 1 else f"{len(numbers)} entries"
        stored.append(f"{what} in {target}")
    return numbers


def _insert_readings(base: sqlite3.Connection, target: str, entries: Mapping[int, Entry]) -> None:
    """What these entries hold of impact; the first such reading makes the table."""
    rows = [(number, one.name, one.value, one.sd) for number, entry in entries.items() for one in entry.at_impact]
    if not rows:
        return
    if IMPACT not in tables_of(base, target):
        base.execute(TABLES[IMPACT])
        base.execute(f"PRAGMA user_version = {VERSION_WITH_IMPACT}")
    base.executemany(f"INSERT INTO {IMPACT} (entry, reading, value, sd) VALUES (?, ?, ?, ?)", rows)


def _check_readings(base: sqlite3.Connection, target: str) -> bool:
    """Whether there are readings at impact, all of them of entries.

    Raises:
        TurnstillError: for one that is none.
    """
    if IMPACT not in tables_of(base, target):
        return False
    for _ in base.execute(f"SELECT 1 FROM {IMPACT} WHERE {_NO_READING} LIMIT 1"):
        raise damaged(target, "it holds a reading at impact that is none")
    return True


def _readings(base: sqlite3.Connection, target: str) -> dict[int, list[ImpactReading]]:
    """Number of an entry to what its film shows at impact, in the order of ``READINGS``."""
    found: dict[int, list[ImpactReading]] = {}
    if _check_readings(base, target):
        order = list(READINGS)
        rows = base.execute(f"SELECT entry, CAST(reading AS TEXT), value, sd FROM {IMPACT}").fetchall()
        for number, name, value, sd in sorted(rows, key=lambda row: order.index(row[1])):
            found.setdefault(number, []).append(ImpactReading(name, value, sd))
    return found


def _numbers_are_used_up(base: sqlite3.Connection) -> bool:
    last = [base.execute(f"SELECT max(id) FROM {ENTRY}").fetchone()[0]]
    last += [row[0] for row in base.execute("SELECT seq FROM sqlite_sequence WHERE name = 'entry'")]
    # Where somebody else set it, it may be beyond, or no number at all.
    return any(not isinstance(number, int | None) or number == _LAST_NUMBER for number in last)


def _select(base: sqlite3.Connection, target: str, date: str | None = None) -> list[tuple[int, Entry]]:
    """All entries, or those of a day."""
    # Undecoded, so that a text that is no text is a field of its entry and not an error of SQLite's.
    base.text_factory = lambda text: text.decode("utf-8", "surrogateescape")
    where, given = ("", ()) if date is None else ("WHERE date = ? ", (date,))
    asked = f"SELECT id, {_COLUMNS} FROM {ENTRY} {where}ORDER BY id LIMIT {MOST_ENTRIES + 1}"
    rows = base.execute(asked, given).fetchall()
    if len(rows) > MOST_ENTRIES:
        raise TurnstillError(
            f"The record {echo(target)} holds more than {MOST_ENTRIES} entries, which no student has; begin another."
        )
    found, readings = [], _readings(base, target)
    for row in rows:
        values = dict(zip(FIELDS, row[1:], strict=True))
        texts = (values["date"], values["note"], "" if values["piece"] is None else values["piece"])
        numbers = (values[name] for name in NUMBERS)
        if not all(isinstance(text, str) for text in texts) or not all(isinstance(n, float | None) for n in numbers):
            raise damaged(target, f"entry {row[0]} holds what no entry can")
        if values["piece"]:
            values["piece"] = todays_name(values["piece"])
        try:
            # Only what was written by something else can fail here, or a clock that was set back since.
            entry = Entry(**values, at_impact=tuple(readings.get(row[0], ())))
            found.append((int(row[0]), checked(entry, today=datetime.date.max)))
        except TurnstillError as wrong:
            raise damaged(target, f"in entry {row[0]} {str(wrong).rstrip('.')}") from wrong
    return found
