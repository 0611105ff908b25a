"""The body kept in a student's record: used wherever it is asked for, and as safe on disk as the entries."""

from __future__ import annotations

import json
import re
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from turnstill.model.errors import TurnstillError
from turnstill.scenes.cli import app
from turnstill.scenes.record.entry import Entry
from turnstill.scenes.record.store import add, entries_of, keep_body
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.setups.student import as_settings, kept_of

RUNNER = CliRunner()
KEPT = {
    "stature_cm": 157.48, "mass_kg": 61.23496995, "sex": "female", "handedness": "left", "thigh_cm": 41.3,
    "trail_hip_internal_rotation_deg": 25.0, "lead_flare_deg": 11.0,
}  # fmt: skip
"""Distinct, and none of them the centred preset's."""
GIVEN = ("--stature", "5ft2", "--mass", "135lb", "--sex", "female", "--left-handed", "--set", "thigh=413mm", "--set",
         "trail_hip_internal_rotation=25", "--set", "lead_flare=11")  # fmt: skip
AN_ENTRY = Entry("2025-03-01", "extension", felt=15.0, got=6.0, head_toward_target_cm=-3.0)
VERSION_1 = ["id", "date", "piece", "felt", "got", "got_sd", "head_toward_target_cm", "head_toward_ball_cm",
             "head_up_cm",
             "head_sd_cm", "inclination_change_deg", "note"]  # fmt: skip
"""Columns of the table that version 1 compares before it reads or writes."""


def run(*arguments: str, code: int = 0) -> str:
    done = RUNNER.invoke(app, list(arguments))
    assert done.exit_code == code, done.output
    return done.stdout if code == 0 else done.stderr


@pytest.fixture
def student(tmp_path: Path) -> str:
    target = str(tmp_path / "anna.turnstill")
    run("record", "body", target, *GIVEN)
    return target


def test_what_is_given_is_what_is_kept_and_shown(student: str) -> None:
    assert kept_of(student) == KEPT
    shown = run("record", "body", student)
    for line in ("stature: 157.5 cm", "mass: 61.2 kg", "sex: female", "handedness: left", "thigh: 41.3 cm",
                 "trail hip internal rotation: 25°", "lead flare: 11°"):  # fmt: skip
        assert f"  {line}\n" in shown
    assert "  stature: 62.00 in\n" in run("record", "body", student, "--inches")


def test_one_thing_is_changed_or_forgotten_and_the_others_stay(student: str) -> None:
    run("record", "body", student, "--mass", "9st", "--forget", "thigh")
    left = {**KEPT, "mass_kg": 57.15263862}
    del left["thigh_cm"]
    assert kept_of(student) == left
    assert "--forget was thigh, but" in run("record", "body", student, "--forget", "thigh", code=2)
    assert "keeps no body" in run("record", "body", student, "--forget", "all")
    assert kept_of(student) == {}


def test_commands_take_the_students_body_and_options_win(student: str) -> None:
    def body(*options: str) -> tuple[dict, dict]:
        report = json.loads(run("simulate", "centred", "--frames", "2", "--student", student, *options, "--json", "-"))
        return report["body"], report["address"]

    found, address = body()
    assert (found["stature_cm"], found["mass_kg"]) == (157.48, 61.23497)
    assert (found["sex"], found["handedness"]) == ("female", "left")
    assert found["lengths_cm"]["thigh"] == 41.3 and found["ranges_deg"]["trail_hip_internal_rotation"] == 25.0
    assert found["measured"] == ["thigh", "trail_hip_internal_rotation"]
    assert address["lead_flare_deg"] == 11.0 and address["trail_flare_deg"] == 20.0
    found, address = body("--stature", "163", "--set", "lead_flare=13", "--set", "handedness=right")
    assert (found["stature_cm"], found["mass_kg"], found["handedness"]) == (163.0, 61.23497, "right")
    assert address["lead_flare_deg"] == 13.0


def test_a_usual_address_gives_way_to_what_a_swing_is_about(student: str) -> None:
    own = as_settings(kept_of(student))
    straight, centred = load("straight-toes"), load("centred")
    assert straight.section("address")["lead_flare_deg"] not in (
        11.0,
        centred.section("address")["lead_flare_deg"],
    )
    shown = apply(straight, own)
    assert shown.section("address") == straight.section("address")
    assert shown.section("body")["stature_cm"] == 157.48
    assert apply(load("sway"), own).section("address")["lead_flare_deg"] == 11.0
    # What is set on the command line acts on every swing.
    assert apply(straight, [*own, "lead_flare=7"]).section("address")["lead_flare_deg"] == 7.0


@pytest.mark.parametrize(
    "command",
    ["simulate", "compare", "shares", "diagnose", "experiment", "export", "film", "strip", "map", "sheet"],
)  # fmt: skip
def test_every_command_about_a_swing_takes_a_student(command: str, tmp_path: Path) -> None:
    assert "--student FILE" in run(command, "--help")
    target = str(tmp_path / "b.turnstill")
    needed = {"experiment": ["lead_flare", "--from", "0", "--to", "9"], "diagnose": []}.get(command, ["centred"])
    assert "There is no record" in run(command, *needed, "--student", target, code=2)
    add(target, [AN_ENTRY])
    assert "keeps no body yet" in run(command, *needed, "--student", target, code=2)


def test_record_show_and_next_use_what_is_kept(student: str) -> None:
    add(student, [AN_ENTRY])
    assert "Golfer: 157 cm, 61 kg, female, left-handed\n" in run("record", "show", student)
    assert "Golfer: 183 cm, 61 kg, female, left-handed\n" in run("record", "show", student, "--stature", "6ft")
    plain = student + "2"
    add(plain, [AN_ENTRY])
    assert "Golfer: 175 cm, 80 kg, male, right-handed (this record keeps no body yet" in run("record", "show", plain)
    own, same, other = (
        json.loads(run("record", "next", file, *options, "--json", "-"))["missing"]["mean"]
        for file, options in ((student, ()), (plain, GIVEN), (plain, ()))
    )
    assert own == same != other


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("--set", "hip_turn=40"), "hip_turn is a piece of a swing"),
        (("--set", "stature=12st"), '--set stature was "12st"'),
        (("--stature", "nan"), "--stature was nan, but must be a number between"),
        (("--sex", "f"), '--sex was "f"'),
        (("--forget", "thigh"), "--forget was thigh, but .* keeps nothing"),
        (("--forget", "thihg"), "Did you mean thigh"),
        ((), "There is no record"),
    ],
)
def test_what_no_record_keeps_is_one_sentence_and_begins_none(tmp_path: Path, arguments, sentence: str) -> None:
    target = tmp_path / "a.turnstill"
    told = run("record", "body", str(target), *arguments, code=2)
    assert re.search(sentence, told) and told.count("\n") == 1
    assert not target.exists()


def test_a_record_of_before_gets_a_body_and_stays_one_that_version_1_reads_and_writes(tmp_path: Path) -> None:
    target = tmp_path / "a.turnstill"
    add(str(target), [AN_ENTRY])
    before = entries_of(str(target))
    assert kept_of(str(target)) == {}
    keep_body(str(target), KEPT)
    assert entries_of(str(target)) == before and kept_of(str(target)) == KEPT
    with sqlite3.connect(target) as base:  # As version 1 does it, without knowing of a body.
        assert base.execute("PRAGMA user_version").fetchone() == (1,)
        assert base.execute("PRAGMA application_id").fetchone() == (int.from_bytes(b"TrnS", "big"),)
        assert [row[1] for row in base.execute("PRAGMA table_info(entry)")] == VERSION_1
        base.execute("INSERT INTO entry (date, head_up_cm, note) VALUES ('2025-03-02', 1.5, 'old program')")
    base.close()
    assert [entry.head_up_cm for _, entry in entries_of(str(target))] == [None, 1.5]
    assert kept_of(str(target)) == KEPT


def test_a_record_begun_by_its_body_is_one_that_version_1_reads(student: str) -> None:
    assert entries_of(student) == []
    with sqlite3.connect(student) as base:
        assert base.execute("PRAGMA user_version").fetchone() == (1,)
        assert [row[1] for row in base.execute("PRAGMA table_info(entry)")] == VERSION_1
    base.close()
    assert add(student, [AN_ENTRY]) == [1] and kept_of(student) == KEPT


def other_table(base: sqlite3.Connection) -> None:
    base.execute("ALTER TABLE body RENAME COLUMN value TO amount")


def too_tall(base: sqlite3.Connection) -> None:
    base.execute("UPDATE body SET value = 900 WHERE name = 'stature_cm'")


def a_piece(base: sqlite3.Connection) -> None:
    base.execute("UPDATE body SET name = 'hip_turn_deg' WHERE name = 'lead_flare_deg'")


def unknown(base: sqlite3.Connection) -> None:
    base.execute("UPDATE body SET name = 'tail_cm' WHERE name = 'thigh_cm'")


def bytes_for_a_number(base: sqlite3.Connection) -> None:
    base.execute("UPDATE body SET value = x'00ff' WHERE name = 'mass_kg'")


@pytest.mark.parametrize("spoil", [other_table, too_tall, a_piece, unknown, bytes_for_a_number])
def test_a_damaged_body_is_one_sentence_and_stays_as_it_is(student: str, spoil) -> None:
    add(student, [AN_ENTRY])
    with sqlite3.connect(student) as base:
        spoil(base)
    base.close()
    before = Path(student).read_bytes()
    doers = [lambda: kept_of(student), lambda: keep_body(student, {"mass_kg": 70.0})]
    # Entries are read and written past a wrong value of the body, not past a table that is not as it was made.
    doers += [lambda: entries_of(student), lambda: add(student, [AN_ENTRY])] if spoil is other_table else []
    for do in doers:
        with pytest.raises(TurnstillError, match=r"(damaged|is not a record).*left as it is") as told:
            do()
        assert "\n" not in str(told.value)
        assert Path(student).read_bytes() == before


def test_killed_between_the_statements_of_keeping_a_body_the_one_before_is_there(student: str) -> None:
    # Killed where the pages of a long write are already in the file and the journal is hot: a small cache spills.
    code = """
import contextlib, os, signal, sys
from turnstill.scenes.record import store
class Base:
    def __init__(self, base): self.base = base
    def __getattr__(self, name): return getattr(self.base, name)
    def executemany(self, sql, rows):
        self.base.execute("PRAGMA cache_size = 1")
        self.base.executemany(sql, [(f"x{k}", "y" * 900) for k in range(400)])
        print(os.path.getsize(sys.argv[1]), flush=True)
        os.kill(os.getpid(), signal.SIGKILL)
writing = store.writing
@contextlib.contextmanager
def spilling(target, **how):
    with writing(target, **how) as base:
        yield Base(base)
store.writing = spilling
store.keep_body(sys.argv[1], {"mass_kg": 70.0})
"""
    before = Path(student).read_bytes()
    done = subprocess.run([sys.executable, "-c", code, student], capture_output=True, text=True, timeout=60)
    assert done.returncode == -signal.SIGKILL, done.stderr
    assert int(done.stdout) > len(before) and Path(f"{student}-journal").exists()
    assert kept_of(student) == KEPT
    assert Path(student).read_bytes() == before


def test_the_first_body_killed_in_the_middle_leaves_the_entries_and_no_body(tmp_path: Path) -> None:
    target = tmp_path / "a.turnstill"
    add(str(target), [AN_ENTRY])
    before = target.read_bytes()
    code = """
import os, signal, sys
from turnstill.scenes.record import store
def die(base, target): os.kill(os.getpid(), signal.SIGKILL)
store.kept_in = die
store.keep_body(sys.argv[1], {"mass_kg": 70.0})
"""
    done = subprocess.run([sys.executable, "-c", code, str(target)], capture_output=True, text=True, timeout=60)
    assert done.returncode == -signal.SIGKILL, done.stderr
    assert [entry for _, entry in entries_of(str(target))] == [AN_ENTRY] and kept_of(str(target)) == {}
    assert target.read_bytes() == before
