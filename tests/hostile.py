"""Hostile runs of the command line, drawn from a seed, and a judge of what comes of them.

A run is a command line, the files it finds, and the screen it writes to. It is made in this process, as the console
command makes it. Everything drawn is told by the seed and the number of the case.
"""

from __future__ import annotations

import contextlib
import csv
import errno
import io
import itertools
import json
import os
import random
import re
import signal
import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from turnstill.scenes import cli
from turnstill.scenes.delivery.guard import run
from turnstill.scenes.delivery.terminal import LONGEST, Output
from turnstill.scenes.setups.quantities import entries

LONGEST_RUN = 10.0
"""Seconds of work that no case may take."""
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
    seconds: float


class _Screen(io.RawIOBase):
    """Where output goes, or does not."""

    def __init__(self, kind: str) -> None:
        self.kind, self.taken = kind, bytearray()

    def writable(self) -> bool:
        return True

    def isatty(self) -> bool:
        return self.kind == "terminal"

    def write(self, data: Any) -> int:
        reason = {"full": errno.ENOSPC, "closed": errno.EBADF, "gone": errno.EPIPE}.get(self.kind)
        if reason is not None:
            raise OSError(reason, os.strerror(reason))
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
    screen, errors = _Screen(case.screen), _Screen("kept")
    before = sys.stdout, sys.stderr
    alarm = signal.signal(signal.SIGALRM, _broken_off)
    signal.setitimer(signal.ITIMER_REAL, _HANGS)
    began = time.process_time()
    with _inside(folder):
        try:
            sys.stdout = Output(io.BufferedWriter(screen), encoding="utf-8", errors="backslashreplace")  # type: ignore[arg-type]
            sys.stderr = io.TextIOWrapper(io.BufferedWriter(errors), encoding="utf-8", errors="backslashreplace")
            status = run(lambda: command(list(case.arguments)))
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
    return Ended(status, out, errors.text(), time.process_time() - began)


def complaints(case: Case, folder: Path, command: Callable[[list[str]], int] = cli.command_line) -> list[str]:
    """What is wrong with what comes of a case; nothing if all is well. The folder must be empty before."""
    ended = end_of(case, folder, command)
    if ended.status == _BROKEN_OFF:
        return [f"did not end within {_HANGS} s"]
    found = [*_of_the_ending(case, ended), *_of_the_files(case, folder, ended)]
    if ended.seconds > LONGEST_RUN:
        found.append(f"took {ended.seconds:.1f} s")
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
            if not (name.startswith(STAGED) and case.arguments and case.arguments[0] in ("compare", "film", "strip")):
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


# What is drawn ---------------------------------------------------------------------------------------------------

TEXTS = (
    "", " ", "-", "--", "--json", "--help", "nan", "inf", "-inf", "1e999", "5e-324", "-5e-324", "1e308", "-0", "0", "1",
    "-1", "2", "41", "1.5", "1,5", "9" * 5000, "x" * 10_000, "a b " * 3000, "٣", "½", "0x10", "1_000", "null", "true",
    "\x1b[31mred\x1b[0m", "\x1b]0;title\x07", "\u202egnp.exe", "two\nlines", "tab\there", "\udcff\udcfe", "é", "😀",
    "../..", "/", "/dev/null", "/proc/self/mem", ".", "..", "~", "~nobody/x", "%s%n{0}", "a=b=c", "=", "[0]", "'", '"',
    "centred", "sway", "tilt", "hip_turn", "steady", "steady+10", "hip_turn=50", "tilt=steady-10", "sway=2in", "5ft10",
    "170lb", "12st4", "40°", "male", "female", "2024-02-29", "2023-02-29", "9999-12-31", "2025-W11-5", "1280x720",
    "0x0", "face-on", "face-on,down-the-line", "turn", "address", "none", "all", "[bold]rich[/bold]", "\u2028", "\x85",
    "\x9b31m", "head=1", "sway=5e-324", "thigh=0", "extension=1e308", "stature=1e-300", "lead_flare=nan",
)  # fmt: skip
"""Texts that somebody types, pastes or makes up to break a program."""
NAMES = (
    "mine.toml", "films.csv", "a.turnstill", "b.turnstill", "a.json", "a.csv", "\x1b[2J.toml", "\u202egpj.toml",
    "two\nlines.toml", "\udcff\udcfe.toml", "-x.toml", "--inches", "é.toml", "😀.toml", "n" * 200 + ".toml",
    "no suffix", "\x9b31m.turnstill", "\udcff.turnstill", "\udce9.csv", "steady", "a.glb", "a.bvh", "a.trc", "a.c3d",
)  # fmt: skip
SOUND_PRESETS = (
    '[pieces]\ntilt_deg = "steady+10"\n', 'extends = "sway"\n[address]\nlead_flare_deg = 10\n',
    '[body]\nstature_cm = 180\nsex = "female"\n[body.lengths_cm]\nthigh = 41\n'
    '[timing]\ntilt = [[0,0],[0.5,0.7],[1,1]]\n',
    'shows = "Mine."\n[body.ranges_deg]\ntrail_hip_internal_rotation = 25\n', "",
    '[timing]\ntilt = [["a","b"],["c","d"]]\n', '[timing]\ntilt = "steep"\n',
    '[timing]\ntilt = [["0","0"],["1","1"]]\n',
)  # fmt: skip
SOUND_TABLES = (
    "date,piece,felt,got,note\n2024-03-01,tilt,10,5,first\n2024-03-08,tilt,8,5,\n",
    "date;head_toward_target_cm;note\n01.03.2024;-6,5;\"=1+1\"\n", "date,note\n2024-03-01,\x1b[31mred\n",
)  # fmt: skip
CHEAP = (
    (("simulate",), 12), (("presets",), 3), (("presets", "show"), 5), (("presets", "settable"), 1),
    (("record", "add"), 8), (("record", "body"), 6), ((), 3), (("record",), 2),
)  # fmt: skip
COSTLY = (
    (("compare",), 2), (("diagnose",), 3), (("experiment",), 3), (("export",), 3), (("film",), 2), (("strip",), 2),
    (("map",), 3), (("shares",), 3), (("record", "show"), 5), (("record", "next"), 5),
)  # fmt: skip
"""Commands, and how often each is drawn. What is costly is mostly given something that it refuses."""
SCREENS = ("kept",) * 12 + ("terminal",) * 4 + ("full", "closed", "gone")


def damaged(rng: random.Random, content: bytes) -> bytes:
    """A file somebody's disk or editor has been at."""
    data = bytearray(content or b"\x00")
    for _ in range(rng.choice((1, 1, 2, 8))):
        at, kind = rng.randrange(len(data)), rng.randrange(5)
        if kind == 0:
            data[at] = rng.randrange(256)
        elif kind == 1:
            del data[at : at + rng.choice((1, 4, 100))]
        elif kind == 2:
            data[at:at] = rng.choice(TEXTS).encode("utf-8", "surrogateescape")
        elif kind == 3:
            data[at:at] = data[at : at + 40]
        else:
            data = data[: at + 1]
        data = data or bytearray(b"\n")
    return bytes(data)


class Hostility:
    """Draws hostile runs.

    Args:
        seed: of everything.
        record: a sound student's record, which is damaged in many ways.
        costly: the share of the costly commands that are given nothing wrong on purpose.
    """

    def __init__(self, seed: int, record: bytes, costly: float = 0.02) -> None:
        self._seed, self.record, self._costly = seed, record, costly
        self._whole = cli._whole()

    def case(self, number: int) -> Case:
        """The case of a number, the same whatever was drawn before."""
        rng = random.Random(f"{self._seed} {number}")
        words, weights = zip(*CHEAP, *COSTLY, strict=True)
        path = rng.choices(words, weights)[0]
        files = self._files(rng)
        spoilt = (path, 0) in [(one, 0) for one, _ in COSTLY] and rng.random() > self._costly
        arguments = [*path, *self._arguments(rng, path, list(files), spoilt)]
        if rng.random() < 0.03:
            rng.shuffle(arguments)
        return Case(tuple(arguments), files, rng.choice(SCREENS))

    def _files(self, rng: random.Random) -> dict[str, bytes]:
        files = {}
        for name in rng.sample(NAMES, rng.choice((0, 1, 1, 2, 3))):
            kind = self.record if name.endswith(".turnstill") else None
            pool = SOUND_TABLES if name.endswith(".csv") else SOUND_PRESETS
            content = kind if kind is not None else rng.choice(pool).encode()
            files[name] = damaged(rng, content) if rng.random() < 0.4 else content
            if rng.random() < 0.05:
                files[name] = rng.randbytes(rng.choice((0, 3, 300)))
        return files

    def _arguments(self, rng: random.Random, path: Sequence[str], files: list[str], spoilt: bool) -> Iterator[str]:
        command = self._whole
        for word in path:
            command = command.commands[word]
        options = [one for one in command.params if one.param_type_name == "option" and "--help" not in one.opts]
        needed = [one for one in options if one.required]
        some = rng.sample(options, min(len(options), rng.choice((0, 0, 1, 1, 1, 2, 3))))
        for one in command.params:
            if one.param_type_name == "argument" and rng.random() < 0.95:
                for _ in range(rng.choice((1, 2, 2, 3, 7)) if one.nargs == -1 else 1):
                    yield self._argument(rng, path, files)
        if path and path[0] in ("simulate", "shares", "export", "compare"):
            yield from ("--frames", rng.choice(("2", "2", "3")))
        if path == ("compare",):
            yield "--no-film"  # Half a minute of drawing is no hang.
        if path == ("film",):
            yield from ("--seconds", "0.5", "--size", "160x160")
        if path == ("record", "add") and rng.random() < 0.7:
            yield from (
                "--piece",
                rng.choice(("tilt", "sway", "hip turn")),
                "--felt",
                rng.choice(("10", "1in", "5e-324")),
            )
        for one in {id(one): one for one in (*needed, *some)}.values():
            option = rng.choice(one.opts)
            value = [] if one.is_flag else [self._value(rng, option, files)]
            yield from [f"{option}={value[0]}"] if value and rng.random() < 0.2 else [option, *value]
        if spoilt:
            yield from rng.choice((("--set", "nobody=1"), ("--nothing",), ("--set", "tilt=much"), ("--mass", "heavy")))

    def _argument(self, rng: random.Random, path: Sequence[str], files: list[str]) -> str:
        if files and rng.random() < 0.6:
            name = rng.choice(files)
            return f"./{name}" if rng.random() < 0.3 else name
        usual = NAMES if path[:1] == ("record",) else ("centred", "sway", "straight-toes", "too-much-tilt")
        return rng.choice(usual) if rng.random() < 0.8 else rng.choice(TEXTS)

    def _value(self, rng: random.Random, option: str, files: list[str]) -> str:
        if option in ("--json", "--csv", "--out", "--glb", "--trc", "--c3d", "--bvh") and rng.random() < 0.7:
            return rng.choice(("-", "a.json", "out", f"a.{option[2:]}", "no/such/a.json", *NAMES[:3], *files))
        if option == "--student" and rng.random() < 0.7:
            return rng.choice(files or ["a.turnstill"])
        if option == "--set" and rng.random() < 0.6:
            known = rng.choice(entries())
            within = known.quantity and f"{rng.triangular(known.quantity.low, known.quantity.high):.4g}"
            return f"{known.name}={within if within and rng.random() < 0.7 else rng.choice(TEXTS)}"
        if option.endswith(("-cm", "-deg", "-kg", "--felt", "--got", "--got-sd", "--missing")) and rng.random() < 0.6:
            plain, inches = rng.gauss(0, 10), rng.uniform(0, 4)
            return rng.choice((f"{plain:.3g}", f"{inches:.2g}in", f"{abs(plain):.3g}", "5e-324"))
        if option == "--piece" and rng.random() < 0.6:
            return rng.choice(("tilt", "sway", "hip turn", "extension"))
        return rng.choice(TEXTS)


def failures(hostility: Hostility, numbers: Sequence[int], make_folder: Callable[[], Path],
             command: Callable[[list[str]], int] = cli.command_line) -> list[str]:  # fmt: skip
    """What is wrong in a row of cases, each told with its number and command line."""
    found = []
    for number in numbers:
        case = hostility.case(number)
        for complaint in complaints(case, make_folder(), command):
            told = [one if len(one) < 60 else f"{one[:30]}...({len(one)})" for one in case.arguments]
            found.append(f"case {number}, {case.screen}, {told}, {list(case.files)}: {complaint}")
    return found
