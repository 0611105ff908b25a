"""What a student's record is made of, to the letter, and the look at it before anything of it is believed.

A record can come from anywhere. A trigger or a view in it would make an entry that was told to be kept vanish, or run
for ever, and no setting of SQLite shuts all of that out in every version. So its schema must be, letter for letter,
one that this program wrote; its first page is looked at before SQLite reads it, and every page before a row is.
"""

from __future__ import annotations

import sqlite3
import time
from pathlib import Path

from ...model.errors import TurnstillError
from ..delivery.sqlite_names import DATABASE
from .quantities import echo
from .student_refusals import MOST_SECONDS, damaged, no_record

APPLICATION_ID = int.from_bytes(b"TrnS", "big")
"""In the header of every record, so that another program's SQLite file is told apart."""
VERSION = 1
"""Of the tables, in the header as SQLite's user_version; a version that knows no body keeps one beside its entries."""
VERSION_WITH_IMPACT = 2
"""Of a record that keeps readings at impact, so that a version that knows none says so and leaves it as it is."""
ENTRY, BODY, IMPACT = "entry", "body", "impact"
TABLES = {
    ENTRY: "CREATE TABLE entry (id INTEGER PRIMARY KEY AUTOINCREMENT, date TEXT NOT NULL, piece TEXT, felt REAL, "
    "got REAL, got_sd REAL, head_toward_target_cm REAL, head_toward_ball_cm REAL, head_up_cm REAL, head_sd_cm REAL, "
    "inclination_change_deg REAL, note TEXT NOT NULL)",
    BODY: "CREATE TABLE body (name TEXT PRIMARY KEY NOT NULL, value NOT NULL)",
    IMPACT: "CREATE TABLE impact (entry INTEGER NOT NULL, reading TEXT NOT NULL, value REAL NOT NULL, sd REAL, "
    "PRIMARY KEY (entry, reading)) WITHOUT ROWID",
}
"""As every version up to now made them; the tables of the body and of readings at impact came later, beside the
entries, and are made when first something is kept in them."""
_ROWS: dict[str, list[tuple[str | None, ...]]] = {
    ENTRY: [
        ("table", "entry", "entry", TABLES[ENTRY]),
        ("table", "sqlite_sequence", "sqlite_sequence", "CREATE TABLE sqlite_sequence(name,seq)"),
    ],
    BODY: [("table", "body", "body", TABLES[BODY]), ("index", "sqlite_autoindex_body_1", "body", None)],
    IMPACT: [("table", "impact", "impact", TABLES[IMPACT])],
}
"""The rows of the schema that come with a table."""
_LAYOUTS: tuple[tuple[str, ...], ...] = ((), (ENTRY,), (ENTRY, BODY), (ENTRY, IMPACT), (ENTRY, BODY, IMPACT))
"""The tables there may be; a record that was begun and never written to has none."""
HEADER = 108
"""Bytes of the file's header and of its first page's."""
_LEAF, _MOST_ROWS = 13, 5
LARGEST_VALUE = 1_000_000
"""Bytes of one text; a note may have 2,000 letters."""


def check_header(target: str, header: bytes) -> None:
    """Refuse what is not a record before SQLite touches it (https://sqlite.org/fileformat.html, 1.3 and 1.6).

    Args:
        target: the file.
        header: its first ``HEADER`` bytes; none of a record that is not begun yet.

    Raises:
        TurnstillError: for anything else.
    """
    if not header:
        return
    if not header.startswith(DATABASE):
        raise no_record(target)
    if len(header) < HEADER:
        raise damaged(target, "it ends in its header")
    version, owner = (int.from_bytes(header[at : at + 4], "big") for at in (60, 68))
    if owner != APPLICATION_ID:
        raise TurnstillError(f"{echo(target)} belongs to another program, and was left as it is; name another file.")
    if version not in (VERSION, VERSION_WITH_IMPACT):
        raise TurnstillError(
            f"{echo(target)} was written by another version of turnstill (its table is version {version}, known are "
            f"{VERSION} and {VERSION_WITH_IMPACT}) and was left as it is; use that version."
        )
    if header[18:20] != b"\x01\x01":
        raise no_record(target, "another program has set it to keep a write-ahead log, which records do not")
    # The schema is a leaf of a few rows; a larger one is not even read.
    if header[100] != _LEAF or int.from_bytes(header[103:105], "big") > _MOST_ROWS:
        raise no_record(target, "what it holds is not laid out as a record is")


def connected(path: Path, mode: str) -> sqlite3.Connection:
    """A connection that trusts nothing of what stands in the file; nothing of it is read yet.

    Args:
        path: of the file.
        mode: ``ro``, ``rw`` or ``rwc`` as SQLite's addresses have it.
    """
    # The wait for another program is ours, a tenth of a second at a time, or Ctrl-C would wait for it as well.
    base = sqlite3.connect(f"{path.as_uri()}?mode={mode}", uri=True, timeout=0.1, isolation_level=None)
    base.execute("PRAGMA trusted_schema = OFF")
    base.execute("PRAGMA cell_size_check = ON")
    base.execute("PRAGMA mmap_size = 0")
    base.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, LARGEST_VALUE)
    base.setlimit(sqlite3.SQLITE_LIMIT_ATTACHED, 0)
    base.setlimit(sqlite3.SQLITE_LIMIT_TRIGGER_DEPTH, 0)
    end = time.monotonic() + MOST_SECONDS
    base.set_progress_handler(lambda: time.monotonic() > end, 10_000)
    return base


def tables_of(base: sqlite3.Connection, target: str) -> tuple[str, ...]:
    """The tables of a record, if its schema is one that was made here, to the letter.

    Raises:
        TurnstillError: for any other.
    """
    # As bytes, since a text in it need not be one.
    columns = ", ".join(f"CAST({name} AS BLOB)" for name in ("type", "name", "tbl_name", "sql"))
    there = base.execute(f"SELECT {columns} FROM sqlite_master LIMIT {_MOST_ROWS + 1}").fetchall()
    for tables in _LAYOUTS:
        layout = [row for table in tables for row in _ROWS[table]]
        made = {tuple(None if text is None else text.encode() for text in row) for row in layout}
        if len(there) == len(made) and set(there) == made:
            version = base.execute("PRAGMA user_version").fetchone()[0]
            if (version == VERSION_WITH_IMPACT) == (IMPACT in tables):
                return tables
    raise no_record(target, "what it holds is not laid out as a record is")


def check_pages(base: sqlite3.Connection, path: Path, target: str) -> None:
    """Every page is there, and is as SQLite writes it.

    Args:
        base: in a read, so that nobody writes meanwhile.
        path: its file.
        target: as it is told.

    Raises:
        TurnstillError: for a damaged file.
    """
    pages, page = (base.execute(f"PRAGMA {name}").fetchone()[0] for name in ("page_count", "page_size"))
    # SQLite reads zeros where the last page is cut.
    if path.stat().st_size < pages * page:
        raise damaged(target, "its last page is cut")
    problem = base.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if problem != "ok":
        raise damaged(target, str(problem).splitlines()[-1])
