"""A student's body and usual address, as the student's record keeps them, for every command about a swing."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping

from ...model.errors import TurnstillError
from ..delivery.sqlite_names import JOURNAL
from ..delivery.this_command import note_read
from .quantities import PIECES_SECTION, Entry, Value, echo
from .settings import UsualSetting, find
from .student_file import reading
from .student_layout import BODY, tables_of
from .student_refusals import damaged

MOST_KEPT = 1000
"""Names; there are not a tenth as many that a body has."""


def kept_name(entry: Entry) -> str:
    """How a quantity is called in a record: with its unit."""
    return f"{entry.name}_{entry.quantity.unit}" if entry.quantity else entry.name


def files_of(target: str) -> tuple[str, str]:
    """The files that a record is: its own, and the journal in which SQLite keeps what an interrupted write changed."""
    return target, target + JOURNAL


def kept_of(target: str) -> dict[str, Value]:
    """What a record keeps of its student's body and address, by name with the unit; nothing where it keeps none.

    Raises:
        TurnstillError: no such record, or none that can be read.
    """
    with reading(target) as base:
        return kept_in(base, target)


def kept_in(base: sqlite3.Connection, target: str) -> dict[str, Value]:
    """The same of a record that is open.

    Raises:
        TurnstillError: for a value that no body has.
    """
    if BODY not in tables_of(base, target):
        return {}
    kept: dict[str, Value] = {}
    for name, value in base.execute(f"SELECT name, value FROM body ORDER BY rowid LIMIT {MOST_KEPT + 1}"):
        if len(kept) == MOST_KEPT:
            raise damaged(target, "it keeps more of a body than there is")
        try:
            entry = find(str(name))
            if entry.section == PIECES_SECTION:
                raise TurnstillError(f"{entry.name} is a piece of a swing")
            kept[kept_name(entry)] = entry.check(value)
        except TurnstillError as wrong:
            raise damaged(target, f"of the body, {str(wrong).rstrip('.')}") from wrong
    return kept


def as_settings(kept: Mapping[str, Value]) -> list[str]:
    """What is kept as ``--set`` would say it."""
    texts = {name: value if isinstance(value, str) else repr(value) for name, value in kept.items()}
    return [UsualSetting(f"{name}={text}") for name, text in texts.items()]


def student_settings(target: str) -> list[str]:
    """The settings of ``--student``.

    Raises:
        TurnstillError: no such record, or none that keeps a body.
    """
    note_read(*files_of(target))
    kept = kept_of(target)
    if not kept:
        raise TurnstillError(
            f"The record {echo(target)} keeps no body yet; keep it with turnstill record body FILE --stature 178, or "
            "leave out --student."
        )
    return as_settings(kept)
