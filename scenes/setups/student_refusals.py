"""Why a student's record cannot be used, in one sentence each."""

from __future__ import annotations

from ...model.errors import TurnstillError
from .quantities import echo

BUSY_SECONDS = 8.0
"""How long a command waits for another program that holds the record."""
MOST_SECONDS = 30.0
"""How long SQLite may work on one record; a hundred thousand entries take a second or two."""


def damaged(target: str, how: str) -> TurnstillError:
    """The sentence for a record that is not whole."""
    told = "".join(c if c.isprintable() else "?" for c in " ".join(how.split()))[:120]
    return TurnstillError(
        f"The record {echo(target)} is damaged ({told}) and was left as it is; go on with a copy of it from before."
    )


def no_record(target: str, why: str = "") -> TurnstillError:
    """The sentence for a file that this program never wrote so.

    Args:
        target: the file.
        why: what is otherwise; as a half sentence.
    """
    told = f": {why}" if why else ""
    return TurnstillError(
        f"{echo(target)} is not a record of turnstill, and was left as it is{told}; name another file."
    )


def error_name(wrong: Exception) -> str:
    """SQLite's name of an error; none of one that Python's own module raises."""
    return getattr(wrong, "sqlite_errorname", None) or ""


def refused(target: str, wrong: Exception) -> TurnstillError:
    """SQLite's error in words."""
    name, shown = error_name(wrong), echo(target)
    # What is no UTF-8 fails without a name, where Python makes a text of it.
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_TOOBIG")) or "decode" in str(wrong):
        return damaged(target, str(wrong))
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return TurnstillError(
            f"Another program kept the record {shown} busy for {BUSY_SECONDS:g} seconds, so nothing was written; "
            "close it and try again."
        )
    if name.startswith(("SQLITE_READONLY", "SQLITE_PERM", "SQLITE_CANTOPEN")):
        return TurnstillError(
            f"The record {shown} cannot be written there; allow writing to the file and its folder, or name another."
        )
    if name.startswith("SQLITE_FULL"):
        return TurnstillError(f"The disk that holds {shown} is full, so nothing was written; make room and try again.")
    if name.startswith("SQLITE_INTERRUPT"):
        return TurnstillError(
            f"The record {shown} took longer than {MOST_SECONDS:g} seconds, so it was given up and nothing was "
            "written; try a copy of it from before."
        )
    return TurnstillError(f"The record {shown} cannot be used ({wrong}); nothing was written, so try a copy of it.")
