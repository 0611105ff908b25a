"""What is told of what is stored: truly, whatever becomes of the screen; waiting in sight; and two windows at once."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner

from turnstill.model.errors import TurnstillError
from turnstill.scenes.cli import app
from turnstill.scenes.delivery import written
from turnstill.scenes.record import acknowledge
from turnstill.scenes.record.entry import LEAST_FELT, Entry
from turnstill.scenes.record.films import work_out
from turnstill.scenes.record.store import add, add_once, entries_of
from turnstill.scenes.setups import student_file, student_refusals
from turnstill.scenes.setups.student import kept_of

RUNNER = CliRunner()
FILM = Entry("2025-03-01", head_up_cm=1.5)
SWING = ("--date", "2025-03-08", "--piece", "tilt", "--felt", "5", "--got", "2.5", "--head-up-cm", "1.5")
NO_ROOM = pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")


def run(*arguments: str, code: int = 0) -> str:
    done = RUNNER.invoke(app, ["record", *arguments])
    assert done.exit_code == code, (done.output, done.exception)
    return done.stdout if code == 0 else done.stderr


def command(*arguments: str) -> list[str]:
    return [str(Path(sys.executable).with_name("turnstill")), "record", *arguments]


@NO_ROOM
def test_an_entry_is_stored_and_said_to_be_though_the_screen_is_full(tmp_path: Path) -> None:
    target = str(tmp_path / "a")
    told = []
    for asked in (("add", target, *SWING), ("add", target, *SWING), ("body", target, "--mass", "70")):
        with Path("/dev/full").open("w") as full:
            done = subprocess.run(command(*asked), stdout=full, stderr=subprocess.PIPE, text=True, timeout=60)
        assert done.returncode == 0 and done.stderr.count("\n") == 1, done.stderr
        told.append(" ".join(done.stderr.split()))
    refusal = "; only standard output could not be written: no space left on device."
    assert told == [
        f"turnstill: Entry 1 is in {target}{refusal}",
        f"turnstill: Entry 1 of {target} has just that; nothing was added{refusal}",
        f"turnstill: {target} keeps the body as it is by now{refusal}",
    ]
    assert len(entries_of(target)) == 1 and kept_of(target) == {"mass_kg": 70.0}


def test_a_screen_that_nobody_reads_is_told_on_standard_error(monkeypatch, capfd) -> None:
    reader, pipe = os.pipe()
    os.close(reader)
    kept = os.dup(1)
    os.dup2(pipe, 1)
    os.close(pipe)
    with os.fdopen(1, "w", closefd=False) as gone, monkeypatch.context() as patch:
        patch.setattr(sys, "stdout", gone)
        acknowledge.acknowledge("Entry 3 is in a")
    os.dup2(kept, 1)
    os.close(kept)
    assert capfd.readouterr().err.splitlines() == [
        "turnstill: Entry 3 is in a; only standard output could not be written: broken pipe.",
    ]


def test_a_closed_screen_is_called_that(tmp_path: Path) -> None:
    target = str(tmp_path / "a")
    closed = ["bash", "-c", '"$@" >&-', "-", *command("add", target, *SWING)]
    done = subprocess.run(closed, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0 and len(entries_of(target)) == 1
    assert " ".join(done.stderr.split()) == (
        f"turnstill: Entry 1 is in {target}; only standard output could not be written: it is closed."
    )


def test_the_same_entry_again_is_recognised_and_can_be_insisted_on(tmp_path: Path) -> None:
    target = str(tmp_path / "a")
    assert run("add", target, *SWING).startswith("Entry 1 is in")
    assert run("add", target, "--date", "2025-03-09", "--head-up-cm", "1.5").startswith("Entry 2 is in")
    told = run("add", target, *SWING)
    assert told.startswith(f"Entry 1 of {target} has just that; nothing was added.") and "--again" in told
    assert [number for number, _ in entries_of(target)] == [1, 2]
    # Two equal swings of one day, and one that is told apart by a word.
    assert run("add", target, *SWING, "--again").startswith("Entry 3 is in")
    assert run("add", target, *SWING, "--note", "second").startswith("Entry 4 is in")
    assert run("add", target, *SWING).startswith(f"Entry 3 of {target} has just that")
    assert len(entries_of(target)) == 4
    assert "--again is for one entry" in run("add", target, "--csv", "in.csv", "--again", code=2)


@pytest.mark.parametrize("other", [
    Entry("2025-03-02", head_up_cm=1.5), Entry("2025-03-01", head_up_cm=1.4),
    Entry("2025-03-01", head_toward_ball_cm=1.5), Entry("2025-03-01", head_up_cm=1.5, head_sd_cm=1.0),
    Entry("2025-03-01", head_up_cm=1.5, note="x"), Entry("2025-03-01", "tilt", head_up_cm=1.5),
])  # fmt: skip
def test_an_entry_that_differs_in_anything_is_another(tmp_path: Path, other: Entry) -> None:
    target = str(tmp_path / "a")
    assert add_once(target, FILM) == (1, False)
    assert add_once(target, other) == (2, False)
    assert add_once(target, FILM) == (1, True)
    assert add_once(target, other) == (2, True)


def test_an_entry_under_a_former_name_is_the_same(tmp_path: Path) -> None:
    target = tmp_path / "a"
    entry = Entry("2025-03-01", "hips_toward_ball", felt=2.0)
    add(str(target), [entry])
    with sqlite3.connect(target) as base:
        base.execute("UPDATE entry SET piece = 'thrust'")
    base.close()
    assert add_once(str(target), entry) == (1, True)


def test_a_command_that_waits_says_for_what_and_gives_up(tmp_path: Path, monkeypatch, capsys) -> None:
    target = str(tmp_path / "a")
    add(target, [FILM])
    monkeypatch.setattr(student_refusals, "BUSY_SECONDS", 0.5)
    monkeypatch.setattr(student_file, "PATIENT_SECONDS", 0.1)
    other = sqlite3.connect(target, isolation_level=None)
    for lock, asked in (("BEGIN IMMEDIATE", lambda: add(target, [FILM])), ("BEGIN EXCLUSIVE", lambda: kept_of(target))):
        other.execute(lock)
        with pytest.raises(TurnstillError, match=r"busy for 0\.5 seconds, so nothing was written"):
            asked()
        other.execute("ROLLBACK")
        told = capsys.readouterr().err
        assert told.startswith("turnstill: Another program is writing to the record") and told.count("\n") == 1
        assert "waiting for it, 0.5 seconds at most (Ctrl-C stops)." in told
    other.close()
    assert student_refusals.BUSY_SECONDS < 10


def test_a_command_that_waits_goes_on_as_soon_as_it_may(tmp_path: Path) -> None:
    target = str(tmp_path / "a")
    add(target, [FILM])
    other = sqlite3.connect(target, isolation_level=None, check_same_thread=False)
    other.execute("BEGIN EXCLUSIVE")
    threading.Timer(0.6, other.rollback).start()
    assert add(target, [FILM]) == [2]
    other.close()


def test_somebody_waits_in_sight_from_the_first_two_seconds_and_ctrl_c_ends_it(tmp_path: Path) -> None:
    target = tmp_path / "a"
    add(str(target), [FILM])
    other = sqlite3.connect(target, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    # Where a shell has it ignored, as in the background, the child would inherit that.
    ready = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "
    code = f"{ready}import sys; sys.argv[:] = ['turnstill', *sys.argv[1:]]; from turnstill.scenes.cli import main; "
    code += "import turnstill.scenes.record.work; print('ready', flush=True); main()"
    child = subprocess.Popen(
        [sys.executable, "-c", code, "record", "add", str(target), *SWING],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert child.stdout is not None and child.stderr is not None and child.stdout.readline() == "ready\n"
    began = time.monotonic()
    assert "waiting for it" in child.stderr.readline()
    assert student_file.PATIENT_SECONDS <= 1.0 and time.monotonic() - began < 6  # With room for a busy machine.
    child.send_signal(signal.SIGINT)
    pressed = time.monotonic()
    _, told = child.communicate(timeout=30)
    assert time.monotonic() - pressed < 4 and child.returncode == 130 and told.startswith("turnstill: Interrupted")
    other.rollback()
    other.close()
    assert len(entries_of(str(target))) == 1 and [one.name for one in tmp_path.iterdir()] == ["a"]


def test_two_windows_at_once_lose_nothing(tmp_path: Path) -> None:
    target = str(tmp_path / "a")
    children = [
        subprocess.Popen(command("add", target, "--date", "2025-03-01", "--head-up-cm", str(k)),
                         stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        for k in range(1, 4)
    ]  # fmt: skip
    numbers = {}
    for k, child in enumerate(children, start=1):
        out, wrong = child.communicate(timeout=120)
        assert child.returncode == 0 and not wrong, wrong
        numbers[int(out.split()[1])] = float(k)
    assert {number: entry.head_up_cm for number, entry in entries_of(target)} == numbers
    assert sorted(numbers) == [1, 2, 3]


@pytest.mark.parametrize("piece", ["sway", "tilt"])
@pytest.mark.parametrize("felt", ["5e-324", "-5e-324", "1e-310", "1e-9"])
def test_a_feel_of_as_good_as_nothing_is_none(tmp_path: Path, slopes, monkeypatch, piece: str, felt: str) -> None:
    monkeypatch.setattr("turnstill.scenes.record.work.head_slopes", lambda setup: slopes)
    target, page = str(tmp_path / "a"), str(tmp_path / "page")
    run("add", target, "--date", "2025-03-01", "--head-toward-target-cm", "-6")
    run("add", target, "--date", "2025-03-02", "--piece", piece, "--felt", felt, "--got", "2", "--head-up-cm", "-5")
    told = run("show", target, "--inches", "--out", page)
    assert "No film tells yet what this golfer gets" in told and "nan" not in told
    run("next", target)


def test_a_feel_counts_from_a_hundredth_on(slopes) -> None:
    entries = [Entry("2025-03-01", "tilt", felt=LEAST_FELT * share, got=1.0) for share in (0.99, 1.0, -1.0, -0.99)]
    assert LEAST_FELT == 0.01
    assert work_out(list(enumerate(entries)), slopes).source == ["", "read", "read", ""]


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_an_interruption_that_comes_as_an_entry_is_stored_is_told_so(
    number: signal.Signals, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The signal arrives between the disk and the word about it, where an entry was called lost that was there.
    known = written.keep

    def late(what: str) -> None:
        os.kill(os.getpid(), number)
        known(what)

    monkeypatch.setattr(student_file.written, "keep", late)
    before = signal.signal(number, lambda *_: (_ for _ in ()).throw(KeyboardInterrupt))
    written.begin()
    target = str(tmp_path / "s.turnstill")
    try:
        with pytest.raises(KeyboardInterrupt):
            add(target, [FILM])
    finally:
        signal.signal(number, before)
    assert written.told() == f"written before that, and whole: {written._short(f'entry 1 in {target}')}"
    assert entries_of(target) == [(1, FILM)]


def test_a_number_that_somebody_else_set_is_no_full_disk(tmp_path: Path) -> None:
    target = str(tmp_path / "s.turnstill")
    add(target, [FILM])
    with sqlite3.connect(target) as base:
        base.execute("UPDATE sqlite_sequence SET seq = 1e300")
    base.close()
    with pytest.raises(TurnstillError, match="no number left for another entry"):
        add(target, [FILM])
    assert len(entries_of(target)) == 1


@pytest.mark.parametrize("wrong", ["head_up_cm = 9e999", "note = x'00ff'", "note = 'a' || char(0)", "felt = 'much'"])
def test_nothing_is_acknowledged_into_a_record_that_cannot_be_read(wrong: str, tmp_path: Path) -> None:
    target = str(tmp_path / "s.turnstill")
    add(target, [FILM])
    with sqlite3.connect(target) as base:
        base.execute(f"UPDATE entry SET {wrong}")
    base.close()
    before = Path(target).read_bytes()
    for written_so in (lambda: add(target, [FILM]), lambda: entries_of(target)):
        with pytest.raises(TurnstillError, match="damaged"):
            written_so()
    assert Path(target).read_bytes() == before
