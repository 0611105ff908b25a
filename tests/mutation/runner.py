"""The tests run on one mutant after the other: does one of them notice?"""

from __future__ import annotations

import ast
import importlib
import os
import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from . import forks
from .hook import standing_in
from .hook.reached import ROOMS, ROOT
from .record import Test
from .sample import Mutant


@dataclass(frozen=True)
class Effort:
    """Most tests that are run on one mutant, and most seconds that these usually take."""

    tests: int = 25
    seconds: float = 60.0


@dataclass(frozen=True)
class Verdict:
    """What came of a mutant: ``killed``, ``timeout`` (noticed too), ``survived`` or ``not viable``.

    ``by`` is the test that noticed, or why it is not viable; ``tried`` of the ``reaching`` tests were run at most.
    """

    mutant: Mutant
    outcome: str
    by: str
    tried: int
    reaching: int
    seconds: float


class Statements:
    """The statements of a module: which lines belong together, and what is named where nothing runs but the import."""

    def __init__(self, text: str) -> None:
        self._spans: list[tuple[int, int, bool, frozenset[str], int]] = []
        self._read(ast.parse(text).body, False, frozenset())

    def _read(self, body: list[ast.stmt], inside: bool, names: frozenset[str]) -> None:
        for one in body:
            first = min([one.lineno, *(d.lineno for d in getattr(one, "decorator_list", []))])
            parts = [getattr(one, part) for part in ("body", "orelse", "finalbody") if getattr(one, part, None)]
            for clause in [*getattr(one, "handlers", []), *getattr(one, "cases", [])]:
                head = clause.lineno if isinstance(clause, ast.ExceptHandler) else clause.pattern.lineno
                last = max(head, clause.body[0].lineno - 1)
                self._spans.append((head, last, inside, names, last))
                parts.append(clause.body)
            begins = min((part[0].lineno for part in parts), default=0)
            last = max(first, begins - 1) if parts else one.end_lineno or first
            own = _bound(one) or names
            self._spans.append((first, last, inside, own, one.end_lineno or last))
            function = isinstance(one, ast.FunctionDef | ast.AsyncFunctionDef)
            for part in parts:
                self._read(part, inside or function, own if isinstance(one, ast.ClassDef) or function else names)

    def of(self, line: int) -> tuple[range, bool, frozenset[str]]:
        """Lines of the innermost statement at a line, whether it is in a function, and the names that it binds."""
        first, last, inside, names, _ = self._innermost(line)
        return range(first, last + 1), inside, names

    def whole(self, line: int) -> range:
        """The lines of that statement with all that it holds: those of a function, where the line is of its head."""
        first, *_, end = self._innermost(line)
        return range(first, end + 1)

    def _innermost(self, line: int) -> tuple[int, int, bool, frozenset[str], int]:
        around = [span for span in self._spans if span[0] <= line <= span[1]]
        return max(around, key=lambda span: (span[0], -span[1]), default=(line, line, False, frozenset(), line))


def _bound(statement: ast.stmt) -> frozenset[str]:
    if isinstance(statement, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
        return frozenset({statement.name})
    targets = statement.targets if isinstance(statement, ast.Assign) else [getattr(statement, "target", None)]
    return frozenset(n.id for t in targets if t is not None for n in ast.walk(t) if isinstance(n, ast.Name))


@cache
def _statements(file: str) -> tuple[Statements, tuple[str, ...]]:
    text = (ROOT / file).read_text(encoding="utf-8")
    return Statements(text), tuple(text.splitlines())


@cache
def _mentions(names: frozenset[str]) -> frozenset[tuple[str, int]]:
    """Lines inside functions, in any of the rooms, that use what these names hold, directly or through another name."""
    known, fresh = set(names), set(names)
    lines: set[tuple[str, int]] = set()
    files = [path.relative_to(ROOT).as_posix() for room in ROOMS for path in (ROOT / room).rglob("*.py")]
    while fresh:
        word = re.compile(r"\b(" + "|".join(map(re.escape, sorted(fresh))) + r")\b")
        fresh = set()
        for file in files:
            statements, text = _statements(file)
            for number, line in enumerate(text, 1):
                if word.search(line):
                    span, inside, bound = statements.of(number)
                    if inside:
                        lines.update((file, k) for k in span)
                    elif not line.lstrip().startswith(("from ", "import ", "def ", "class ", "@")):
                        fresh |= bound - known
        known |= fresh
    return frozenset(lines)


def reaching(mutant: Mutant, tests: list[Test]) -> list[Test]:
    """The tests that reach a mutant: those of its own room first, fastest first; then those that only may reach it.

    What runs the very lines comes before what only uses what they define. One case of each test function comes before
    a second case of any: a function with many fast cases, of which one in twenty reaches the error, would else stand
    before all others.

    What is read once at import, a table of labels say, is reached by whoever reaches a line that uses it.
    """
    if mutant.module is None:  # A template is read as a whole.
        span, inside, names = range(1, 2), True, frozenset[str]()
    else:
        span, inside, names = _statements(mutant.file)[0].of(mutant.line)
    places = {(mutant.file, line) for line in span}
    if not inside:
        module = {(mutant.file, k) for k in range(1, len(_statements(mutant.file)[1]) + 1)}
        span = _statements(mutant.file)[0].whole(mutant.line)
        places = (set(_mentions(names)) or module) | {(mutant.file, k) for k in span}
    by_file: dict[str, set[int]] = {}
    for file, line in places:
        by_file.setdefault(file, set()).add(line)
    sure = [test for test in tests if any(test.lines.get(file, frozenset()) & at for file, at in by_file.items())]
    may = [test for test in tests if any(test.may.get(file, frozenset()) & at for file, at in by_file.items())]
    certain = {test.name for test in sure}
    runs_it = {test.name for test in sure if test.lines.get(mutant.file, frozenset()) & frozenset(span)}
    path = Path(mutant.file)
    own = {path.stem, path.parent.name}
    cases = _cases(may)

    def rank(test: Test) -> tuple[bool, bool, bool, int, float, str]:
        other = not own & set(Path(test.file).stem.split("_"))
        return test.name not in certain, other, test.name not in runs_it, cases[test.name], test.seconds, test.name

    return sorted(may, key=rank)


def _cases(tests: list[Test]) -> dict[str, int]:
    """For each test, how many cases of its function are faster."""
    faster: Counter[str] = Counter()
    found = {}
    for test in sorted(tests, key=lambda one: (one.seconds, one.name)):
        function = test.name.split("[")[0]
        found[test.name] = faster[function]
        faster[function] += 1
    return found


def chosen(found: list[Test], effort: Effort) -> list[Test]:
    """Of the tests that reach a mutant those that are run: one module after the other, each one's fastest first."""
    taken: list[Test] = []
    for test in found:
        if len(taken) < effort.tests and (not taken or sum(t.seconds for t in taken) + test.seconds <= effort.seconds):
            taken.append(test)
    first = {test.file: k for k, test in reversed(list(enumerate(taken)))}
    return sorted(taken, key=lambda test: (first[test.file], test.seconds, test.name))


def _try(mutant: Mutant, run: list[Test], folder: Path) -> dict[str, Any]:
    """In a child: put the mutant in place and run the tests until one fails."""
    text = folder / "mutant"
    text.write_text(mutant.text, encoding="utf-8")
    os.environ[standing_in.FILE], os.environ[standing_in.TEXT] = str(ROOT / mutant.file), str(text)
    standing_in.install()
    try:
        if mutant.module is not None:
            importlib.import_module(mutant.module)
    except BaseException as error:
        return {"outcome": "not viable", "by": f"{type(error).__name__}: {error}"[:200]}
    if not run:
        return {"outcome": "survived", "by": ""}
    outcome = forks.Chosen([test.name for test in run])
    code = forks.pytest_in(folder, ["-x", *dict.fromkeys(test.file for test in run)], outcome)
    if outcome.failed:
        return {"outcome": "killed", "by": outcome.failed[0]}
    if code != 0:
        return {"outcome": "killed", "by": f"pytest ended with {code}"}
    return {"outcome": "survived", "by": ""}


def verdicts(
    mutants: list[Mutant], tests: list[Test], effort: Effort, scratch: Path, at_a_time: int = 2
) -> Iterator[Verdict]:
    """The verdict on each mutant, as they come."""
    found = {mutant.key: reaching(mutant, tests) for mutant in mutants}
    by_key = {mutant.key: mutant for mutant in mutants}
    totals: dict[str, float] = {}
    for test in tests:
        totals[test.file] = totals.get(test.file, 0.0) + test.seconds

    def job(mutant: Mutant) -> forks.Job:
        run = chosen(found[mutant.key], effort)
        # A test alone may pay for all of its module's fixtures.
        usual = sum(totals[file] for file in {test.file for test in run})
        work: Callable[[Path], Any] = lambda folder: _try(mutant, run, folder)  # noqa: E731
        return forks.Job(mutant.key, work, min(3.0 * usual, 180.0) + 20.0)

    for done in forks.run((job(mutant) for mutant in mutants), scratch, at_a_time):
        mutant, all_found = by_key[done.job.name], found[done.job.name]
        tried = len(chosen(all_found, effort))
        answer = done.answer
        if answer is None:
            last = (done.output.strip().splitlines() or [""])[-1]
            answer = {"outcome": "timeout" if done.timed_out else "killed", "by": f"the process ended: {last[:160]}"}
        yield Verdict(mutant, answer["outcome"], answer["by"], tried, len(all_found), round(done.seconds, 1))
