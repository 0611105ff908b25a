"""Records that somebody made to do harm: each is one sentence, and stays as it is to the byte."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from records_on_disk import FILLING, FILM, GONE, OLD_BODY, OLD_RECORD, made, refused_untouched

from turnstill.model.errors import TurnstillError
from turnstill.scenes.record.entry import Entry
from turnstill.scenes.record.store import add, add_once, contents_of, entries_of, keep_body
from turnstill.scenes.setups import student_layout, student_refusals
from turnstill.scenes.setups.student import kept_of


def hostile(*statements: str, body: bool = False) -> Callable[[Path], None]:
    """A whole record with more in it than a record has."""

    def make(path: Path) -> None:
        made(path, OLD_RECORD + OLD_BODY * body + "".join(f"{one};\n" for one in statements))

    return make


def rewritten(old: str, new: str, *, body: bool = False) -> Callable[[Path], None]:
    """A record whose schema says something else of the same table."""
    change = f"UPDATE sqlite_master SET sql = replace(sql, '{old}', '{new}')"
    return hostile("PRAGMA writable_schema = ON", change, "PRAGMA writable_schema = OFF", body=body)


def one_root(path: Path) -> None:
    """Two tables in the same pages."""
    hostile(
        "PRAGMA writable_schema = ON",
        "UPDATE sqlite_master SET rootpage = (SELECT rootpage FROM sqlite_master WHERE name = 'entry') "
        "WHERE name = 'body'",
        body=True,
    )(path)


def not_a_text(path: Path) -> None:
    hostile()(path)
    data = path.read_bytes()
    assert data.count(b"CREATE TABLE entry") == 1
    path.write_bytes(data.replace(b"CREATE TABLE entry", b"CREATE TABLE ent\xff\xfe"))


def wal_mode(path: Path) -> None:
    hostile("PRAGMA journal_mode = WAL")(path)
    assert path.read_bytes()[18:20] == b"\x02\x02"


ENDLESS = "WITH RECURSIVE n(k) AS (SELECT 1 UNION ALL SELECT k + 1 FROM n) SELECT k FROM n"
HOSTILE: dict[str, Callable[[Path], None]] = {
    "a trigger that deletes": hostile(GONE),
    "a trigger that refuses in silence": hostile(
        "CREATE TRIGGER no BEFORE INSERT ON entry BEGIN SELECT RAISE(IGNORE); END"
    ),
    "a trigger without end": hostile(
        "CREATE TRIGGER ever AFTER DELETE ON body BEGIN UPDATE entry SET note = (SELECT count(*) FROM entry a, entry "
        "b, entry c, entry d); END",
        body=True,
    ),
    "a view in the place of the body": hostile(
        f"CREATE VIEW body (name, value) AS SELECT 'stature_cm', k FROM ({ENDLESS})"
    ),
    "a view in the place of the entries": hostile("DROP TABLE entry", f"CREATE VIEW entry AS {ENDLESS}"),
    "one view more": hostile("CREATE VIEW v AS SELECT 1"),
    "one table more": hostile("CREATE TABLE more (a)"),
    "an index": hostile("CREATE INDEX i ON entry (date)"),
    "an index of an expression": hostile("CREATE INDEX i ON entry (abs(felt))"),
    "statistics": hostile("CREATE INDEX i ON entry (date)", "ANALYZE", "DROP INDEX i"),
    "a column more": hostile("ALTER TABLE entry ADD COLUMN more"),
    "a column that is worked out": hostile("ALTER TABLE entry ADD COLUMN more AS (felt + 1)"),
    "a column of the body that is worked out": hostile("ALTER TABLE body ADD COLUMN more AS (value)", body=True),
    "a check": rewritten("note TEXT NOT NULL", "note TEXT NOT NULL CHECK (note <> 1)"),
    "a collation": rewritten("note TEXT NOT NULL", "note TEXT COLLATE NOCASE NOT NULL"),
    "a default": rewritten("piece TEXT", "piece TEXT DEFAULT 1"),
    "a check of the body": rewritten("value NOT NULL", "value NOT NULL CHECK (value)", body=True),
    "one blank": rewritten("felt REAL", "felt  REAL"),
    "a table without row numbers": rewritten("value NOT NULL)", "value NOT NULL) WITHOUT ROWID", body=True),
    "no table of numbers": hostile(
        "PRAGMA writable_schema = ON", "DELETE FROM sqlite_master WHERE name = 'sqlite_sequence'"
    ),
    "a thousand tables": hostile("BEGIN", *(f"CREATE TABLE t{k} (a)" for k in range(1000)), "COMMIT"),
    "a virtual table": hostile("CREATE VIRTUAL TABLE v USING fts5(a)"),
    "two tables in the same pages": one_root,
    "a schema that is no text": not_a_text,
    "a schema in another encoding": lambda path: made(path, "PRAGMA encoding = 'UTF-16';" + OLD_RECORD + GONE + ";"),
    "a write-ahead log": wal_mode,
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_record_is_refused_and_left_as_it_is(tmp_path: Path, name: str) -> None:
    path = tmp_path / "a.turnstill"
    HOSTILE[name](path)
    refused_untouched(path, r"(is not a record of turnstill, and was|damaged .*) left as it is")


@pytest.mark.parametrize("script", [OLD_RECORD, OLD_RECORD + OLD_BODY], ids=["entries", "with a body"])
def test_a_record_of_an_earlier_version_opens(tmp_path: Path, script: str) -> None:
    path = tmp_path / "a.turnstill"
    made(path, script)
    body = {"stature_cm": 168.5} if "body" in script else {}
    told = Entry("2025-03-01", "hips_toward_ball", felt=2.5, note="of before")
    assert contents_of(str(path)) == ([(1, told)], body)
    assert add(str(path), [FILM]) == [2]
    keep_body(str(path), {"mass_kg": 70.0})
    assert contents_of(str(path)) == ([(1, told), (2, FILM)], {**body, "mass_kg": 70.0})


def test_what_is_written_today_is_what_the_first_version_wrote(tmp_path: Path) -> None:
    old, new = tmp_path / "old", tmp_path / "new"
    made(old, OLD_RECORD + OLD_BODY)
    add(str(new), [FILM])
    keep_body(str(new), {"mass_kg": 70.0})
    schemas = []
    for path in (old, new):
        base = sqlite3.connect(path)
        schemas.append(base.execute("SELECT type, name, tbl_name, sql FROM sqlite_master ORDER BY name").fetchall())
        base.close()
    assert schemas[0] == schemas[1]


def test_a_record_cut_anywhere_is_a_sentence_or_whole(tmp_path: Path) -> None:
    path = tmp_path / "a"
    made(path, OLD_RECORD + OLD_BODY + FILLING)
    data = path.read_bytes()
    for size in [*range(1, 200, 11), *range(200, len(data), 9973), len(data) - 1]:
        path.write_bytes(data[:size])
        refused_untouched(path, "damaged|not a record")


def test_a_record_that_grows_while_it_is_looked_at(tmp_path: Path) -> None:
    path = tmp_path / "a"
    made(path, OLD_RECORD)
    with path.open("ab") as file:
        file.write(bytes(4096) * 3)
    # What was not there when SQLite wrote the file is no part of it.
    assert len(entries_of(str(path))) == 1


def test_broken_bytes_in_what_an_entry_says_are_a_sentence(tmp_path: Path) -> None:
    for what, broken in (("note", b"of bef\xff\xfe"), ("date", b"2025-03-\xff1")):
        path = tmp_path / what
        made(path, OLD_RECORD)
        old = b"of before" if what == "note" else b"2025-03-01"
        path.write_bytes(path.read_bytes().replace(old, broken.ljust(len(old), b"x")))
        with pytest.raises(TurnstillError, match=f"damaged .in entry 1 {what}") as told:
            entries_of(str(path))
        str(told.value).encode()
    path = tmp_path / "body"
    made(path, OLD_RECORD + OLD_BODY)
    path.write_bytes(path.read_bytes().replace(b"stature_cm", b"statur\xff_cm"))
    with pytest.raises(TurnstillError, match="damaged"):
        kept_of(str(path))


def test_one_bit_wrong_anywhere_in_the_first_pages_does_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "a"
    made(path, OLD_RECORD + OLD_BODY)
    data = path.read_bytes()
    used = [k for k in range(len(data)) if data[k] or k < 120]
    for k in used[::7]:
        path.write_bytes(data[:k] + bytes([data[k] ^ 0x41]) + data[k + 1 :])
        try:
            contents_of(str(path))
        except TurnstillError as told:
            assert "\n" not in str(told) and len(str(told)) < 320
        assert [one.name for one in tmp_path.iterdir()] == ["a"]


def test_a_number_at_its_end_is_not_a_full_disk(tmp_path: Path) -> None:
    path = tmp_path / "a"
    made(path, OLD_RECORD + "UPDATE sqlite_sequence SET seq = 9223372036854775807;")
    before = path.read_bytes()
    for do in (lambda: add(str(path), [FILM]), lambda: add_once(str(path), FILM)):
        with pytest.raises(TurnstillError, match="no number left for another entry, 9223372036854775807 being given"):
            do()
    assert path.read_bytes() == before and len(entries_of(str(path))) == 1


def test_a_full_disk_is_one(tmp_path: Path) -> None:
    path = tmp_path / "a"
    made(path, OLD_RECORD)
    code = """
import resource, signal, sys
from turnstill.model.errors import TurnstillError
from turnstill.scenes.record.store import Entry, add
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (40000, 40000))
try:
    add(sys.argv[1], [Entry("2025-03-02", head_up_cm=2.0, note="x" * 1900)] * 100)
except TurnstillError as told:
    print(told)
"""
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, timeout=60)
    assert "nothing was written" in done.stdout and not done.stderr, done.stderr
    assert len(entries_of(str(path))) == 1


def test_more_entries_than_a_record_may_hold_are_not_dropped_in_silence(tmp_path: Path, monkeypatch) -> None:
    path = tmp_path / "a"
    monkeypatch.setattr("turnstill.scenes.record.store.MOST_ENTRIES", 3)
    add(str(path), [FILM] * 2)
    with pytest.raises(TurnstillError, match="holds 2 entries and may hold 3, so 2 more were not added"):
        add(str(path), [FILM] * 2)
    add(str(path), [FILM])
    assert len(entries_of(str(path))) == 3
    monkeypatch.setattr("turnstill.scenes.record.store.MOST_ENTRIES", 2)
    with pytest.raises(TurnstillError, match="more than 2 entries"):
        entries_of(str(path))


def test_nothing_runs_for_ever(tmp_path: Path, monkeypatch) -> None:
    path = tmp_path / "a"
    made(path, OLD_RECORD)
    monkeypatch.setattr(student_layout, "MOST_SECONDS", 0.2)
    base = student_layout.connected(path, "ro")
    with pytest.raises(sqlite3.OperationalError) as wrong:
        base.execute(f"SELECT count(*) FROM ({ENDLESS})").fetchone()
    base.close()
    assert "longer than" in str(student_refusals.refused("a", wrong.value))


def test_nothing_in_a_record_is_trusted(tmp_path: Path) -> None:
    path = tmp_path / "a"
    made(path, OLD_RECORD)
    base = student_layout.connected(path, "ro")
    asked = [base.execute(f"PRAGMA {name}").fetchone() for name in ("trusted_schema", "cell_size_check", "mmap_size")]
    base.close()
    assert asked[:2] == [(0,), (1,)] and asked[2] in (None, (0,))


def test_a_record_on_a_read_only_place_is_read_and_one_sentence_where_it_is_to_be_written(tmp_path: Path) -> None:
    path = tmp_path / "a"
    made(path, OLD_RECORD)
    path.chmod(0o444)
    tmp_path.chmod(0o555)
    try:
        if os.access(tmp_path, os.W_OK):
            pytest.skip("this user may write everywhere")
        assert len(entries_of(str(path))) == 1
        with pytest.raises(TurnstillError, match="cannot be written there"):
            add(str(path), [FILM])
        path.chmod(0o644)
        with pytest.raises(TurnstillError, match="cannot be written there"):
            add(str(path), [FILM])
        with pytest.raises(TurnstillError, match="cannot be written there"):
            add(str(tmp_path / "new"), [FILM])
    finally:
        tmp_path.chmod(0o755)
        shutil.copy(path, tmp_path / "b")
