"""A warm process that has the slow libraries loaded, and forks of it that run one thing each.

Nothing here may open an OpenGL context before the fork: a child that inherits one hangs.
"""

from __future__ import annotations

import importlib
import importlib.util
import json
import math
import os
import resource
import shutil
import signal
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .hook.reached import ROOMS, ROOT

HOOK = Path(__file__).with_name("hook")
LIBRARIES = (
    "numpy", "scipy.optimize", "scipy.spatial.transform", "scipy.ndimage", "scipy.interpolate", "pyvista", "trimesh",
    "pydantic", "rich.console", "rich.table", "typer.testing", "PIL.Image", "PIL.ImageFont", "matplotlib.figure",
    "matplotlib.backends.backend_svg", "matplotlib.backends.backend_agg", "av", "jinja2", "hypothesis", "pytest",
    "coverage",
)  # fmt: skip
MOST_MEMORY = 8 * 2**30
"""Bytes a child may have: a change that asks for all of it shall fail alone."""


class WrongTree(Exception):
    """The installed package is another than the one whose tests these are."""


def _watched(name: str) -> bool:
    return any(name.startswith("turnstill." + room.replace("/", ".")) for room in ROOMS)


def warm_up() -> None:
    """Load what every child needs and no change touches: the libraries, the model, and what the pictures stand on.

    Raises:
        WrongTree: in one sentence, what to do.
    """
    sys.dont_write_bytecode = True
    for name in LIBRARIES:
        if importlib.util.find_spec(name.split(".")[0]) is not None:
            importlib.import_module(name)
    package = importlib.import_module("turnstill")
    if Path(str(package.__file__)).parent != ROOT:
        found = Path(str(package.__file__)).parent
        raise WrongTree(
            f"turnstill is imported from {found}, not from {ROOT}; install this tree, or name its parent in PYTHONPATH."
        )
    for path in sorted(path for floor in ("model", "render") for path in (ROOT / floor).rglob("*.py")):
        name = ".".join(["turnstill", *path.relative_to(ROOT).with_suffix("").parts]).removesuffix(".__init__")
        if not _watched(name):
            importlib.import_module(name)
    if any(_watched(name) for name in sys.modules):  # Each child loads them itself, one of them changed.
        for name in [name for name in sys.modules if name.split(".")[0] == "turnstill"]:
            del sys.modules[name]


@dataclass
class Job:
    """What one child does: ``work(folder)`` in a folder of its own, its answer to be JSON.

    ``limit`` is in seconds of the processor, so that a busy machine makes no difference; the clock's is ten times that.
    """

    name: str
    work: Callable[[Path], Any]
    limit: float


@dataclass(frozen=True)
class Done:
    """A child's answer; None if it ran out of time or died, which ``timed_out`` tells apart."""

    job: Job
    answer: Any
    seconds: float
    timed_out: bool
    output: str


def _child(job: Job, folder: Path) -> None:
    """Run the job and leave; never returns."""
    os.setsid()
    with open(folder / "output", "wb") as output, open(os.devnull, "rb") as nothing:  # noqa: PTH123
        os.dup2(nothing.fileno(), 0)
        os.dup2(output.fileno(), 1)
        os.dup2(output.fileno(), 2)
    code = 1
    try:
        resource.setrlimit(resource.RLIMIT_DATA, (MOST_MEMORY, MOST_MEMORY))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(resource.RLIMIT_CPU, (math.ceil(job.limit), math.ceil(job.limit) + 5))
        os.environ["PYTHONPATH"] = os.pathsep.join([str(HOOK), *filter(None, [os.environ.get("PYTHONPATH")])])
        os.environ["PYTHONDONTWRITEBYTECODE"] = "1"
        os.chdir(ROOT)
        answer = job.work(folder)
        (folder / "answer").write_text(json.dumps(answer), encoding="utf-8")
        code = 0
    except BaseException:
        import traceback

        traceback.print_exc()
    finally:
        os._exit(code)


def run(jobs: Iterable[Job], scratch: Path, at_a_time: int = 2) -> Iterator[Done]:
    """Run the jobs in forks, some at a time, and give their answers as they come."""
    waiting = iter(jobs)
    running: dict[int, tuple[Job, Path, float]] = {}
    more, count = True, 0
    try:
        while more or running:
            while more and len(running) < at_a_time:
                job = next(waiting, None)
                if job is None:
                    more = False
                    break
                count += 1
                folder = scratch / str(count)
                folder.mkdir(parents=True)
                sys.stdout.flush()
                pid = os.fork()
                if pid == 0:
                    _child(job, folder)
                running[pid] = job, folder, time.monotonic()
            for pid, (job, folder, since) in list(running.items()):
                gone, status = os.waitpid(pid, os.WNOHANG)
                ended = gone == pid
                seconds = time.monotonic() - since
                if not ended and seconds < 10.0 * job.limit:
                    continue
                _end(pid, ended)
                del running[pid]
                file = folder / "answer"
                answer = json.loads(file.read_text(encoding="utf-8")) if file.exists() else None
                output = (folder / "output").read_text(encoding="utf-8", errors="replace")
                shutil.rmtree(folder, ignore_errors=True)
                spent = ended and os.WIFSIGNALED(status) and os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL)
                yield Done(job, answer, seconds, spent or not ended, output[-3000:])
            time.sleep(0.05)
    finally:
        for pid in running:
            _end(pid, False)


def _end(pid: int, ended: bool) -> None:
    """End a child and all that it started."""
    for target in (os.killpg, *(() if ended else (os.kill,))):
        try:
            target(pid, signal.SIGKILL)
        except ProcessLookupError:
            continue
    if not ended:
        os.waitpid(pid, 0)


class Chosen:
    """A pytest plugin: runs the ``wanted`` tests only, in their order, and keeps what came of each; None runs all."""

    def __init__(self, wanted: list[str] | None) -> None:
        self.rank = {name: k for k, name in enumerate(wanted)} if wanted is not None else None
        self.failed: list[str] = []
        self.skipped: list[str] = []

    def pytest_collection_modifyitems(self, items: list[Any]) -> None:
        if self.rank is None:
            return
        items[:] = sorted((one for one in items if one.nodeid in self.rank), key=lambda one: self.rank[one.nodeid])

    def pytest_collectreport(self, report: Any) -> None:
        if report.failed:
            self.failed.append(f"collection of {report.nodeid}")

    def pytest_runtest_logreport(self, report: Any) -> None:
        if report.failed:
            self.failed.append(report.nodeid)
        if report.skipped:
            self.skipped.append(report.nodeid)


def pytest_in(folder: Path, files: list[str], *plugins: object) -> int:
    """Run pytest in this process, with nothing left behind and nothing left to chance."""
    import hypothesis
    import pytest

    same = {
        "database": None,
        "derandomize": True,
        "deadline": None,
        "phases": [hypothesis.Phase.explicit, hypothesis.Phase.generate],
    }
    hypothesis.settings.register_profile("mutation", **same)
    hypothesis.settings.load_profile("mutation")
    options = [
        "-q",
        "--assert=plain",
        "--tb=line",
        "-p",
        "no:cacheprovider",
        f"--rootdir={ROOT}",
        f"--basetemp={folder / 'tmp'}",
    ]
    return int(pytest.main([*options, *files], plugins=list(plugins)))
