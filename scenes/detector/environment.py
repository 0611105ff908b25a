"""The detector's own environment: where it is, and whether it is whole.

The detector needs older libraries than this program, so it lives in a virtual environment of its own that one command
makes; nothing of it is ever imported here.
"""

from __future__ import annotations

import json
import os
import sys
from dataclasses import dataclass
from pathlib import Path

from ...model.errors import TurnstillError
from ..delivery.refusals import shown

PACKAGE, VERSION = "mediapipe", "0.10.21"
"""Apache-2.0; the last release whose package holds the nets themselves."""
ALONE = (f"{PACKAGE}=={VERSION}", "opencv-python-headless==4.11.0.86")
"""Installed without what they ask for, of which these nets need a little only."""
NEEDED = ("numpy>=1.26,<2", "protobuf>=4.25.3,<5", "absl-py", "attrs", "flatbuffers", "matplotlib")
PYTHONS = ((3, 9), (3, 12))
"""First and last that the package is made for."""
NOTE = "turnstill-detector.json"
"""In the environment's folder: whose it is, and, written last, that it is whole."""
WORKER = Path(__file__).with_name("worker.py")
WAY = 3
"""How the worker asks its nets and what is made of it; tracks that an earlier way made are made anew."""


@dataclass(frozen=True)
class Environment:
    """One that is whole.

    Attributes:
        folder: where it is.
        python: what runs the worker.
        worker: the program that answers (`worker`), ours unless the note names another.
        detector: its name and version.
    """

    folder: Path
    python: Path
    worker: Path
    detector: str

    @property
    def mark(self) -> str:
        """The detector's name in one word, and the way it is asked."""
        return f"{'-'.join(self.detector.split())}/{WAY}"


def default_folder() -> Path:
    """Where it is unless somebody says otherwise: with the user's other data (XDG Base Directory Specification)."""
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA")
        data = Path(base) if base else Path.home() / "AppData" / "Local"
    else:
        base = os.environ.get("XDG_DATA_HOME")
        data = Path(base) if base and Path(base).is_absolute() else Path.home() / ".local" / "share"
    return data / "turnstill" / "detector"


def folder_of(given: str | None) -> Path:
    """The folder that was asked for, or the usual one."""
    return Path(given).expanduser() if given else default_folder()


def found(given: str | None) -> Environment | None:
    """The environment in a folder, or None where there is none that is whole.

    Args:
        given: the folder; the usual one if not given.
    """
    folder = folder_of(given)
    told = note_of(folder)
    if not told.get("whole"):
        return None
    python = Path(str(told.get("python", "")))
    worker = Path(str(told["worker"])) if "worker" in told else WORKER
    if not (python.is_file() and worker.is_file()):
        return None
    return Environment(folder, python, worker, str(told.get("detector", f"{PACKAGE} {VERSION}")))


def note_of(folder: Path) -> dict[str, object]:
    """What stands in a folder's note; nothing where there is none."""
    try:
        told = json.loads((folder / NOTE).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    return told if isinstance(told, dict) else {}


def required(given: str | None) -> Environment:
    """The environment, where one is needed.

    Raises:
        TurnstillError: there is none: how to make it.
    """
    environment = found(given)
    if environment is None:
        at = f" --at {shown(given)}" if given else ""
        raise TurnstillError(
            f"There is no detector in {shown(str(folder_of(given)))} to find the golfer in a film with; make one by "
            f"turnstill detector make{at}, once, or give the track of another detector."
        )
    return environment
