"""What one command has read, and what it found under the names of its outputs; kept in mind until the next begins."""

from __future__ import annotations

from collections.abc import Sequence
from os import stat_result
from pathlib import Path

Print = tuple[int, int, int, int]
"""Device, number, size and time of a file: whether it is still the same."""

_read: list[Path] = []
_found: dict[Path, Print | None] = {}


def begin() -> None:
    """A command begins: nothing is read yet."""
    _read.clear()
    _found.clear()


def note_read(*files: str | Path) -> None:
    """Say that a file is an input; ``reading.plain_bytes`` says it of what it reads."""
    _read.extend(Path(file) for file in files)


def inputs() -> Sequence[Path]:
    """What has been read so far."""
    return tuple(_read)


def found(path: Path) -> Print | None:
    """What stood under an output's name when it was first asked for; None where nothing did."""
    if path not in _found:
        _found[path] = print_of(path.stat()) if path.exists() else None
    return _found[path]


def forget(path: Path) -> None:
    """An output is done with: what stands there now may be ours."""
    _found.pop(path, None)


def print_of(kind: stat_result) -> Print:
    """A file's print."""
    return kind.st_dev, kind.st_ino, kind.st_size, kind.st_mtime_ns
