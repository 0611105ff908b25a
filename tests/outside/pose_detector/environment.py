"""The detector's own virtual environment, apart from the project's: where it is, and how it is asked."""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from turnstill.model.arrays import Array

from .landmarks import LANDMARKS

PACKAGE = "mediapipe==0.10.21"
VARIABLE = "TURNSTILL_DETECTOR_PYTHON"
HOME = Path("~/.cache/turnstill-detector")
"""Where docs/detector.md makes it."""
SCRIPT = Path(__file__).with_name("detect_people.py")


class NoDetector(Exception):
    """There is no environment with the detector in it."""


def detector_python() -> Path:
    """The Python that has the detector.

    Raises:
        NoDetector: in one sentence, what to do.
    """
    asked = os.environ.get(VARIABLE)
    python = Path(asked) if asked else HOME.expanduser() / "bin" / "python"
    how = f"make one with: python3 -m venv {HOME} && {HOME}/bin/pip install {PACKAGE}"
    if not python.is_file():
        where = f"{VARIABLE} names no file" if asked else f"there is no environment in {HOME}"
        raise NoDetector(f"The pose detector needs a virtual environment of its own, and {where}; {how}")
    ask = [str(python), "-c", "from importlib.metadata import version; print(version('mediapipe'))"]
    told = subprocess.run(ask, capture_output=True, text=True, check=False).stdout.strip()
    if f"mediapipe=={told}" != PACKAGE:
        raise NoDetector(f"The Python for the pose detector has not {PACKAGE} but {told or 'none'}; {how}")
    return python


def detect(python: Path, folder: Path, files: Sequence[str]) -> Array:
    """``(N, len(LANDMARKS), 2)`` pixels, centres at integers; NaN where nobody was found.

    Args:
        python: of the detector's environment.
        folder: with the pictures; the detector's answer is left there too.
        files: the pictures' names.

    Raises:
        RuntimeError: if the detector failed, with what it said.
    """
    out = folder / "found.json"
    done = subprocess.run(
        [str(python), str(SCRIPT), str(folder), str(out)], capture_output=True, text=True, check=False
    )
    if done.returncode:
        raise RuntimeError(f"the pose detector failed: {done.stderr[-2000:]}")
    found = json.loads(out.read_text(encoding="utf-8"))["found"]
    nobody = [[np.nan, np.nan]] * len(LANDMARKS)
    return np.array([[found[file][name] for name in LANDMARKS] if found[file] else nobody for file in files])
