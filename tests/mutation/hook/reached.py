"""Which lines of the rooms under test a process runs, by coverage.py, and which templates it reads."""

from __future__ import annotations

import json
import os
import uuid
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from coverage import Coverage

ROOT = Path(__file__).resolve().parents[3]
ROOMS = ("scenes", "render/pictures")
"""The folders whose modules and templates are changed."""
FOLDER = "TURNSTILL_REACHED"
"""Environment variable: where programs that a test starts leave what they reached, one file each."""


def watch() -> Coverage:
    """A watch over the rooms, to be started."""
    import coverage

    return coverage.Coverage(data_file=None, config_file=False, include=[f"{ROOT}/{room}/*" for room in ROOMS])


def named(file: str | Path) -> str:
    """A file of the tree, from the root."""
    return Path(file).relative_to(ROOT).as_posix()


def start(folder: str) -> tuple[Callable[[], None], Callable[[Path, str], str]]:
    """Begin to watch.

    The first of what it returns writes ``{file: lines}`` into ``folder``; the second is to see the templates that are
    read, whose one line is called 1.
    """
    watching, templates = watch(), set[str]()
    watching.start()
    own = os.getpid()

    def leave() -> None:
        if os.getpid() != own:  # A fork of the one that is watched.
            return
        watching.stop()
        data = watching.get_data()
        lines = {named(file): sorted(data.lines(file) or ()) for file in data.measured_files()}
        lines |= {file: [1] for file in templates}
        (Path(folder) / f"{uuid.uuid4().hex}.json").write_text(json.dumps(lines), encoding="utf-8")

    def see(file: Path, text: str) -> str:
        if file.is_relative_to(ROOT):
            templates.add(named(file))
        return text

    return leave, see
