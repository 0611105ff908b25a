"""Files that are there whole or not at all."""

from __future__ import annotations

import contextlib
import os
import stat
import sys
from collections.abc import Iterator
from pathlib import Path

from ...model.errors import TurnstillError
from . import written
from .parts import new_part, put
from .refusals import in_the_way, shown, unwritable
from .terminal import tell_data
from .this_command import Print, forget, found, print_of

STANDARD_OUTPUT = "-"


def write_text(target: str, text: str) -> None:
    """Write a file so that it is there whole or not at all; ``-`` is standard output, the null device takes anything.

    It is UTF-8 whatever the locale, standard output too.

    Raises:
        TurnstillError: where it cannot be written; an earlier file of that name is then as it was.
    """
    if target == STANDARD_OUTPUT:
        if hasattr(sys.stdout, "reconfigure"):
            sys.stdout.reconfigure(encoding="utf-8", errors="backslashreplace", newline="")
        tell_data(text)
        return
    if is_null_device(target):
        return
    with new_file(target) as part:
        part.write_bytes(utf8(text))


def utf8(text: str) -> bytes:
    """A text as UTF-8; what is left of a file's name that is no text is spelt as an escape, which JSON can read."""
    return text.encode("utf-8", errors="backslashreplace")


@contextlib.contextmanager
def new_file(target: str) -> Iterator[Path]:
    """A file to write in pieces that takes its name only when the block ends well.

    Args:
        target: the file's path; an earlier file of that name is replaced.

    Yields:
        The path of an empty temporary file beside it.

    Raises:
        TurnstillError: where it cannot be written, or something else was written there since this command first asked
            for it; what stands there is then as it was.
    """
    path = file_target(target)
    with contextlib.ExitStack() as ends:
        try:
            before = found(path)
            ends.callback(forget, path)
            part = ends.enter_context(new_part(path.parent))
        except OSError as wrong:
            raise unwritable(target, wrong) from wrong
        try:
            yield part
            to_disk(part)
            _put_in_place(part, path, before)
            written.keep(target)
        except FileExistsError as taken:
            raise in_the_way(target) from taken
        except OSError as wrong:
            raise unwritable(target, wrong) from wrong


def _put_in_place(part: Path, path: Path, before: Print | None) -> None:
    if before is None or not path.exists():
        put(part, path)
    elif print_of(path.stat()) != before:
        raise FileExistsError
    else:
        part.chmod(stat.S_IMODE(path.stat().st_mode))
        part.replace(path)


def check_file_target(target: str) -> None:
    """Find out before a long computation whether a file could be written there.

    Raises:
        TurnstillError: where it could not.
    """
    if target == STANDARD_OUTPUT or is_null_device(target):
        return
    path = file_target(target)
    try:
        found(path)
        with new_part(path.parent):
            pass
    except OSError as wrong:
        raise unwritable(target, wrong) from wrong


def is_null_device(target: str) -> bool:
    """Whether a name is that of the device that takes anything and keeps nothing."""
    try:
        kind, null = Path(target).stat(), Path(os.devnull).stat()
    except (OSError, ValueError):
        return False
    return stat.S_ISCHR(kind.st_mode) and kind.st_rdev == null.st_rdev


def file_target(target: str) -> Path:
    """Where a file of that name would lie.

    Raises:
        TurnstillError: where there is no such folder, or something there that is no plain file.
    """
    try:
        # A link stays a link: what it points to is replaced.
        path = Path(target).resolve() if target else Path()
        if path.is_dir():
            raise TurnstillError(f"{shown(target)} is a folder; name a file to write to.")
        # Asked by the name as given: what a process calls /dev/stdout may have no name that leads there.
        if Path(target).exists() and not Path(target).is_file():
            raise TurnstillError(
                f"{shown(target)} is no plain file; name a new one, or - for the screen where that is offered."
            )
        if not path.parent.is_dir():
            raise TurnstillError(f"There is no folder to write {shown(target)} in; make it first.")
    except (OSError, ValueError, RuntimeError) as wrong:
        if isinstance(wrong, TurnstillError):
            raise
        raise unwritable(target, wrong) from wrong
    return path


def to_disk(file: Path) -> None:
    """See to it that a file's content is on the disk before its name says so."""
    handle = os.open(file, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
