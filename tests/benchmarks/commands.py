"""Whole commands as a person waits for them: a fresh process each time, by the clock, on all cores.

Run as ``python tests/benchmarks/commands.py`` with the environment's own Python. Fresh means a new process whose
files the system has read before; the very first run after an installation also compiles Python's files and takes
longer.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

REPEATS = 5
COMMANDS = {  # and the seconds they may take
    "--help": 0.5,
    "simulate centred": 1.5,
    "compare centred too-much-tilt": 5.0,
}


def main() -> None:
    """Print the table."""
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}\n")
    print("| command | s, median | s, fastest | processor s | at most, s |\n| --- | ---: | ---: | ---: | ---: |")
    for words, most in COMMANDS.items():
        runs = [once(words.split()) for _ in range(REPEATS)]
        clock, processor = (statistics.median(run[i] for run in runs) for i in (0, 1))
        fastest = min(run[0] for run in runs)
        print(f"| `turnstill {words}` | {clock:.2f} | {fastest:.2f} | {processor:.2f} | {most:g} |", flush=True)


def once(words: list[str]) -> tuple[float, float]:
    """Seconds by the clock and of processor time of one fresh run."""
    command = [str(Path(sys.executable).with_name("turnstill")), *words]
    with tempfile.TemporaryDirectory() as folder:
        before, start = os.times(), time.perf_counter()
        subprocess.run(command, cwd=folder, check=True, stdout=subprocess.DEVNULL)
        clock, after = time.perf_counter() - start, os.times()
    used = after.children_user - before.children_user + after.children_system - before.children_system
    return clock, used


if __name__ == "__main__":
    main()
