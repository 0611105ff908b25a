"""What the detector saw in a film, kept beside it, so that it need not look again.

A file that this program did not write is never written over, and a folder that cannot be written to is no reason to
stop: then a note says so.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

from ...model.errors import TurnstillError
from ...model.films.tracks import Track
from ..delivery.refusals import shown
from ..delivery.writing import new_file, utf8
from .track_text import Maker, maker_of, settings_of, text_of

ENDING = ".track.csv"
_PART = 1 << 20


def place_of(film: Path) -> Path:
    """Where the track of a film is kept."""
    return film.with_name(film.name + ENDING)


def print_of(film: Path) -> str:
    """A film's print, by all its bytes."""
    made = hashlib.blake2b(digest_size=16)
    with film.open("rb") as data:
        while part := data.read(_PART):
            made.update(part)
    return made.hexdigest()


def is_of(path: Path, film: str, view: str, detector: str | None) -> bool:
    """Whether a kept track is of that film and view, and of that detector where one is there."""
    told = _told(path)
    if told is None or told.get("film") != film or told.get("view") != view:
        return False
    return detector is None or told.get("detector") == detector


def keep(path: Path, track: Track, maker: Maker, film: str) -> str | None:
    """Keep a track; a note says why it was not."""
    if path.exists() and _told(path) is None:
        return (
            f"{shown(str(path))} is no track that this program kept, so it was left as it is and the film's track was "
            "not kept; move that file away."
        )
    try:
        with new_file(str(path)) as part:
            part.write_bytes(utf8(text_of(track, maker, film)))
    except TurnstillError as wrong:
        return f"The track was not kept, so the film will be looked at again the next time: {wrong}"
    return None


def _told(path: Path) -> dict[str, str] | None:
    """The first line of a track that this program kept; None for any other file, or none."""
    try:
        with path.open("rb") as data:
            told = settings_of(data.readline(1000).decode("utf-8", errors="replace"))
    except OSError:
        return None
    return told if told is not None and {"detector", "film"} <= told.keys() and maker_of(told).view else None
