"""A student's record as a file: one SQLite file that the user names, and what keeps it whole.

What is told to be written is on the disk: every write is one transaction in a rollback journal with full syncing, so
a process killed at any moment leaves what was there before, and the next one to open the file tidies up. A file that
is not a whole record is refused before SQLite opens it for writing, so it stays as it is to the byte.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path

from ...model.errors import TurnstillError
from .quantities import echo

APPLICATION_ID = int.from_bytes(b"TrnS", "big")
"""In the header of every record, so that another program's SQLite file is told apart."""
VERSION = 1
"""Of the tables, in the header as SQLite's user_version; a version that knows no body keeps one beside its entries."""
BUSY_SECONDS = 20.0
"""How long a write waits for another process."""
_MAGIC = b"SQLite format 3\x00"
_HEADER = 100


@contextlib.contextmanager
def opened(target: str, *, new: bool) -> Iterator[sqlite3.Connection]:
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
            raise damaged(target, str(problem).splitlines()[-1])
        yield base
    except sqlite3.Error as wrong:
        raise _refused(target, wrong) from wrong
    finally:
        base.close()


@contextlib.contextmanager
def transaction(base: sqlite3.Connection) -> Iterator[None]:
    """One write, all of it or nothing."""
    # IMMEDIATE takes the right to write at once, so two processes wait for each other and never fail half-way.
    base.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        base.rollback()
        raise
    base.execute("COMMIT")


def tables(base: sqlite3.Connection) -> list[str]:
    """Names of the tables there are; none in a record that was begun and never written to."""
    return [str(row[0]) for row in base.execute("SELECT name FROM sqlite_master WHERE type IN ('table', 'view')")]


def check_columns(base: sqlite3.Connection, target: str, table: str, columns: Sequence[str]) -> None:
    """A table as it was made.

    Raises:
        TurnstillError: for any other.
    """
    there = [str(row[1]) for row in base.execute(f"PRAGMA table_info({table})")]
    if base.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID or there != list(columns):
        raise damaged(target, f"its table {table} is not as it was made")


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
        elif new and not path.parent.is_dir():
            raise TurnstillError(f"There is no folder to make the record {shown} in; make it first.")
        elif not new:
            raise TurnstillError(f"There is no record {shown}; check the name, or begin one with turnstill record add.")
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
        raise damaged(shown, "it ends in its header", quoted=True)
    version, owner = (int.from_bytes(header[at : at + 4], "big") for at in (60, 68))
    if owner != APPLICATION_ID:
        raise TurnstillError(f"{shown} belongs to another program, and was left as it is; name another file.")
    if version != VERSION:
        raise TurnstillError(
            f"{shown} was written by another version of turnstill (its table is version {version}, known is "
            f"{VERSION}) and "
            "was left as it is; use that version."
        )


def damaged(target: str, how: str, *, quoted: bool = False) -> TurnstillError:
    """The sentence for a record that is not whole."""
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
        return damaged(target, str(wrong))
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
