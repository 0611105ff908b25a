"""Pins a benchmark to one core and one thread. Import it before numpy, whose threads start with the import."""

from __future__ import annotations

import os
import platform
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from typing import TypeVar

Made = TypeVar("Made")

for _library in ("OMP", "OPENBLAS", "MKL", "NUMEXPR", "VECLIB_MAXIMUM"):
    os.environ[f"{_library}_NUM_THREADS"] = "1"
if hasattr(os, "sched_setaffinity"):
    _cores = sorted(os.sched_getaffinity(0))
    os.sched_setaffinity(0, {_cores[-1]})  # the last core: the first one takes most interrupts


def cpu_seconds(work: Callable[[], Made]) -> tuple[float, Made]:
    """Processor time of this thread, and what came of it. Time given to other programs does not count."""
    start = time.thread_time()
    made = work()
    return time.thread_time() - start, made


def median_seconds(work: Callable[[], object], repeats: int) -> float:
    """Median processor time of ``repeats`` runs after one that is not counted."""
    work()
    return statistics.median(cpu_seconds(work)[0] for _ in range(repeats))


def cold_seconds(command: tuple[str, ...]) -> float:
    """Median wall-clock time of five runs of a ``turnstill`` command, each in a process of its own."""
    code = f"import sys; sys.argv = ['turnstill', {', '.join(map(repr, command))}]\n"
    code += "from turnstill.scenes.cli import main; main()"
    seconds = []
    for _ in range(5):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)
        seconds.append(time.perf_counter() - start)
    return statistics.median(seconds)


def machine() -> str:
    """What ran this, without naming it."""
    import numpy
    import scipy

    return (
        f"{os.cpu_count()} cores of which one is used, {platform.system()} {platform.machine()}, "
        f"Python {sys.version.split()[0]}, numpy {numpy.__version__}, scipy {scipy.__version__}"
    )


def table(head: tuple[str, ...], rows: list[tuple[str, ...]]) -> str:
    """A Markdown table, as docs/benchmarks.md shows it."""
    lines = [head, tuple("---" if i == 0 else "---:" for i in range(len(head))), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)
