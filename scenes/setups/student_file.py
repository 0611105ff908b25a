"""A student's record as a file: one SQLite file that the user names, and what keeps it whole.

What is told to be written is on the disk: every write is one transaction in a rollback journal with full syncing, so
a process killed at any moment leaves what was there before, and the next one to open the file tidies up. A file that
is not a whole record is refused before SQLite opens it for writing, so it stays as it is to the byte.
"""

from __future__ import annotations

import contextlib
import sqlite3
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from ...model.errors import TurnstillError
from ..delivery import written
from ..delivery.interruption import Interruptions
from ..delivery.terminal import say
from . import student_refusals
from .quantities import echo
from .student_layout import (
    APPLICATION_ID,
    ENTRY,
    HEADER,
    TABLES,
    VERSION,
    check_header,
    check_pages,
    connected,
    tables_of,
)
from .student_leftovers import check_beside, finish
from .student_refusals import error_name, refused

PATIENT_SECONDS = 1.0
"""So long nobody is told that a command waits."""


@contextlib.contextmanager
def reading(target: str) -> Iterator[sqlite3.Connection]:
    """A connection to a whole record, which stays as it is until the end of the block, whoever else writes to it.

    Raises:
        TurnstillError: no such record, or none that can be read.
    """
    path = _path(target, new=False)
    with _told(target), _whole(path, target) as base:
        yield base


@contextlib.contextmanager
def writing(target: str, *, new: bool, stored: Sequence[str] = ()) -> Iterator[sqlite3.Connection]:
    """A connection to a whole record that has its entries' table, with what the block writes to it: all or nothing.

    Args:
        target: the file.
        new: whether it may be begun.
        stored: what the block writes, as whoever is interrupted is told of it; the block may add to it.

    Raises:
        TurnstillError: where it cannot be written; nothing of it then is.
    """
    path = _path(target, new=new)
    with _told(target):
        if path.exists():
            with _whole(path, target):  # Looked at before anything could write to it.
                pass
        else:
            check_beside(path, target)
        with contextlib.closing(connected(path, "rwc" if new else "rw")) as base:
            # EXTRA is FULL and syncs the folder too; without that a power cut could bring back a journal already used.
            _patiently(base, target, "PRAGMA synchronous = EXTRA")
            # IMMEDIATE takes the right to write at once, so two processes wait for each other and never fail half-way.
            _patiently(base, target, "BEGIN IMMEDIATE")
            try:
                if not tables_of(base, target):
                    base.execute(f"PRAGMA application_id = {APPLICATION_ID}")
                    base.execute(f"PRAGMA user_version = {VERSION}")
                    base.execute(TABLES[ENTRY])
                yield base
                _patiently(base, target, "COMMIT", stored)
            except BaseException:
                if base.in_transaction:
                    base.rollback()
                raise


@contextlib.contextmanager
def _whole(path: Path, target: str) -> Iterator[sqlite3.Connection]:
    """A connection in a read of a whole record."""
    with path.open("rb") as file:
        check_header(target, file.read(HEADER))
    check_beside(path, target)
    base = connected(path, "ro")
    try:
        try:
            _begin_to_read(base, target)
        except sqlite3.OperationalError as wrong:
            if error_name(wrong) != "SQLITE_READONLY_ROLLBACK":
                raise
            base.close()
            finish(path, target)
            base = connected(path, "ro")
            _begin_to_read(base, target)
        check_pages(base, path, target)
        yield base
    finally:
        base.close()


def _begin_to_read(base: sqlite3.Connection, target: str) -> None:
    base.execute("BEGIN")
    _patiently(base, target, "PRAGMA schema_version")
    tables_of(base, target)


def _patiently(base: sqlite3.Connection, target: str, statement: str, stored: Sequence[str] = ()) -> None:
    """Carry a statement out as soon as other programs let it; then what is ``stored`` is known to be."""
    began, told = time.monotonic(), False
    while True:
        try:
            # An interruption waits, or what it finds stored would be said to be lost.
            with Interruptions():
                base.execute(statement).fetchall()
                for what in stored:
                    written.keep(what)
            return
        except sqlite3.OperationalError as wrong:
            waited = time.monotonic() - began
            # Read at the time of asking, so that a test can be less patient.
            longest = student_refusals.BUSY_SECONDS
            if not error_name(wrong).startswith(("SQLITE_BUSY", "SQLITE_LOCKED")) or waited > longest:
                raise
            if waited > PATIENT_SECONDS and not told:
                told = True
                say(
                    f"Another program is writing to the record {echo(target)}; waiting for it, {longest:g} seconds at "
                    "most (Ctrl-C stops)."
                )


@contextlib.contextmanager
def _told(target: str) -> Iterator[None]:
    """SQLite's errors as sentences."""
    try:
        yield
    except (sqlite3.Error, UnicodeDecodeError) as wrong:
        raise refused(target, wrong) from wrong


def _path(target: str, *, new: bool) -> Path:
    """The file to open, if there is one that can be read, or one may be made."""
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
            path.open("rb").close()
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
