"""Files of a data set take their names only when they are whole."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator
from pathlib import Path

from ...delivery.parts import clear_stale, new_part
from ...delivery.refusals import unwritable
from ...delivery.writing import to_disk


@contextlib.contextmanager
def placed(path: Path) -> Iterator[Path]:
    """A file to write in pieces that takes its name when the block ends well, on the disk for good.

    Two processes may write the same one: their bytes are the same, and the last one's stay. What a process leaves that
    is killed has a hidden name, and the next one to write there clears it away.

    Yields:
        The path of an empty temporary file beside it.

    Raises:
        TurnstillError: where it cannot be written; nothing is then left of it.
    """
    try:
        path.parent.mkdir(exist_ok=True)  # Never the data set's own: a worker may outlive it.
        with new_part(path.parent) as part:
            yield part
            to_disk(part)
            part.replace(path)
            _folder_to_disk(path.parent)
    except OSError as wrong:
        raise unwritable(str(path), wrong) from wrong


def place_text(path: Path, text: str) -> None:
    """A text file, UTF-8."""
    with placed(path) as part:
        part.write_bytes(text.encode("utf-8"))


def _folder_to_disk(folder: Path) -> None:
    """So that the name is there after a power cut too."""
    if sys.platform != "win32":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def clear_parts(folder: Path) -> None:
    """Remove what killed processes left anywhere in a data set's folder."""
    for place in (folder, *(path for path in folder.glob("*") if path.is_dir())):
        clear_stale(place)
