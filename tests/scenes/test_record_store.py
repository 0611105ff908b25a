"""A record on disk: kill -9, two writers, and files that are no record."""

from __future__ import annotations

import os
import signal
import sqlite3
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from turnstill.model.errors import TurnstillError
from turnstill.scenes.record.entry import Entry
from turnstill.scenes.record.store import add, add_missing, entries_of
from turnstill.scenes.setups import student_refusals

WRITER = """
import sys, time
from turnstill.scenes.record.entry import Entry
from turnstill.scenes.record.store import add
target, name, count, pause = sys.argv[1], sys.argv[2], int(sys.argv[3]), float(sys.argv[4])
print("ready", flush=True)
sys.stdin.readline()
for k in range(count):
    (number,) = add(target, [Entry("2025-03-01", "extension", felt=float(k % 80), note=f"{name} {k}")])
    print(number, k, flush=True)
    time.sleep(pause)
"""
"""Acknowledges a write only when `add` has returned."""


def writer(target: Path, name: str, count: int, pause: float = 0.0) -> subprocess.Popen[str]:
    child = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(target), name, str(count), str(pause)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert child.stdout is not None and child.stdout.readline() == "ready\n"
    return child


def start(child: subprocess.Popen[str]) -> None:
    assert child.stdin is not None
    child.stdin.write("\n")
    child.stdin.flush()


def kill(child: subprocess.Popen[str]) -> list[tuple[int, int]]:
    """Kill -9 and return what was acknowledged by then."""
    os.kill(child.pid, signal.SIGKILL)
    out, _ = child.communicate(timeout=60)
    assert child.returncode == -signal.SIGKILL
    lines = [line.split() for line in out.splitlines(keepends=True) if line.endswith("\n")]
    return [(int(number), int(k)) for number, k in lines]


def test_kill_nine_in_a_loop_of_200_writes_loses_nothing_acknowledged(tmp_path: Path) -> None:
    target, kept, killed, round_ = tmp_path / "a.turnstill", {}, 0, 0
    while len(kept) < 200:
        child = writer(target, f"round {round_}", 200)
        start(child)
        # Later and later, by fractions of a write, so that every part of one is hit.
        time.sleep(0.002 + 0.0137 * round_)
        for number, k in kill(child):
            assert number not in kept
            kept[number] = f"round {round_} {k}"
        killed, round_ = killed + 1, round_ + 1
        there = {number: entry.note for number, entry in entries_of(str(target))} if target.exists() else {}
        assert kept.items() <= there.items()
        # At most the one write in flight in each round may be there without having been acknowledged.
        assert len(there) - len(kept) <= killed
        assert round_ < 60
    assert killed >= 5
    assert entries_of(str(target)) and add(str(target), [Entry("2025-03-02", head_up_cm=1.0)])
    with sqlite3.connect(target) as base:
        assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert not Path(f"{target}-journal").exists()


def test_killed_between_the_statements_of_a_write_nothing_of_it_is_there(tmp_path: Path) -> None:
    target = tmp_path / "a.turnstill"
    add(str(target), [Entry("2025-03-01", head_up_cm=1.0)])
    # Killed where the pages of a long write are already in the file and the journal is hot: a small cache spills.
    code = """
import os, signal, sys
from turnstill.scenes.record import store
from turnstill.scenes.record.entry import Entry
insert = store._insert
def die(base, *rest):
    base.execute("PRAGMA cache_size = 1")
    insert(base, *rest)
    print(os.path.getsize(sys.argv[1]), flush=True)
    os.kill(os.getpid(), signal.SIGKILL)
store._insert = die
store.add(sys.argv[1], [Entry("2025-03-02", head_up_cm=2.0, note="x" * 1900)] * 400)
"""
    before = target.read_bytes()
    done = subprocess.run([sys.executable, "-c", code, str(target)], capture_output=True, text=True, timeout=60)
    assert done.returncode == -signal.SIGKILL, done.stderr
    assert int(done.stdout) > len(before) and Path(f"{target}-journal").exists()
    assert [entry.head_up_cm for _, entry in entries_of(str(target))] == [1.0]
    assert target.read_bytes() == before


def test_killed_while_it_is_begun_the_record_can_still_be_begun(tmp_path: Path) -> None:
    target = tmp_path / "a.turnstill"
    code = """
import os, signal, sys
from turnstill.scenes.record import store
store._insert = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
store.add(sys.argv[1], [store.Entry("2025-03-02", head_up_cm=2.0)])
"""
    subprocess.run([sys.executable, "-c", code, str(target)], capture_output=True, timeout=60)
    assert target.exists() and entries_of(str(target)) == []
    assert add(str(target), [Entry("2025-03-02", head_up_cm=2.0)]) == [1]


def test_two_processes_writing_at_once_lose_nothing(tmp_path: Path) -> None:
    target, count = tmp_path / "a.turnstill", 60
    # Without a pause the first could be done before a waiting second had its first turn.
    children = [writer(target, name, count, pause=0.01) for name in ("one", "two")]
    for child in children:  # Both begin the record at the same time as well.
        start(child)
    numbers = []
    for child in children:
        out, wrong = child.communicate(timeout=120)
        assert child.returncode == 0, wrong
        numbers.append([int(line.split()[0]) for line in out.splitlines()])
    assert [len(own) for own in numbers] == [count, count]
    # They did take turns, or this has shown nothing.
    assert numbers[0][0] < numbers[1][-1] and numbers[1][0] < numbers[0][-1]
    there = entries_of(str(target))
    assert [number for number, _ in there] == sorted(numbers[0] + numbers[1]) == list(range(1, 2 * count + 1))
    assert {entry.note for _, entry in there} == {f"{name} {k}" for name in ("one", "two") for k in range(count)}


def test_a_busy_record_is_one_sentence(tmp_path: Path, monkeypatch) -> None:
    target = tmp_path / "a.turnstill"
    add(str(target), [Entry("2025-03-01", head_up_cm=1.0)])
    monkeypatch.setattr(student_refusals, "BUSY_SECONDS", 0.05)
    other = sqlite3.connect(target, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(TurnstillError, match=r"busy for 0\.05 seconds, so nothing was written"):
        add(str(target), [Entry("2025-03-02", head_up_cm=1.0)])
    assert len(entries_of(str(target))) == 1
    other.close()
    add(str(target), [Entry("2025-03-02", head_up_cm=1.0)])


def foreign(path: Path) -> None:
    with sqlite3.connect(path) as base:
        base.execute("CREATE TABLE entry (id INTEGER PRIMARY KEY, date TEXT)")
    base.close()


def record(path: Path, count: int = 200) -> bytes:
    add(str(path), [Entry("2025-03-01", "tilt", felt=-3.0, got=-1.0, note=f"entry {k}") for k in range(count)])
    return path.read_bytes()


def with_bytes(at: int, new: bytes):
    def spoil(path: Path) -> None:
        data = bytearray(record(path))
        data[at : at + len(new)] = new
        path.write_bytes(data)

    return spoil


def cut(size: int):
    return lambda path: path.write_bytes(record(path)[:size])


def other_table(path: Path) -> None:
    record(path)
    with sqlite3.connect(path) as base:
        base.execute("ALTER TABLE entry RENAME COLUMN got TO seen")
    base.close()


def nonsense(path: Path) -> None:
    record(path)
    with sqlite3.connect(path) as base:
        base.execute("UPDATE entry SET felt = 'much' WHERE id = 7")
    base.close()


SPOILT = {
    "foreign": (foreign, "belongs to another program"),
    "text": (lambda path: path.write_text("date,piece\n"), "not a record"),
    "one byte": (lambda path: path.write_bytes(b"S"), "not a record"),
    "cut in the header": (cut(60), "damaged"),
    "cut in the first page": (cut(3000), "damaged"),
    "cut in the second page": (cut(6000), "damaged"),
    "cut by one page": (lambda path: path.write_bytes(record(path)[:-4096]), "damaged"),
    "a page of zeros": (with_bytes(4096, bytes(4096)), "damaged"),
    "a page of noise": (with_bytes(4100, bytes(range(256)) * 8), "damaged"),
    "page size of nonsense": (with_bytes(16, b"\x00\x07"), "damaged|not a record"),
    "a later version": (with_bytes(60, (7).to_bytes(4, "big")), "version 7, known are 1 and 2"),
    "another table": (other_table, "not a record"),
    "a word for a number": (nonsense, "damaged .*entry 7"),
}


@pytest.mark.parametrize("name", SPOILT)
def test_a_damaged_or_foreign_file_is_one_sentence_and_stays_as_it_is(tmp_path: Path, name: str) -> None:
    spoil, sentence = SPOILT[name]
    path = tmp_path / "a.turnstill"
    spoil(path)
    before, when = path.read_bytes(), path.stat().st_mtime_ns
    # Reading comes to every entry; writing need not read the others, so words in one of them do not stop it.
    doers = [lambda: entries_of(str(path)), lambda: add_missing(str(path), [Entry("2025-03-01", head_up_cm=1.0)])]
    if name != "a word for a number":
        doers.append(lambda: add(str(path), [Entry("2025-03-01", head_up_cm=1.0)]))
    for do in doers:
        with pytest.raises(TurnstillError, match=sentence) as told:
            do()
        assert "\n" not in str(told.value) and str(told.value).endswith(".") and "left as it is" in str(told.value)
        assert path.read_bytes() == before and path.stat().st_mtime_ns == when
        assert [p.name for p in tmp_path.iterdir()] == ["a.turnstill"]


def test_places_that_cannot_be_a_record(tmp_path: Path) -> None:
    entry = [Entry("2025-03-01", head_up_cm=1.0)]
    for target, sentence in (
        (str(tmp_path), "is a folder"),
        (str(tmp_path / "no" / "a"), "no folder to make"),
        ("", "is a folder"),
        ("a\x00b", "cannot be opened"),
        ("x" * 5000, "cannot be opened"),
        (os.devnull, "not an ordinary file"),
    ):
        with pytest.raises(TurnstillError, match=sentence):
            add(target, entry)
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(TurnstillError, match="not an ordinary file"):
        add(str(tmp_path / "pipe"), entry)
    with pytest.raises(TurnstillError, match="There is no record"):
        entries_of(str(tmp_path / "none"))
    assert not (tmp_path / "none").exists()


def test_a_read_only_record_can_be_read_and_not_written(tmp_path: Path) -> None:
    target = tmp_path / "a.turnstill"
    add(str(target), [Entry("2025-03-01", head_up_cm=1.0)])
    target.chmod(stat.S_IRUSR)
    if os.access(target, os.W_OK):
        pytest.skip("this user may write everything")
    assert len(entries_of(str(target))) == 1
    with pytest.raises(TurnstillError, match="cannot be written there"):
        add(str(target), [Entry("2025-03-02", head_up_cm=1.0)])


def test_names_that_mean_something_in_an_address_are_names(tmp_path: Path) -> None:
    for name in ("a?mode=memory", "b#c", "50%41", "überzogen 1", "-dash"):
        target = tmp_path / name
        assert add(str(target), [Entry("2025-03-01", head_up_cm=1.0)]) == [1]
        assert target.is_file() and len(entries_of(str(target))) == 1
    link = tmp_path / "link"
    link.symlink_to(tmp_path / "b#c")
    add(str(link), [Entry("2025-03-02", head_up_cm=1.0)])
    assert link.is_symlink() and len(entries_of(str(tmp_path / "b#c"))) == 2


def test_a_bad_entry_among_good_ones_writes_none_and_begins_no_record(tmp_path: Path) -> None:
    target = tmp_path / "a.turnstill"
    with pytest.raises(TurnstillError, match="felt was inf"):
        add(str(target), [Entry("2025-03-01", head_up_cm=1.0), Entry("2025-03-01", "tilt", felt=float("inf"))])
    assert not target.exists()


def test_entries_come_back_as_they_were_and_are_not_doubled(tmp_path: Path) -> None:
    target = str(tmp_path / "a.turnstill")
    given = [
        Entry("2025-03-01", "sway", 0.1 + 0.2, -1e-9, 0.1, -6.3, 1 / 3, 0.0, 20.0, -90.0, "ü\n\t'=1\r\n«»  "),
        Entry("2024-02-29", inclination_change_deg=5e-324),
        Entry("2024-02-29", inclination_change_deg=5e-324),
    ]
    assert add(target, given) == [1, 2, 3]
    assert [entry for _, entry in entries_of(target)] == given
    assert add_missing(target, given) == ([], 3)
    assert add_missing(target, [given[1]] * 4) == ([4, 5], 2)
