"""Where a command's outputs may lie: never on what it reads, never two of them in one place."""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Mapping
from pathlib import Path

from ...model.errors import TurnstillError
from .folder import folder_target
from .refusals import shown
from .sqlite_names import DATABASE, JOURNAL, LOG, SHARED
from .this_command import inputs
from .writing import STANDARD_OUTPUT, check_file_target, file_target, is_null_device

_Place = tuple[int, int, str]


def check_outputs(files: Mapping[str, str | None], out: str | None = None, contents: str = "") -> None:
    """Find out before a long computation whether all that was asked for can be written, and lies apart.

    Two names are one place where the system says so, links followed; names that differ only in the case of their
    letters are one too, since many systems take them for one.

    Args:
        files: option to file, None where it was not given; ``-`` is standard output.
        out: the folder of ``--out``.
        contents: the file that lists that folder's files.

    Raises:
        TurnstillError: naming the output that cannot be.
    """
    asked = {option: target for option, target in files.items() if target is not None}
    on_screen = [option for option, target in asked.items() if target == STANDARD_OUTPUT]
    if len(on_screen) > 1:
        raise TurnstillError(
            f"Only one of {' and '.join(on_screen)} can go to standard output; name a file for the other."
        )
    taken = {place: "what this command reads" for file in inputs() if (place := _place(file))}
    screen = _of_standard_output()
    if screen in taken:
        raise TurnstillError("Standard output goes into what this command reads; send it elsewhere.")
    if screen:
        taken[screen] = "what standard output goes to"
    folder = folder_target(out, contents)[0] if out is not None else None
    for option, target in asked.items():
        if target == STANDARD_OUTPUT or is_null_device(target):
            continue
        check_file_target(target)
        path = file_target(target)
        place = _place(path)
        kept = taken.get(place) if place else None
        kept = kept or _kept_by_hand(path)
        if kept:
            raise TurnstillError(f"{option} was {shown(target)}, but that is {kept}; name another file.")
        if folder is not None and _is_within(path, folder):
            raise TurnstillError(f"{option} was {shown(target)}, but that is in --out; name a file elsewhere.")
        if place:
            taken[place] = f"the file of {option}"


def _place(path: Path) -> _Place | None:
    """What tells a file from others, whether it is there already or not."""
    try:
        path = path.resolve()
        if path.exists():
            there = path.stat()
            return there.st_dev, there.st_ino, ""
        folder = path.parent.stat()
    except (OSError, ValueError, RuntimeError):
        return None
    return folder.st_dev, folder.st_ino, _folded(path.name)


def _of_standard_output() -> _Place | None:
    try:
        there = os.fstat(1)
    except OSError:
        return None
    return there.st_dev, there.st_ino, ""


def _kept_by_hand(path: Path) -> str | None:
    """What stands under an output's name that nobody could make again, whether this command reads it or not."""
    if not path.is_file():
        for beside in (JOURNAL, LOG, SHARED):
            record = path.with_name(path.name.removesuffix(beside))
            if record != path and record.is_file():
                return f"a name that stands for a part of {shown(record.name)}"
        return None
    if path.suffix.lower() == ".toml":
        return "a preset"
    with path.open("rb") as file:
        return "a student's record" if file.read(len(DATABASE)) == DATABASE else None


def _is_within(path: Path, folder: Path) -> bool:
    above = [_place(one) for one in (path, *path.parents)]
    return _place(folder) in above


def _folded(name: str) -> str:
    return unicodedata.normalize("NFC", name).casefold()
