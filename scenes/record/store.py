"""A student's record on disk: its entries, and the writing of the body beside them."""

from __future__ import annotations

import datetime
import sqlite3
from collections import Counter
from collections.abc import Collection, Mapping, Sequence

from ...model.errors import TurnstillError
from ..setups.former_names import todays_name
from ..setups.quantities import Value
from ..setups.student import BODY, BODY_COLUMNS, BODY_TABLE, kept_in
from ..setups.student_file import APPLICATION_ID, VERSION, check_columns, damaged, opened, tables, transaction
from .entry import FIELDS, NUMBERS, Entry, checked

MOST_ENTRIES = 100_000
_COLUMNS = ", ".join(FIELDS)
_TABLE = (
    "CREATE TABLE entry (id INTEGER PRIMARY KEY AUTOINCREMENT, date TEXT NOT NULL, piece TEXT, "
    + ", ".join(f"{name} REAL" for name in NUMBERS)
    + ", note TEXT NOT NULL)"
)


def add(target: str, entries: Sequence[Entry]) -> list[int]:
    """Write entries in one transaction; a record that is not there yet is begun.

    Returns:
        Their numbers. When this returns, they are on the disk.

    Raises:
        TurnstillError: where nothing was written.
    """
    entries = [checked(entry) for entry in entries]
    with opened(target, new=True) as base, transaction(base):
        _ready(base, target)
        return _insert(base, entries)


def add_missing(target: str, entries: Sequence[Entry]) -> tuple[list[int], int]:
    """Write those entries that the record does not have yet, in one transaction.

    An entry the record has is one alike in every field; one that is given twice and is there once is written once.

    Returns:
        The numbers of those written, and how many were there already.

    Raises:
        TurnstillError: where nothing was written.
    """
    entries = [checked(entry) for entry in entries]
    with opened(target, new=True) as base, transaction(base):
        _ready(base, target)
        there = Counter(entry for _, entry in _select(base, target))
        fresh = []
        for entry in entries:
            if there[entry] > 0:
                there[entry] -= 1
            else:
                fresh.append(entry)
        return _insert(base, fresh), len(entries) - len(fresh)


def entries_of(target: str) -> list[tuple[int, Entry]]:
    """Every entry with its number, in the order they were written.

    Raises:
        TurnstillError: no such record, or none that can be read.
    """
    with opened(target, new=False) as base:
        if not tables(base):
            return []
        _check_tables(base, target)
        return _select(base, target)


def keep_body(target: str, changes: Mapping[str, Value], forgotten: Collection[str] = ()) -> None:
    """Keep a student's body and usual address, in one transaction; a record that is not there yet is begun.

    Args:
        target: the record.
        changes: name with its unit to value, beside or in place of what is kept already.
        forgotten: names not to be kept any more.

    Raises:
        TurnstillError: where nothing was written.
    """
    with opened(target, new=bool(changes)) as base, transaction(base):
        _ready(base, target)
        body = {**kept_in(base, target), **changes}
        body = {name: value for name, value in body.items() if name not in forgotten}
        if BODY not in tables(base):
            base.execute(BODY_TABLE)
        base.execute("DELETE FROM body")
        base.executemany("INSERT INTO body (name, value) VALUES (?, ?)", list(body.items()))


def _insert(base: sqlite3.Connection, entries: Sequence[Entry]) -> list[int]:
    places = ", ".join("?" * len(FIELDS))
    numbers = []
    for entry in entries:
        done = base.execute(
            f"INSERT INTO entry ({_COLUMNS}) VALUES ({places})", [getattr(entry, name) for name in FIELDS]
        )
        numbers.append(int(done.lastrowid or 0))
    return numbers


def _select(base: sqlite3.Connection, target: str) -> list[tuple[int, Entry]]:
    rows = base.execute(f"SELECT id, {_COLUMNS} FROM entry ORDER BY id LIMIT {MOST_ENTRIES}").fetchall()
    found = []
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
            found.append((int(row[0]), checked(Entry(**values), today=datetime.date.max)))
        except TurnstillError as wrong:
            raise damaged(target, f"in entry {row[0]} {str(wrong).rstrip('.')}") from wrong
    return found


def _ready(base: sqlite3.Connection, target: str) -> None:
    """The tables as they were made; a record that is not begun yet gets its header and its entries' table."""
    if tables(base):
        _check_tables(base, target)
        return
    base.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    base.execute(f"PRAGMA user_version = {VERSION}")
    base.execute(_TABLE)


def _check_tables(base: sqlite3.Connection, target: str) -> None:
    check_columns(base, target, "entry", ("id", *FIELDS))
    if BODY in tables(base):
        check_columns(base, target, BODY, BODY_COLUMNS)
