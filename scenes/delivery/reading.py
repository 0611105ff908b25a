"""Files that a command reads: plain ones of a sane size, kept in mind so that no output lands on one.

A pipe, a socket or a device is no plain file: reading one may wait for ever or never end, so it is refused at once.
Standard input is a plain file where the shell takes it from one.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

from ...model.errors import TurnstillError
from .refusals import reason
from .this_command import note_read


def plain_bytes(path: Path, shown: str, *, most: int, what: str, instead: str) -> bytes:
    """The content of a plain file.

    Args:
        path: the file.
        shown: how messages name it.
        most: bytes it may have.
        what: what it should be, for example ``preset``.
        instead: what to do where it is none, for example ``name a CSV file``.

    Raises:
        FileNotFoundError: where there is none.
        TurnstillError: for anything but a plain file, one that is too large, or one that cannot be read.
    """
    check_plain(path, shown, instead=instead)
    try:
        data = _bytes(path, most + 1)
    except FileNotFoundError:
        raise
    except (OSError, ValueError) as wrong:
        raise TurnstillError(f"{shown} cannot be read: {reason(wrong)}.") from wrong
    if len(data) > most:
        raise TurnstillError(f"{shown} is larger than {most / 1e6:g} MB, which no {what} is; {instead}.")
    note_read(path)
    return data


def check_plain(path: Path, shown: str, *, instead: str) -> None:
    """Find out before it is read whether something is a plain file; arguments as of `plain_bytes`.

    Raises:
        FileNotFoundError: where there is none.
        TurnstillError: for anything but a plain file.
    """
    try:
        kind = path.stat().st_mode
    except FileNotFoundError:
        raise
    except (OSError, ValueError) as wrong:
        raise TurnstillError(f"{shown} cannot be read: {reason(wrong)}.") from wrong
    if stat.S_ISDIR(kind):
        raise TurnstillError(f"{shown} is a folder; {instead}.")
    if not stat.S_ISREG(kind):
        raise TurnstillError(f"{shown} is not a plain file; {instead}.")


def _bytes(path: Path, most: int) -> bytes:
    # Some of the system's own files look plain and make a reader wait; read like this they refuse instead.
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    try:
        pieces, left = [], most
        while left and (piece := os.read(handle, min(left, 1 << 20))):
            pieces.append(piece)
            left -= len(piece)
        return b"".join(pieces)
    finally:
        os.close(handle)
