"""What a page keeps: written by the commands themselves, each in a process of its own.

So a film or a page is what ``turnstill film`` or ``turnstill compare`` makes of the same swings, whole or not at all,
and what drawing takes of memory is given back.
"""

from __future__ import annotations

import contextlib
import re
import shlex
import subprocess
import sys
import tempfile
import threading
from collections.abc import Sequence
from pathlib import Path

from ...model.errors import TurnstillError
from ..delivery.outcome import FAULT, USER_ERROR
from ..delivery.refusals import shown, unwritable
from ..delivery.writing import write_text
from ..setups.naming import titled
from ..setups.options import TOP
from ..setups.perform import centred_for
from ..setups.presets import Setup, content_of
from ..setups.quantities import HEAD_SECTION, IMPACT_SECTION, PIECES_SECTION, Departure, echo, entries
from ..setups.toml_text import toml_text
from .messages import EntryMessage, SaveMessage

PRESET, FILM, PICTURE, SHEET, RECORD = ".toml", ".mp4", ".png", ".html", ".turnstill"
_NOT_IN_NAMES = set('/\\:*?"<>|')
_OF_A_DEVICE = re.compile(r"(con|prn|aux|nul|(com|lpt)[0-9¹²³])\s*(\..*)?", re.IGNORECASE)
"""Names that Windows keeps for its devices, whatever their ending (from memory)."""
LONGEST_WORK = 900.0
"""Seconds; a film takes half a minute."""
REPLACE = "replace an earlier one of that name"
"""The switch in the page that lets what is there be replaced."""
_OF_A_SWING = (PIECES_SECTION, HEAD_SECTION, IMPACT_SECTION)
"""Sections of what a golfer does; all others say who it is and how they stand."""
_PACKAGE = __name__.split(".")[0]
_SAID = "turnstill: "


class Saving:
    """Keeps what pages ask for in one folder, one thing at a time."""

    def __init__(self, folder: Path) -> None:
        """Nothing is kept yet.

        Args:
            folder: where everything goes.
        """
        self._folder = folder.resolve()
        self._busy = threading.Lock()
        self._work: subprocess.Popen[bytes] | None = None
        self._over = False

    def save(self, message: SaveMessage) -> str:
        """Keep something.

        Returns:
            Where it is, in one sentence.

        Raises:
            TurnstillError: for anything a user can mend; nothing is then half-written.
        """
        setups = [one.setup() for one in message.setups]
        if not self._busy.acquire(blocking=False):
            raise TurnstillError("Something is being saved already; wait until it is done.")
        try:
            match message.kind:
                case "preset":
                    return self._preset(message, setups)
                case "page":
                    return self._page(message, setups)
                case "film":
                    return self._drawn(message, setups, FILM, "film", *_end(message))
                case "picture":
                    return self._drawn(message, setups, PICTURE, "strip", *_end(message))
                case "sheet":
                    if len(setups) != 1:
                        raise TurnstillError("A sheet is of one swing; leave the other one out.")
                    return self._drawn(message, setups, SHEET, "sheet")
                case "student record":
                    return self._record(message, setups)
        finally:
            self._busy.release()

    def stop(self) -> None:
        """End what is being made; it leaves nothing half-written."""
        self._over = True
        work = self._work
        if work is not None:
            with contextlib.suppress(OSError):
                work.terminate()

    def _preset(self, message: SaveMessage, setups: Sequence[Setup]) -> str:
        if len(setups) != 1:
            raise TurnstillError("A preset is one swing; save the other one under a name of its own.")
        target = self._target(message, PRESET)
        write_text(str(target), toml_text(content_of(setups[0])))
        again = f"turnstill live {shlex.quote(str(target))}"
        return f"The swing is kept in {shown(str(target))}; open it again with {again}."

    def _page(self, message: SaveMessage, setups: Sequence[Setup]) -> str:
        target = self._target(message, "")
        if len(setups) == 1:
            # A page tells what differs, so a swing alone is told beside what it is measured against.
            setups = [centred_for(setups[0]), setups[0]]
        self._made(["compare", *_end(message)], setups, target)
        return f"The page is {shown(str(target / 'index.html'))}."

    def _drawn(self, message: SaveMessage, setups: Sequence[Setup], suffix: str, *command: str) -> str:
        target = self._target(message, suffix)
        self._made(command, setups, target)
        return f"The {message.kind} is {shown(str(target))}."

    def _record(self, message: SaveMessage, setups: Sequence[Setup]) -> str:
        if len(setups) != 1:
            raise TurnstillError("A student's record keeps one golfer; leave the other swing out.")
        target = self._place(message.name, RECORD)
        there, entry = target.exists(), message.entry
        if there and entry is None and not message.replace:
            raise TurnstillError(
                f"{shown(target.name)} is there already; switch on {REPLACE!r} to put this body and address into it, "
                "or give it an entry with turnstill record add."
            )
        told = []
        if entry is not None:
            self._run(["record", "add", str(target), *_entry(entry)])
            told.append("has a new entry")
        if message.replace or not there:
            kept = _kept(setups[0])
            if kept:
                self._run(["record", "body", str(target), *(part for one in kept for part in ("--set", one))])
                told.append("keeps this body and address")
        if not told:
            raise TurnstillError("There is nothing yet that a record would keep; set the body or the address first.")
        return f"{shown(str(target))} {' and '.join(told)}."

    def _target(self, message: SaveMessage, suffix: str) -> Path:
        """Where something new goes; what is there already is replaced only where that was asked for."""
        target = self._place(message.name, suffix)
        if not message.replace and (target.exists() or target.is_symlink()):
            raise TurnstillError(
                f"{shown(target.name)} is there already; save under another name, or switch on {REPLACE!r}."
            )
        return target

    def _place(self, name: str, suffix: str) -> Path:
        """The path of a name, always in the folder itself.

        Raises:
            TurnstillError: for a name that leads elsewhere, or that not every system takes.
        """
        if _OF_A_DEVICE.fullmatch(name):
            raise TurnstillError(f"{echo(name)} is a name that Windows keeps for itself; save under another one.")
        if not name.isprintable() or _NOT_IN_NAMES & set(name) or name != name.strip(" .") or name.startswith("-"):
            raise TurnstillError(
                f"{echo(name)} cannot name a file; use letters, digits, spaces and hyphens, beginning with a letter."
            )
        path = self._folder / f"{name.removesuffix(suffix) if suffix else name}{suffix}"
        try:
            if path.is_symlink():
                raise TurnstillError(f"{shown(path.name)} leads elsewhere; save under another name.")
        except OSError as wrong:
            raise unwritable(path.name, wrong) from wrong
        return path

    def _made(self, command: Sequence[str], setups: Sequence[Setup], target: Path) -> None:
        """Have a command make something of swings."""
        with tempfile.TemporaryDirectory(prefix="turnstill-") as room:
            files = []
            for setup in titled([setup.renamed(_in_a_file_name(setup.name)) for setup in setups]):
                file = Path(room) / f"{setup.name}{PRESET}"
                file.write_text(toml_text(content_of(setup)), encoding="utf-8")
                files.append(str(file))
            self._run([*command, *files, "--out", str(target)])

    def _run(self, arguments: Sequence[str]) -> None:
        """Run one of our commands.

        Raises:
            TurnstillError: with its own sentence.
        """
        begin = f"from {_PACKAGE}.scenes.start import main; main()"
        # -P: what lies in the folder is no part of the program.
        command = [sys.executable, "-P", "-c", begin, *arguments]
        self._work = subprocess.Popen(
            command, cwd=self._folder, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
        )
        try:
            if self._over:
                self._work.terminate()
            _, errors = self._work.communicate(timeout=LONGEST_WORK)
            status = self._work.returncode
        except subprocess.TimeoutExpired:
            self._work.terminate()
            self._work.communicate()
            raise TurnstillError("That took too long and was ended; nothing was written.") from None
        finally:
            self._work = None
        if status != 0:
            told = [line for line in errors.decode("utf-8", "replace").splitlines() if line.startswith(_SAID)]
            said = told[-1].removeprefix(_SAID) if told else "nothing was written."
            ended = "" if status in (USER_ERROR, FAULT) else "That was ended before it was done: "
            raise TurnstillError(f"{ended}{said}")


def _in_a_file_name(name: str) -> str:
    """A swing's name as a file's on every system, changed as little as can be: commands call a swing after its file."""
    clean = "".join("-" if one in _NOT_IN_NAMES else one for one in name).strip(" .")
    return "swing" if not clean or _OF_A_DEVICE.fullmatch(clean) else clean


def _end(message: SaveMessage) -> list[str]:
    """Where the swings of a command end, where it is not where they always do."""
    return [] if message.through == TOP else ["--through", message.through]


def _entry(entry: EntryMessage) -> list[str]:
    """Options of ``turnstill record add``."""
    given = {name: text for name, text in entry.model_dump().items() if text is not None}
    for name, text in given.items():
        if not str(text).isprintable():
            raise TurnstillError(f"{name} must be one line of letters that can be seen.")
    return [f"--{name.replace('_', '-')}={text}" for name, text in given.items()]


def _kept(setup: Setup) -> list[str]:
    """Body and address of a setup as settings."""
    told = []
    for entry in entries():
        value = setup.section(entry.section).get(entry.key)
        if entry.section not in _OF_A_SWING and value is not None and not isinstance(value, Departure):
            told.append(f"{entry.name}={value if isinstance(value, str) else repr(value)}")
    return told
