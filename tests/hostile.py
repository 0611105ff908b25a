"""Hostile runs of the command line, and a judge of what comes of them; ``hostile_drawn`` draws them.

A run is a command line, the files it finds, and the screen it writes to. It is made in this process, as the console
command makes it.
"""

from __future__ import annotations

import contextlib
import csv
import errno
import io
import itertools
import json
import os
import re
import signal
import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from unittest.mock import patch

from turnstill.scenes import cli
from turnstill.scenes.delivery.guard import run
from turnstill.scenes.delivery.progress import Progress
from turnstill.scenes.delivery.terminal import LONGEST, Output

LONGEST_SILENCE = 10.0
"""Seconds of work that no case may take without a sign of life: a character written, or a step of its progress bar."""
_HANGS = 60
"""Seconds after which a case is broken off, on a machine that may be busy."""
_BROKEN_OFF = -1
STAGED = "turnstill-"
"""How names begin that the program makes up itself; with a dot before, those of files not whole yet."""


@dataclass(frozen=True)
class Case:
    """One hostile run: arguments, files by name, and the screen: kept, terminal, full, closed or gone."""

    arguments: tuple[str, ...]
    files: Mapping[str, bytes] = field(default_factory=dict)
    screen: str = "kept"


@dataclass(frozen=True)
class Ended:
    """How a run ended."""

    status: int
    out: str
    err: str
    silence: float
    """The most seconds of work without a sign of life."""


class _SignsOfLife:
    """How long a run went on without one."""

    def __init__(self) -> None:
        self._last, self.longest = time.process_time(), 0.0

    def sign(self) -> None:
        now = time.process_time()
        self._last, self.longest = now, max(self.longest, now - self._last)

    @contextlib.contextmanager
    def of_progress(self) -> Iterator[None]:
        """Every step of a progress bar is a sign, whether or not the bar has a terminal to show it on."""
        step = Progress.step

        def stepped(bar: Progress, doing: str) -> None:
            self.sign()
            step(bar, doing)

        with patch.object(Progress, "step", stepped):
            yield


class _Screen(io.RawIOBase):
    """Where output goes, or does not."""

    def __init__(self, kind: str, life: _SignsOfLife) -> None:
        self.kind, self.life, self.taken = kind, life, bytearray()

    def writable(self) -> bool:
        return True

    def isatty(self) -> bool:
        return self.kind == "terminal"

    def write(self, data: Any) -> int:
        reason = {"full": errno.ENOSPC, "closed": errno.EBADF, "gone": errno.EPIPE}.get(self.kind)
        if reason is not None:
            raise OSError(reason, os.strerror(reason))
        self.life.sign()
        self.taken += bytes(data)
        return len(data)

    def text(self) -> str:
        return self.taken.decode("utf-8", "backslashreplace")


class _Hangs(SystemExit):
    """A case that does not come to an end."""


def _broken_off(*_: object) -> None:
    raise _Hangs(_BROKEN_OFF)


@contextlib.contextmanager
def _inside(folder: Path) -> Iterator[None]:
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)


def end_of(case: Case, folder: Path, command: Callable[[list[str]], int] = cli.command_line) -> Ended:
    """Run a case in an empty folder, which gets its files first."""
    for name, content in case.files.items():
        (folder / name).write_bytes(content)
    life = _SignsOfLife()
    screen, errors = _Screen(case.screen, life), _Screen("kept", life)
    before = sys.stdout, sys.stderr
    alarm = signal.signal(signal.SIGALRM, _broken_off)
    signal.setitimer(signal.ITIMER_REAL, _HANGS)
    with _inside(folder), life.of_progress():
        try:
            sys.stdout = Output(io.BufferedWriter(screen), encoding="utf-8", errors="backslashreplace")  # type: ignore[arg-type]
            sys.stderr = io.TextIOWrapper(io.BufferedWriter(errors), encoding="utf-8", errors="backslashreplace")
            status = run(lambda: command(list(case.arguments)))
            life.sign()
            with contextlib.suppress(OSError):
                sys.stdout.flush()
            sys.stderr.flush()
        finally:
            streams, (sys.stdout, sys.stderr) = (sys.stdout, sys.stderr), before
            signal.setitimer(signal.ITIMER_REAL, 0)
            signal.signal(signal.SIGALRM, alarm)
            screen.kind = "kept"  # What is still held back goes nowhere, instead of failing when it is cleared away.
            out = screen.text()
            for stream in streams:
                stream.close()
    return Ended(status, out, errors.text(), life.longest)


def complaints(case: Case, folder: Path, command: Callable[[list[str]], int] = cli.command_line) -> list[str]:
    """What is wrong with what comes of a case; nothing if all is well. The folder must be empty before."""
    ended = end_of(case, folder, command)
    if ended.status == _BROKEN_OFF:
        return [f"did not end within {_HANGS} s"]
    found = [*_of_the_ending(case, ended), *_of_the_files(case, folder, ended)]
    if ended.silence > LONGEST_SILENCE:
        found.append(f"gave no sign of life for {ended.silence:.1f} s")
    return found


def _of_the_ending(case: Case, ended: Ended) -> Iterator[str]:
    lines = ended.err.splitlines()
    refused_screen = case.screen in ("full", "closed", "gone")
    if ended.status == 70:
        yield f"a fault of the program: {ended.err}"
    elif ended.status not in ((0, 1, 2) if case.screen == "gone" else (0, 2)):
        yield f"ended with status {ended.status}"
    if "Traceback" in ended.err:
        yield "a traceback"
    if ended.status == 2 and not _is_help(ended.err):
        if len(lines) != 1 or not lines[0].startswith("turnstill: "):
            yield f"{len(lines)} lines in place of one sentence: {ended.err[:500]!r}"
        elif not re.search(r"[.?]$|; try: turnstill [a-z -]+$", lines[0]):
            yield f"no sentence: {lines[0]!r}"
        if not refused_screen and ended.out:
            yield f"refused, and yet wrote to the screen: {ended.out[:80]!r}"
    for line in lines:
        if len(line) > LONGEST and not _is_help(ended.err):
            yield f"{len(line)} characters on standard error: {line!r}"
        if not _shown_safely(line):
            yield f"a character that a terminal acts on, on standard error: {line!r}"
        if re.search(r"Warning:|<class|NoneType|TypeError|ValueError|\bparse\b|\bfloat\b|site-packages", line):
            yield f"words of a programmer: {line!r}"
    if ended.status == 0:
        yield from _of_the_output(case, ended)


def _is_help(told: str) -> bool:
    """A command line with no command at all gets the help."""
    return told.startswith("Usage: ")


def _shown_safely(line: str) -> bool:
    return all(character.isprintable() or character in "\u200c\u200d" for character in line)


def _of_the_output(case: Case, ended: Ended) -> Iterator[str]:
    out = ended.out
    if case.screen == "terminal":
        plain = re.sub(r"\x1b\[[0-9;]*m", "", out)
        if not all(_shown_safely(line) for line in plain.split("\n")):
            yield f"a character that a terminal acts on: {plain[:300]!r}"
        return
    if case.screen != "kept":
        if case.screen != "gone" and "standard output" not in ended.err:
            yield "said that all went well, to a screen that took nothing"
        return
    given = " ".join((*case.arguments, *case.files, *(one.decode("utf-8", "replace") for one in case.files.values())))
    asked = dict(zip(case.arguments, case.arguments[1:], strict=False))
    if asked.get("--json") == "-":
        yield from _of_json(out, "standard output")
    elif asked.get("--csv") == "-" and "add" not in case.arguments and not list(csv.reader(io.StringIO(out))):
        yield "an empty table"
    if re.search(r"(?<![\w.-])(nan|inf)(?![\w.-])", out) and not re.search("nan|inf", given, re.IGNORECASE):
        yield f"a number that is none: {out[:2000]}"


def _of_json(text: str, where: str) -> Iterator[str]:
    def none_such(name: str) -> float:
        raise ValueError(f"{name} in JSON")

    try:
        json.loads(text, parse_constant=none_such)
    except ValueError as wrong:
        yield f"JSON of {where}: {wrong}"


def _of_the_files(case: Case, folder: Path, ended: Ended) -> Iterator[str]:
    outputs = named_outputs(case.arguments)
    for name, content in case.files.items():
        if name not in outputs and f"./{name}" not in outputs:
            path = folder / name
            if not path.is_file() or path.read_bytes() != content:
                yield f"the file {name!r} is not what it was"
    for path in folder.iterdir():
        name = path.name
        if name.startswith(f".{STAGED}"):
            yield f"left behind: {name}"
        elif name not in case.files and name not in outputs and f"./{name}" not in outputs:
            if not (
                name.startswith(STAGED)
                and case.arguments
                and case.arguments[0] in ("compare", "film", "strip", "sheet")
            ):
                yield f"a file that nobody asked for: {name!r}"
        elif name not in case.files and path.is_file() and ("--json", name) in itertools.pairwise(case.arguments):
            yield from _of_json(path.read_text("utf-8"), name)


def named_outputs(arguments: Sequence[str]) -> set[str]:
    """Names that a command line allows to be written to: those after an output's option, and a student's record."""
    found = set()
    for option, value in itertools.pairwise(arguments):
        if option in ("--json", "--csv", "--out", "--glb", "--trc", "--c3d", "--bvh"):
            found.add(value)
    found |= {one.partition("=")[2] for one in arguments if one.startswith("--") and "=" in one}
    if arguments[:2] in (("record", "add"), ("record", "body")):
        found |= set(arguments[2:])
    return found
