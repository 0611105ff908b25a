"""A student's body kept and set by name, and the file that keeps it: opened whole or refused in a sentence."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from turnstill.model.errors import TurnstillError
from turnstill.scenes.setups import student_file, student_layout, student_refusals
from turnstill.scenes.setups.settings import find
from turnstill.scenes.setups.student import as_settings, kept_in, kept_name, student_settings


def test_a_students_body_is_kept_and_set_by_name_with_the_unit(monkeypatch: pytest.MonkeyPatch) -> None:
    assert [kept_name(find(name)) for name in ("thigh", "stature", "sex", "lead_hip_flexion")] == [
        "thigh_cm", "stature_cm", "sex", "lead_hip_flexion_deg",
    ]  # fmt: skip
    settings = as_settings({"thigh_cm": 41.5, "sex": "female", "mass_kg": 0.1 + 0.2})
    assert settings == ["thigh_cm=41.5", "sex=female", "mass_kg=0.30000000000000004"]
    assert all(type(one).__name__ == "UsualSetting" for one in settings)
    kept = {"a": {"sex": "male"}, "b": {}}
    monkeypatch.setattr("turnstill.scenes.setups.student.kept_of", kept.__getitem__)
    assert student_settings("a") == ["sex=male"]
    with pytest.raises(TurnstillError) as wrong:
        student_settings("b")
    assert str(wrong.value) == (
        'The record "b" keeps no body yet; keep it with turnstill record body FILE --stature 178, or leave out '
        "--student."
    )


def test_what_is_kept_of_a_body_is_read_in_its_order_and_refused_where_it_cannot_be() -> None:
    base = sqlite3.connect(":memory:")
    assert kept_in(base, "a") == {}
    for table in (
        "CREATE TABLE entry (id INTEGER PRIMARY KEY AUTOINCREMENT, date TEXT NOT NULL, piece TEXT, felt REAL, "
        "got REAL, got_sd REAL, head_toward_target_cm REAL, head_toward_ball_cm REAL, head_up_cm REAL, "
        "head_sd_cm REAL, inclination_change_deg REAL, note TEXT NOT NULL)",
        "CREATE TABLE body (name TEXT PRIMARY KEY NOT NULL, value NOT NULL)",
    ):
        base.execute(table)
    rows = [("thigh", 41.5), ("sex", "female"), ("lead_tibial_internal_rotation", 21)]
    base.executemany("INSERT INTO body VALUES (?, ?)", rows)
    kept = kept_in(base, "a")
    assert list(kept.items()) == [("thigh_cm", 41.5), ("sex", "female"), ("lead_shin_internal_rotation_deg", 21.0)]
    for name, value, told in (("hip_turn", 40, "of the body, hip_turn is a piece of a swing"),
                              ("stature", 20, "of the body, stature_cm was 20, but must be a number between 120 "
                                              "and 230"),
                              ("what", 1, 'of the body, "what" cannot be set')):  # fmt: skip
        base.execute("INSERT INTO body VALUES (?, ?)", (name, value))
        with pytest.raises(TurnstillError, match=r"The record .* is damaged") as wrong:
            kept_in(base, "a")
        assert told in str(wrong.value)
        base.execute("DELETE FROM body WHERE name = ?", (name,))
    base.execute("ALTER TABLE body ADD COLUMN more")
    with pytest.raises(TurnstillError, match="is not a record of turnstill"):
        kept_in(base, "a")


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("SQLITE_CORRUPT_VTAB", 'The record "a" is damaged (what happened) and was left as it is; go on with a '
                                'copy of it '
         "from before."),
        ("SQLITE_NOTADB", 'The record "a" is damaged (what happened) and was left as it is; go on with a copy of '
                          'it from '
         "before."),
        ("SQLITE_BUSY", 'Another program kept the record "a" busy for 8 seconds, so nothing was written; close it '
                        'and try '
         "again."),
        ("SQLITE_LOCKED", 'Another program kept the record "a" busy for 8 seconds, so nothing was written; close '
                          'it and '
         "try again."),
        *((name, 'The record "a" cannot be written there; allow writing to the file and its folder, or name another.')
          for name in ("SQLITE_READONLY_DBMOVED", "SQLITE_PERM", "SQLITE_CANTOPEN")),
        ("SQLITE_FULL", 'The disk that holds "a" is full, so nothing was written; make room and try again.'),
        ("SQLITE_IOERR", 'The record "a" cannot be used (what happened); nothing was written, so try a copy of it.'),
        ("", 'The record "a" cannot be used (what happened); nothing was written, so try a copy of it.'),
    ],
)  # fmt: skip
def test_what_goes_wrong_with_a_record_is_told_in_a_sentence(name: str, told: str) -> None:
    wrong = sqlite3.OperationalError("what happened")
    if name:
        wrong.sqlite_errorname = name
    assert str(student_refusals.refused("a", wrong)) == told


def test_a_files_header_says_whether_it_is_a_record() -> None:
    def header(version: int = 1, owner: int = student_layout.APPLICATION_ID, log: int = 1, rows: int = 4) -> bytes:
        text = bytearray(b"SQLite format 3\x00" + bytes(92))
        text[18:20], text[100], text[103:105] = bytes([log, log]), 13, rows.to_bytes(2, "big")
        text[60:64], text[68:72] = version.to_bytes(4, "big"), owner.to_bytes(4, "big")
        return bytes(text)

    student_layout.check_header("a", b"")
    student_layout.check_header("a", header())
    for text, told in (
        (b"SQLite format 4\x00" + bytes(92), '"a" is not a record of turnstill, and was left as it is; name another '
                                             "file."),
        (header()[:107], 'The record "a" is damaged (it ends in its header) and was left as it is; go on with a '
                         "copy of it from before."),
        (header(owner=5), '"a" belongs to another program, and was left as it is; name another file.'),
        (header(version=3), '"a" was written by another version of turnstill (its table is version 3, known are 1 and '
                            "2) and was left as it is; use that version."),
        (header(log=2), '"a" is not a record of turnstill, and was left as it is: another program has set it to keep '
                        "a write-ahead log, which records do not; name another file."),
        (header(rows=6), '"a" is not a record of turnstill, and was left as it is: what it holds is not laid out as '
                         "a record is; name another file."),
    ):  # fmt: skip
        with pytest.raises(TurnstillError) as wrong:
            student_layout.check_header("a", text)
        assert str(wrong.value) == told
    assert student_layout.APPLICATION_ID.to_bytes(4, "big") == b"TrnS"
    assert "x" * 120 in str(student_refusals.damaged("a", "x" * 121)) and "x" * 121 not in str(
        student_refusals.damaged("a", "x" * 121)
    )


def test_a_write_is_whole_or_not_at_all(tmp_path: Path) -> None:
    target = str(tmp_path / "a.turnstill")
    row = "INSERT INTO entry (date, note) VALUES ('2025-03-01', ?)"

    def notes() -> list[str]:
        with student_file.reading(target) as base:
            return [note for (note,) in base.execute("SELECT note FROM entry")]

    with student_file.writing(target, new=True) as base:
        base.execute(row, ("one",))
    assert notes() == ["one"]
    with pytest.raises(KeyboardInterrupt), student_file.writing(target, new=False) as base:
        base.execute(row, ("two",))
        raise KeyboardInterrupt
    assert notes() == ["one"]
    with student_file.writing(target, new=False) as base:
        base.execute(row, ("three",))
    assert notes() == ["one", "three"]
