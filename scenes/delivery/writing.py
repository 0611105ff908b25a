"""Files and folders that are there whole or not at all."""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import shutil
import stat
import sys
from collections.abc import Iterator
from pathlib import Path

from ...model.errors import TurnstillError

STANDARD_OUTPUT = "-"
CONTENTS_FILE = "comparison.json"
"""In a folder of results: lists the folder's files, so that a later run knows what it may replace."""


def write_text(target: str, text: str) -> None:
    """Write a file so that it is there whole or not at all; ``-`` is standard output.

    Raises:
        TurnstillError: where it cannot be written; an earlier file of that name is then as it was.
    """
    if target == STANDARD_OUTPUT:
        sys.stdout.write(text)
        sys.stdout.flush()
        return
    path = _file_target(target)
    try:
        if path.exists() and not path.is_file():  # A device or a pipe cannot be replaced, only written to.
            path.write_text(text, encoding="utf-8", newline="")
            return
        _replace(path, text.encode("utf-8"))
    except OSError as wrong:
        raise _unwritable(target, wrong) from wrong


@contextlib.contextmanager
def new_file(target: str) -> Iterator[Path]:
    """A file to write in pieces that takes its name only when the block ends well.

    Args:
        target: the file's path; an earlier file of that name is replaced.

    Yields:
        The path of an empty temporary file beside it.

    Raises:
        TurnstillError: where it cannot be written; an earlier file is then as it was.
    """
    path = _file_target(target)
    if path.exists() and not path.is_file():
        raise TurnstillError(f"{_shown(target)} is no plain file; name a new one.")
    try:
        part, handle = _new_file_beside(path)
        os.close(handle)
    except OSError as wrong:
        raise _unwritable(target, wrong) from wrong
    try:
        yield part
        _to_disk(part)
        if path.exists():
            part.chmod(stat.S_IMODE(path.stat().st_mode))
        part.replace(path)
    except OSError as wrong:
        raise _unwritable(target, wrong) from wrong
    finally:
        part.unlink(missing_ok=True)  # Gone already if all went well.


def check_file_target(target: str) -> None:
    """Find out before a long computation whether a file could be written there.

    Raises:
        TurnstillError: where it could not.
    """
    if target == STANDARD_OUTPUT:
        return
    path = _file_target(target)
    if path.exists() and not path.is_file():
        return
    try:
        trial, handle = _new_file_beside(path)
        os.close(handle)
        trial.unlink()
    except OSError as wrong:
        raise _unwritable(target, wrong) from wrong


def _file_target(target: str) -> Path:
    try:
        # A link stays a link: what it points to is replaced.
        path = Path(target).resolve() if target else Path()
        if path.is_dir():
            raise TurnstillError(f"{_shown(target)} is a folder; name a file to write to.")
        if not path.parent.is_dir():
            raise TurnstillError(f"There is no folder to write {_shown(target)} in; make it first.")
    except (OSError, ValueError, RuntimeError) as wrong:
        if isinstance(wrong, TurnstillError):
            raise
        raise _unwritable(target, wrong) from wrong
    return path


def _new_file_beside(path: Path) -> tuple[Path, int]:
    # os.open honours the user's umask, which tempfile does not.
    trial = path.with_name(f".turnstill-{secrets.token_hex(8)}.part")
    return trial, os.open(trial, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666)


def _replace(path: Path, data: bytes) -> None:
    part, handle = _new_file_beside(path)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            part.chmod(stat.S_IMODE(path.stat().st_mode))
        part.replace(path)
    except BaseException:  # An interruption as well must leave nothing half-written behind.
        part.unlink(missing_ok=True)
        raise


@contextlib.contextmanager
def new_folder(target: str, contents: str = CONTENTS_FILE) -> Iterator[Path]:
    """A folder to fill that takes its name only when the block ends well.

    An empty folder, or one that holds nothing but an earlier result of the same kind, is replaced.

    Args:
        target: the folder's path.
        contents: the file that lists the folder's files, so that a later run knows what it may replace.

    Yields:
        A temporary folder beside it; write flat files into it.

    Raises:
        TurnstillError: where the folder cannot be made, or something else is in its place.
    """
    path = _folder_target(target, contents)
    part = path.with_name(f".turnstill-{secrets.token_hex(8)}.part")
    old = path.with_name(f".turnstill-{secrets.token_hex(8)}.old")
    try:
        part.mkdir()
    except OSError as wrong:
        raise _unwritable(target, wrong) from wrong
    try:
        yield part
        try:
            for file in part.iterdir():
                _to_disk(file)
            if path.exists():
                path.rename(old)
            try:
                part.rename(path)
            except BaseException:
                if old.exists():
                    old.rename(path)
                raise
        except OSError as wrong:
            raise _unwritable(target, wrong) from wrong
    finally:
        for rest in (part, old):
            shutil.rmtree(rest, ignore_errors=True)


def _to_disk(file: Path) -> None:
    handle = os.open(file, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _folder_target(target: str, contents: str) -> Path:
    try:
        path = Path(target).resolve()
        if not target or path == Path.cwd():
            raise TurnstillError("The folder you are in cannot be the result; name a new folder with --out.")
        if not path.parent.is_dir():
            raise TurnstillError(f"There is no folder to make {_shown(target)} in; make it first.")
        if path.exists() and not path.is_dir():
            raise TurnstillError(f"{_shown(target)} is a file; name a new folder with --out.")
        strangers = _strangers(path, contents) if path.is_dir() else []
    except (OSError, ValueError, RuntimeError) as wrong:
        if isinstance(wrong, TurnstillError):
            raise
        raise _unwritable(target, wrong) from wrong
    if strangers:
        raise TurnstillError(
            f"{_shown(target)} holds things that are no earlier result of this command (such as "
            f"{_shown(strangers[0])}); name a new folder with --out."
        )
    return path


def _strangers(folder: Path, contents: str) -> list[str]:
    """What stands in a folder besides the files of an earlier result."""
    there = sorted(item.name for item in folder.iterdir())
    try:
        own = json.loads((folder / contents).read_text(encoding="utf-8"))["files"]
        known = {name for name in own if isinstance(name, str)} if isinstance(own, list) else set()
    except (OSError, ValueError, LookupError, TypeError, RecursionError):
        known = set()
    return [name for name in there if name not in known or not (folder / name).is_file()]


def _unwritable(target: str, wrong: Exception) -> TurnstillError:
    reason = wrong.strerror if isinstance(wrong, OSError) and wrong.strerror else "no such name is possible"
    return TurnstillError(f"{_shown(target)} cannot be written: {reason.lower()}.")


def _shown(name: str) -> str:
    text = "".join(c if c.isprintable() else "?" for c in name)
    return text if len(text) <= 120 else f"{text[:60]}...{text[-50:]}"
