"""A student's record on disk: one SQLite file that the user names.

What is told to be written is on the disk: every write is one transaction in a rollback journal with full syncing, so
a process killed at any moment leaves the entries before it, and the next one to open the file tidies up. A file that
is not a whole record is refused before SQLite opens it for writing, so it stays as it is to the byte.
"""

from __future__ import annotations

import contextlib
import datetime
import sqlite3
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

from ...model.errors import TurnstillError
from ..setups.former_names import todays_name
from ..setups.quantities import echo
from .entry import FIELDS, NUMBERS, Entry, checked

APPLICATION_ID = int.from_bytes(b"TrnS", "big")
"""In the header of every record, so that another program's SQLite file is told apart."""
VERSION = 1
"""Of the table, in the header as SQLite's user_version."""
BUSY_SECONDS = 20.0
"""How long a write waits for another process."""
MOST_ENTRIES = 100_000
_MAGIC = b"SQLite format 3\x00"
_HEADER = 100
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
    with _opened(target, new=True) as base, _transaction(base, target):
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
    with _opened(target, new=True) as base, _transaction(base, target):
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
    with _opened(target, new=False) as base:
        if not _tables(base):
            return []
        _check_table(base, target)
        return _select(base, target)


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
            raise _damaged(target, f"entry {row[0]} holds what no entry can")
        if values["piece"]:
            values["piece"] = todays_name(values["piece"])
        try:
            # Only what was written by something else can fail here, or a clock that was set back since.
            found.append((int(row[0]), checked(Entry(**values), today=datetime.date.max)))
        except TurnstillError as wrong:
            raise _damaged(target, f"in entry {row[0]} {str(wrong).rstrip('.')}") from wrong
    return found


@contextlib.contextmanager
def _opened(target: str, *, new: bool) -> Iterator[sqlite3.Connection]:
    """A connection to a record that is whole.

    Args:
        target: the file.
        new: whether it may be begun.
    """
    path = _path(target, new=new)
    try:
        base = sqlite3.connect(
            f"{path.as_uri()}?mode={'rwc' if new else 'rw'}", uri=True, timeout=BUSY_SECONDS, isolation_level=None
        )
    except sqlite3.Error as wrong:
        raise _refused(target, wrong) from wrong
    try:
        # EXTRA is FULL and syncs the folder too; without that a power cut could bring back a journal already used.
        base.execute("PRAGMA synchronous = EXTRA")
        # A record can come from anywhere; nothing written into it may make this process do anything.
        base.execute("PRAGMA trusted_schema = OFF")
        problem = base.execute("PRAGMA integrity_check(1)").fetchone()[0]
        if problem != "ok":
            raise _damaged(target, str(problem).splitlines()[-1])
        yield base
    except sqlite3.Error as wrong:
        raise _refused(target, wrong) from wrong
    finally:
        base.close()


@contextlib.contextmanager
def _transaction(base: sqlite3.Connection, target: str) -> Iterator[None]:
    """One write, all of it or nothing; the table is made in the first one."""
    # IMMEDIATE takes the right to write at once, so two processes wait for each other and never fail half-way.
    base.execute("BEGIN IMMEDIATE")
    try:
        if _tables(base):
            _check_table(base, target)
        else:
            base.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            base.execute(f"PRAGMA user_version = {VERSION}")
            base.execute(_TABLE)
        yield
    except BaseException:
        base.rollback()
        raise
    base.execute("COMMIT")


def _tables(base: sqlite3.Connection) -> list[str]:
    return [str(row[0]) for row in base.execute("SELECT name FROM sqlite_master WHERE type IN ('table', 'view')")]


def _check_table(base: sqlite3.Connection, target: str) -> None:
    columns = tuple(str(row[1]) for row in base.execute("PRAGMA table_info(entry)"))
    if base.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID or columns != ("id", *FIELDS):
        raise _damaged(target, "its table of entries is not as it was made")


def _path(target: str, *, new: bool) -> Path:
    """The file to open, if it is a record by its header or may become one."""
    shown = echo(target)
    try:
        path = Path(target).resolve() if target else Path()
        if path.is_dir():
            raise TurnstillError(
                f"{shown} is a folder, but a record is one file; name a file such as student.turnstill."
            )
        if path.exists():
            if not path.is_file():
                raise TurnstillError(f"{shown} is not an ordinary file; name a file such as student.turnstill.")
            with path.open("rb") as file:
                _check_header(shown, file.read(_HEADER))
        elif not new:
            raise TurnstillError(f"There is no record {shown}; check the name, or begin one with turnstill record add.")
        elif not path.parent.is_dir():
            raise TurnstillError(f"There is no folder to make the record {shown} in; make it first.")
    except (OSError, ValueError, RuntimeError) as wrong:
        if isinstance(wrong, TurnstillError):
            raise
        reason = wrong.strerror if isinstance(wrong, OSError) and wrong.strerror else "no such name is possible"
        raise TurnstillError(f"The record {shown} cannot be opened: {reason.lower()}; name another file.") from wrong
    return path


def _check_header(shown: str, header: bytes) -> None:
    """Refuse what is not a record before SQLite touches it (https://sqlite.org/fileformat.html, section 1.3)."""
    if not header:
        return
    if not header.startswith(_MAGIC):
        raise TurnstillError(f"{shown} is not a record of turnstill, and was left as it is; name another file.")
    if len(header) < _HEADER:
        raise _damaged(shown, "it ends in its header", quoted=True)
    version, owner = (int.from_bytes(header[at : at + 4], "big") for at in (60, 68))
    if owner != APPLICATION_ID:
        raise TurnstillError(f"{shown} belongs to another program, and was left as it is; name another file.")
    if version != VERSION:
        raise TurnstillError(
            f"{shown} was written by another version of turnstill (its table is version {version}, known is "
            f"{VERSION}) and "
            "was left as it is; use that version."
        )


def _damaged(target: str, how: str, *, quoted: bool = False) -> TurnstillError:
    told = " ".join(how.split())[:120]
    return TurnstillError(
        f"The record {target if quoted else echo(target)} is damaged ({told}) and was left as it is; go on with a "
        "copy of "
        "it from before."
    )


def _refused(target: str, wrong: sqlite3.Error) -> TurnstillError:
    """SQLite's error in words."""
    name = getattr(wrong, "sqlite_errorname", "")
    shown = echo(target)
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return _damaged(target, str(wrong))
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return TurnstillError(
            f"Another program kept the record {shown} busy for {BUSY_SECONDS:g} seconds, so nothing was written; "
            "close it "
            "and try again."
        )
    if name.startswith(("SQLITE_READONLY", "SQLITE_PERM", "SQLITE_CANTOPEN")):
        return TurnstillError(
            f"The record {shown} cannot be written there; allow writing to the file and its folder, or name another."
        )
    if name.startswith("SQLITE_FULL"):
        return TurnstillError(f"The disk that holds {shown} is full, so nothing was written; make room and try again.")
    return TurnstillError(f"The record {shown} cannot be used ({wrong}); nothing was written, so try a copy of it.")
