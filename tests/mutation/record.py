"""Which test reaches which line of the rooms under test, each test module in a fork of its own.

What a fixture or a cache spares the later tests of a module is not seen there. So caches are emptied before each test;
a test counts as one that may reach what any other test of its module reaches that shares a lasting fixture with it; and
so does each for what runs while the module is collected.

Kept in ``.mutation/`` at the root, a file for each test module, and recorded anew where that or what it reached has
changed.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import resource
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from . import forks
from .hook import reached, standing_in
from .hook.reached import ROOMS, ROOT

CHANGED = (".py", ".html")
"""Kinds of files that are changed in the rooms."""
KEPT = ROOT / ".mutation"
MAY_REACH = re.compile(
    r"turnstill\.scenes|turnstill\.render\.pictures|subprocess|^import turnstill|^from turnstill import", re.M
)


@dataclass(frozen=True)
class Test:
    """A test that passes: the lines it reaches by file, and those that it may reach when it runs alone.

    Its seconds are the processor's, so that a busy machine makes no difference.
    """

    name: str
    seconds: float
    lines: dict[str, frozenset[int]]
    may: dict[str, frozenset[int]]

    @property
    def file(self) -> str:
        """The test module, from the root."""
        return self.name.split("::")[0]


@cache
def _digest(file: str) -> str:
    path = ROOT / file
    return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""


@cache
def _ground() -> str:
    """A hash of all that is not under test and that every test stands on: the model, the figure, what tests share."""
    under = tuple(f"{room}/" for room in ROOMS)
    paths = [path for room in ("model", "render", "scenes", "presets", "tests") for path in (ROOT / room).rglob("*")]
    names = sorted(
        path.relative_to(ROOT).as_posix() for path in paths if path.is_file() and "__pycache__" not in path.parts
    )
    names = [
        name for name in names
        if not (name.startswith(under) and name.endswith(CHANGED))
        and not name.startswith(("tests/mutation/", "tests/benchmarks/")) and not re.search(r"/test_\w+\.py$", name)
    ]  # fmt: skip
    return hashlib.sha256("".join(name + _digest(name) for name in names).encode()).hexdigest()


def test_files() -> list[str]:
    """Test modules that may reach the rooms under test, themselves or through what tests share."""
    shared = [path.stem for path in (ROOT / "tests").glob("*.py") if MAY_REACH.search(path.read_text(encoding="utf-8"))]
    through = re.compile("|".join([MAY_REACH.pattern, *(rf"^(from|import) {name}\b" for name in shared)]), re.M)
    found = []
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        name = path.relative_to(ROOT).as_posix()
        if name.startswith("tests/mutation/"):
            continue
        if name.startswith("tests/scenes/") or through.search(path.read_text(encoding="utf-8")):
            found.append(name)
    return found


def _empty_caches() -> None:
    for name, module in list(sys.modules.items()):
        if name.split(".")[0] == "turnstill":
            for one in list(vars(module).values()):
                if callable(getattr(one, "cache_clear", None)):
                    one.cache_clear()


def _processor_seconds() -> float:
    """Of this process and of those it started."""
    spent = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(one.ru_utime + one.ru_stime for one in spent)


class _Recorder:
    """A pytest plugin: what each test reaches, in this process and in those it starts, and its lasting fixtures."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.watch = reached.watch()
        self.fixtures: dict[str, list[str]] = {}
        self.seconds: dict[str, float] = {}
        self.started: dict[str, dict[str, set[int]]] = {}
        self.now = ""
        standing_in.read_templates_through(self._see)

    def _see(self, file: Path, text: str) -> str:
        if file.is_relative_to(ROOT):
            self.started.setdefault(self.now, {}).setdefault(reached.named(file), set()).add(1)
        return text

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: Any) -> Iterator[None]:
        _empty_caches()
        place = self.folder / f"lines-{len(self.fixtures)}"
        place.mkdir()
        os.environ[reached.FOLDER] = str(place)
        known = item._fixtureinfo.name2fixturedefs
        lasting = [name for name in item.fixturenames if name in known and known[name][-1].scope != "function"]
        self.fixtures[item.nodeid] = [name for name in lasting if known[name][-1].baseid]
        self.now, before = item.nodeid, _processor_seconds()
        self.watch.switch_context(item.nodeid)
        done = yield
        self.seconds[item.nodeid] = _processor_seconds() - before
        lines = self.started.setdefault(item.nodeid, {})
        for file in place.glob("*.json"):
            for watched, at in json.loads(file.read_text(encoding="utf-8")).items():
                lines.setdefault(watched, set()).update(at)
        return done

    def lines(self) -> dict[str, dict[str, list[int]]]:
        """By test and file; what runs while tests are collected is under no name."""
        found = self.started
        data = self.watch.get_data()
        for file in data.measured_files():
            name = reached.named(file)
            for line, tests in data.contexts_by_lineno(file).items():
                for test in tests:
                    found.setdefault(test, {}).setdefault(name, set()).add(line)
        return {test: {file: sorted(at) for file, at in sorted(by.items())} for test, by in found.items()}


def _record(file: str, folder: Path) -> dict[str, Any]:
    recorder, outcome = _Recorder(folder), forks.Chosen(None)
    recorder.watch.start()
    code = forks.pytest_in(folder, [file], recorder, outcome)
    recorder.watch.stop()
    out = {*outcome.failed, *outcome.skipped}
    lines = recorder.lines()
    collected = lines.pop("", {})
    watched = {name for by in lines.values() for name in by}
    watched |= {reached.named(name) for name in recorder.watch.get_data().measured_files()}
    return {
        "code": code,
        "ground": _ground(),
        "hashes": {name: _digest(name) for name in [file, *sorted(watched)]},
        "tests": [
            {
                "name": name,
                "seconds": round(recorder.seconds[name], 3),
                "fixtures": recorder.fixtures[name],
                "lines": by,
            }
            for name, by in lines.items()
            if name not in out
        ],
        "collected": collected,
        "left_out": sorted(out),
    }


def _kept(file: str) -> dict[str, Any] | None:
    """What was recorded of a test module, unless something has changed since."""
    path = KEPT / (file.replace("/", "-") + ".json")
    if not path.is_file():
        return None
    record = json.loads(path.read_text(encoding="utf-8"))
    same = record["ground"] == _ground() and all(_digest(name) == was for name, was in record["hashes"].items())
    return record if same else None


def tests(scratch: Path, at_a_time: int = 2, by: Sequence[str] = ()) -> tuple[list[Test], list[str]]:
    """The tests that reach the rooms, recorded where need be; and those left out, which do not pass as things stand.

    ``by`` keeps to the test modules whose path begins so.
    """
    files = [file for file in test_files() if not by or file.startswith(tuple(by))]
    KEPT.mkdir(exist_ok=True)
    (KEPT / ".gitignore").write_text("*\n", encoding="utf-8")
    records = {file: record for file in files if (record := _kept(file)) is not None}
    missing = [file for file in files if file not in records]
    if missing:
        print(f"recording which lines are reached by {len(missing)} of {len(files)} test modules", flush=True)
    jobs = [forks.Job(file, lambda folder, file=file: _record(file, folder), 1800.0) for file in missing]
    for done in forks.run(jobs, scratch, at_a_time):
        if done.answer is None:
            print(f"  {done.job.name} could not be recorded\n{done.output}", flush=True)
            continue
        records[done.job.name] = done.answer
        (KEPT / (done.job.name.replace("/", "-") + ".json")).write_text(json.dumps(done.answer), encoding="utf-8")
        print(f"  {done.seconds:6.1f} s {len(done.answer['tests']):4d} tests {done.job.name}", flush=True)
    return _tests(records.values()), [name for record in records.values() for name in record["left_out"]]


def _tests(records: Iterable[dict[str, Any]]) -> list[Test]:
    found = []
    for record in records:
        shared: dict[str, dict[str, set[int]]] = {}
        for test in record["tests"]:
            for fixture in test["fixtures"]:
                for file, at in test["lines"].items():
                    shared.setdefault(fixture, {}).setdefault(file, set()).update(at)
        for test in record["tests"]:
            may = {file: {*at, *test["lines"].get(file, ())} for file, at in record["collected"].items()}
            may = {file: set(at) for file, at in test["lines"].items()} | may
            for fixture in test["fixtures"]:
                for file, at in shared.get(fixture, {}).items():
                    may.setdefault(file, set()).update(at)
            lines = ({file: frozenset(at) for file, at in by.items()} for by in (test["lines"], may))
            found.append(Test(test["name"], test["seconds"], *lines))
    return found
