"""Signals at random moments: nothing half-written, nothing lost, nothing stale after the next run."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from turnstill.scenes.record.store import entries_of

SEED = 12
GUARDED = """
import os
from turnstill.scenes.delivery import guard
make_ready = guard._make_ready
def told():
    os.write(int(os.environ["READY"]), b".")
    make_ready()
guard._make_ready = told
from turnstill.scenes.start import main
main()
"""
"""The console command, which says when the guard has taken the signals."""
COMMANDS = {
    "files": ("simulate", "centred", "--frames", "2", "--json", "a.json", "--csv", "a.csv"),
    "folder": ("shares", "centred", "--frames", "2", "--out", "page"),
    "export": ("export", "centred", "--frames", "2", "--bvh", "a.bvh"),
    "record": ("record", "add", "a.turnstill", "--date", "2024-03-01", "--head-up-cm", "1", "--again"),
}
ORDERLY = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)


def contents(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, the record left out, which is asked itself."""
    files = (path for path in folder.rglob("*") if path.is_file() and not path.name.startswith("a.turnstill"))
    return {str(path.relative_to(folder)): path.read_bytes() for path in files}


def stopped(folder: Path, command: tuple[str, ...], number: int | None, after: float) -> tuple[int, str, str, float]:
    """Status, output, errors and seconds of a command that gets a signal some time after the guard stands."""
    read, write = os.pipe()
    child = subprocess.Popen(
        [sys.executable, "-c", GUARDED, *command], cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        text=True, pass_fds=[write], env={**os.environ, "READY": str(write)},
    )  # fmt: skip
    os.close(write)
    assert os.read(read, 1) == b"."
    os.close(read)
    began = time.monotonic()
    if number is not None:
        time.sleep(after)
        child.send_signal(number)
    out, told = child.communicate(timeout=120)
    return child.returncode, out, told, time.monotonic() - began


def check_kills(folder: Path, name: str, signals: tuple[int, ...], rng: random.Random) -> None:
    """A command is run once, and then again and again with a signal each; after every one, all is as it should be."""
    command = COMMANDS[name]
    (folder / "mine.txt").write_text("a stranger's", "utf-8")
    status, said, _, lasts = stopped(folder, command, None, 0.0)
    assert status == 0
    whole, acknowledged = contents(folder), 1
    for number in signals:
        for file in ("a.json", "a.csv", "a.bvh"):
            (folder / file).unlink(missing_ok=True)
        status, out, told, _ = stopped(folder, command, number, rng.uniform(0.0, 1.1 * lasts))
        assert "Traceback" not in told and status in (0, 128 + number, -number)
        there = contents(folder)
        if number in ORDERLY:
            assert not [file for file in there if ".turnstill-" in file], (name, number)
        kept = {file: data for file, data in there.items() if ".turnstill-" not in file}
        assert kept.items() <= whole.items()  # Whole or not there at all.
        assert kept["mine.txt"] == b"a stranger's"
        if status == 0:
            assert kept == whole
        if name == "record":
            acknowledged += "Entry" in out
            assert len(entries_of(str(folder / "a.turnstill"))) >= acknowledged
    assert stopped(folder, command, None, 0.0)[:2] == (0, said) or name == "record"
    assert contents(folder) == whole  # Nothing stale after the next run.


@pytest.mark.parametrize("name", ["folder", "record"])  # The others with -m heavy.
def test_a_few_kills(tmp_path: Path, name: str) -> None:
    rng = random.Random(f"{SEED} {name}")
    check_kills(tmp_path, name, (rng.choice(ORDERLY), signal.SIGKILL), rng)


@pytest.mark.heavy
@pytest.mark.parametrize("name", COMMANDS)
def test_300_kills(tmp_path: Path, name: str) -> None:
    rng = random.Random(f"{SEED + 1} {name}")
    check_kills(tmp_path, name, tuple(rng.choice((*ORDERLY, signal.SIGKILL)) for _ in range(75)), rng)
