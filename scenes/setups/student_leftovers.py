"""What may stand beside a student's record: the journal of a command that was killed, and nothing else.

SQLite believes a file by its name. Beside ``a`` it takes ``a-journal`` for what was there before a write that was cut
short, and writes it into ``a``; it takes ``a-wal`` for pages newer than those of ``a``; and it removes such files when
it is done. So they are looked at first, and a journal is tried on a copy before the record gets it.
"""

from __future__ import annotations

import contextlib
import shutil
import sqlite3
import stat
import tempfile
from pathlib import Path

from ...model.errors import TurnstillError
from ..delivery.sqlite_names import JOURNAL, LOG
from .quantities import echo
from .student_layout import HEADER, check_header, check_pages, connected, tables_of
from .student_refusals import no_record

_MAGIC = bytes.fromhex("d9d505f920a163d7")
"""A journal begins with it; one that ends with it names a further file (https://sqlite.org/fileformat.html, 3)."""
_FINISHED = bytes(len(_MAGIC))
_TRIES = 5


def journal_of(path: Path) -> Path:
    """Where SQLite keeps a record's journal."""
    return path.with_name(path.name + JOURNAL)


def check_beside(path: Path, target: str) -> None:
    """Nothing stands beside a record that SQLite would take for its own and is not.

    Raises:
        TurnstillError: where something does.
    """
    log = path.with_name(path.name + LOG)
    if _there(log):
        raise _stranger(log, target)
    journal = journal_of(path)
    try:
        if not _there(journal):
            return
        if not stat.S_ISREG(journal.lstat().st_mode):
            raise _stranger(journal, target)
        with journal.open("rb") as file:
            begin = file.read(28)
            size = file.seek(0, 2)
            file.seek(max(size - len(_MAGIC), 0))
            end = file.read()
    except FileNotFoundError:  # Another command has just finished.
        return
    first = begin[: len(_MAGIC)]
    if not (_MAGIC.startswith(first) or _FINISHED.startswith(first)):
        raise _stranger(journal, target)
    if size > len(begin) and end == _MAGIC:
        raise _stranger(journal, target)
    pages, page = (int.from_bytes(begin[at : at + 4], "big") for at in (16, 24))
    if first == _MAGIC and pages * page > path.stat().st_size:
        raise _stranger(journal, target)  # Nothing here ever makes a record shorter.


def finish(path: Path, target: str) -> None:
    """Put a record back to what it was before a write that was cut short, if that is a whole record.

    Raises:
        TurnstillError: where it is none; record and journal are then as they were.
    """
    for attempt in range(_TRIES):
        before = _state(path)
        try:
            _try_on_a_copy(path, target)
            break
        except (TurnstillError, sqlite3.Error, OSError):
            # Another command may be doing the same just now; what was copied is then neither the one nor the other.
            if _state(path) == before or attempt + 1 == _TRIES:
                raise
    with contextlib.closing(connected(path, "rw")) as base:
        base.execute("SELECT count(*) FROM sqlite_master").fetchone()


def _try_on_a_copy(path: Path, target: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "record"
        shutil.copyfile(path, copy)
        if journal_of(path).exists():
            shutil.copyfile(journal_of(path), journal_of(copy))
        with contextlib.closing(connected(copy, "rw")) as base:
            base.execute("PRAGMA schema_version").fetchone()
        with copy.open("rb") as file:
            check_header(target, file.read(HEADER))
        with contextlib.closing(connected(copy, "ro")) as base:
            base.execute("BEGIN")
            tables_of(base, target)
            check_pages(base, copy, target)


def _state(path: Path) -> list[tuple[int, int] | None]:
    states: list[tuple[int, int] | None] = []
    for one in (path, journal_of(path)):
        try:
            found = one.stat()
            states.append((found.st_size, found.st_mtime_ns))
        except OSError:
            states.append(None)
    return states


def _there(path: Path) -> bool:
    try:
        path.lstat()
    except FileNotFoundError:
        return False
    return True


def _stranger(beside: Path, target: str) -> TurnstillError:
    return no_record(
        target,
        f"beside it stands {echo(beside.name)}, which no command of turnstill left and which would be taken for a part "
        "of it, so move that away if it is something else",
    )
