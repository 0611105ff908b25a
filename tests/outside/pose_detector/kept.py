"""Pictures kept from one run to the next, until anything that makes them has changed."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import numpy as np

import turnstill

from . import golfers, pictures
from .pictures import Truth

VARIABLE = "TURNSTILL_DETECTOR_KEEP"
ROOMS = ("model", "render", "scenes", "presets")


def folder_kept() -> Path | None:
    """Where pictures are kept for this state of the code, if that was asked for."""
    asked = os.environ.get(VARIABLE)
    return Path(asked).expanduser() / fingerprint() if asked else None


def fingerprint() -> str:
    """Of all that the pictures and their truth are made by."""
    root = Path(turnstill.__file__).parent
    files = [*(file for room in ROOMS for file in (root / room).rglob("*")), *Path(__file__).parent.iterdir()]
    told = hashlib.sha256()
    for file in sorted(file for file in files if file.suffix in (".py", ".toml")):
        told.update(file.read_bytes())
    return told.hexdigest()[:12]


def pictures_in(folder: Path) -> list[Truth]:
    """The pictures' truth, drawn into the folder if they are not there yet."""
    if (folder / pictures.TRUTH).is_file():  # Written last, so the pictures are whole.
        return pictures.read(folder)
    folder.mkdir(parents=True, exist_ok=True)
    return pictures.draw(golfers.draw(np.random.default_rng(golfers.SEED)), folder)
