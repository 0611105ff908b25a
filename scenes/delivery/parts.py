"""Temporary files and folders: removed at the end, and by the next run where their own was killed.

A part is locked for as long as its process lives, by a lock that the system takes back however the process ends. A part
that nobody has locked is stale. Where there are no such locks (on Windows, on some network drives) a part stays until
somebody removes it, since it could be a running sibling's.
"""

from __future__ import annotations

import contextlib
import os
import re
import secrets
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

if sys.platform != "win32":
    import fcntl

_NAME = re.compile(r"\.turnstill-[0-9a-f]{16}\.(part|old)")
"""Earlier versions put a result aside under the second ending."""


def is_part(name: str) -> bool:
    """Whether a file's or folder's name is that of a part."""
    return _NAME.fullmatch(name) is not None


@contextlib.contextmanager
def new_part(place: Path, *, folder: bool = False) -> Iterator[Path]:
    """An empty temporary file or folder, removed at the end unless it has been moved.

    Args:
        place: the folder it is made in; stale parts there are cleared first.
        folder: make a folder.

    Raises:
        OSError: where it cannot be made.
    """
    clear_stale(place)
    part, lock = _made(place, folder)
    try:
        yield part
    finally:
        _remove(part)
        if lock is not None:
            os.close(lock)


def put(source: Path, target: Path) -> None:
    """Move a part, or a file of one, to a name that is free.

    Raises:
        FileExistsError: where it is not; nothing is then changed.
    """
    try:
        target.hardlink_to(source)
    except FileExistsError:
        raise FileExistsError(0, "", str(source), None, str(target)) from None
    except (OSError, NotImplementedError):  # A file system without links, for example of a memory stick.
        if os.path.lexists(target):
            raise FileExistsError(0, "", str(source), None, str(target)) from None
        source.rename(target)
    else:
        with contextlib.suppress(OSError):  # It lies in a part, which goes anyway.
            source.unlink()


def clear_stale(place: Path) -> None:
    """Remove parts whose process is gone; what cannot be removed stays."""
    if sys.platform == "win32":
        return
    with contextlib.suppress(OSError), os.scandir(place) as there:
        for part in [Path(item.path) for item in there if is_part(item.name) and not item.is_symlink()]:
            if part.is_file() or part.is_dir():
                _clear(part)


def _clear(part: Path) -> None:
    with contextlib.suppress(OSError):
        handle = os.open(part, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)  # Refused where its process lives.
            _remove(part)
        finally:
            os.close(handle)


def _made(place: Path, folder: bool) -> tuple[Path, int | None]:
    while True:
        part = place / f".turnstill-{secrets.token_hex(8)}.part"
        if folder:
            part.mkdir()
        else:
            # os.open honours the user's umask, which tempfile does not.
            handle = os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666)
        if sys.platform == "win32":
            if not folder:
                os.close(handle)  # What is open there can be neither moved nor removed.
            return part, None
        lock = os.open(part, os.O_RDONLY) if folder else handle
        with contextlib.suppress(OSError):
            fcntl.flock(lock, fcntl.LOCK_EX)
        # A sibling that cleared up in between has taken it for a stale one.
        with contextlib.suppress(FileNotFoundError):
            if os.path.samestat(part.stat(), os.fstat(lock)):
                return part, lock
        os.close(lock)


def _remove(part: Path) -> None:
    if part.is_dir() and not part.is_symlink():
        shutil.rmtree(part, ignore_errors=True)
    else:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)
