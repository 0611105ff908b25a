"""Which lines of the rooms under test a process runs, by coverage.py, left as one file in a folder."""

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
"""The folders whose modules are changed."""


FOLDER = "TURNSTILL_REACHED"
"""Environment variable: where programs that a test starts leave what they reached."""


def watch() -> Coverage:
    """A watch over the rooms, to be started."""
    import coverage

    return coverage.Coverage(data_file=None, config_file=False, include=[f"{ROOT}/{room}/*" for room in ROOMS])


def start(folder: str) -> Callable[[], None]:
    """Begin to watch; what it returns writes ``{file: lines}`` into ``folder``."""
    watching = watch()
    watching.start()
    own = os.getpid()

    def leave() -> None:
        if os.getpid() != own:  # A fork of the one that is watched.
            return
        watching.stop()
        data = watching.get_data()
        lines = {
            Path(file).relative_to(ROOT).as_posix(): sorted(data.lines(file) or ()) for file in data.measured_files()
        }
        (Path(folder) / f"{uuid.uuid4().hex}.json").write_text(json.dumps(lines), encoding="utf-8")

    return leave
