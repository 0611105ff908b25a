"""Making the detector's environment: the only time that anything is fetched, and only from where pip is set to."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from ...model.errors import TurnstillError
from ..delivery.progress import Progress
from ..delivery.refusals import reason, shown
from ..delivery.terminal import tell
from .environment import ALONE, NEEDED, NOTE, PACKAGE, PYTHONS, VERSION, WORKER, folder_of, found, note_of
from .running import answers

_ASK = "import sys; print(*sys.version_info[:2])"


def make_to(given: str | None, python: str | None = None) -> None:
    """Make it, unless it is there and works; one that is not whole is made anew.

    Args:
        given: its folder; the usual one if not given.
        python: the Python that it is made of; this program's if not given.

    Raises:
        TurnstillError: in one sentence, for whatever is in the way.
    """
    folder = folder_of(given)
    if found(given) is not None:
        tell(f"The detector is in {shown(str(folder))} already; delete that folder to make it anew")
        return
    source = python or sys.executable
    _check_python(source)
    with Progress(5) as progress:
        progress.step("clearing")
        _clear(folder)
        progress.step("making an environment")
        _run([source, "-m", "venv", str(folder)], "a virtual environment could not be made")
        own = _python_of(folder)
        for what, packages in ((["--no-deps"], ALONE), ([], NEEDED)):
            progress.step("installing")
            command = [str(own), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", *what, *packages]
            _run(command, "its packages could not be installed")
        progress.step("trying it")
        told = {"made_by": "turnstill", "detector": f"{PACKAGE} {VERSION}", "python": str(own.absolute())}
        _try(own)
        (folder / NOTE).write_text(json.dumps({**told, "whole": True}), encoding="utf-8")
    tell(f"The detector is in {shown(str(folder))}; turnstill read takes films now")


def _check_python(python: str) -> None:
    first, last = (".".join(map(str, one)) for one in PYTHONS)
    try:
        answer = subprocess.run([python, "-I", "-c", _ASK], capture_output=True, text=True, check=True).stdout
        version = tuple(int(part) for part in answer.split())
    except (OSError, ValueError, subprocess.CalledProcessError):
        raise TurnstillError(
            f"{shown(python)} is no Python that runs; name one of {first} to {last} by --python."
        ) from None
    if not PYTHONS[0] <= version <= PYTHONS[1]:
        raise TurnstillError(
            f"The detector needs Python {first} to {last}, and {shown(python)} is {'.'.join(map(str, version))}; name "
            "another by --python."
        )


def _clear(folder: Path) -> None:
    """Make way for it: what an earlier command began here is removed, anybody else's is not."""
    try:
        if folder.exists():
            if not folder.is_dir() or (any(folder.iterdir()) and note_of(folder).get("made_by") != "turnstill"):
                raise TurnstillError(
                    f"{shown(str(folder))} holds something else; name another folder by --at, or an empty one."
                )
            shutil.rmtree(folder)
        folder.mkdir(parents=True)
        (folder / NOTE).write_text(json.dumps({"made_by": "turnstill", "whole": False}), encoding="utf-8")
    except OSError as wrong:
        raise TurnstillError(
            f"{shown(str(folder))} cannot be written: {reason(wrong)}; name another folder by --at."
        ) from wrong


def _python_of(folder: Path) -> Path:
    return folder / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")


def _run(command: list[str], otherwise: str) -> None:
    """Run a command to its end; its last words tell what went wrong."""
    with tempfile.TemporaryFile() as told:
        try:
            status = subprocess.run(command, stdin=subprocess.DEVNULL, stdout=told, stderr=told).returncode
        except OSError as wrong:
            raise TurnstillError(f"The detector cannot be made: {otherwise} ({reason(wrong)}).") from wrong
        if status:
            told.seek(0)
            lines = told.read().decode(errors="replace").split("\n")
            last = next((line.strip() for line in reversed(lines) if line.strip()), f"status {status}")
            raise TurnstillError(f"The detector cannot be made: {otherwise} ({last[:120]}); mend that and try again.")


def _try(python: Path) -> None:
    """See whether it answers to an empty picture."""
    import numpy as np

    empty = np.full((96, 96, 3), 128, np.uint8)
    list(answers(python, WORKER, iter([empty]), (96, 96)))
