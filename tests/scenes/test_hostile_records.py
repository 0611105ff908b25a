"""Records that somebody made to do harm: each is one sentence, and stays as it is to the byte."""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from turnstill.model.errors import TurnstillError
from turnstill.scenes.record.entry import Entry
from turnstill.scenes.record.store import add, add_missing, add_once, contents_of, entries_of, keep_body
from turnstill.scenes.setups import student_layout, student_refusals
from turnstill.scenes.setups.student import kept_of

FILM = Entry("2025-03-01", head_up_cm=1.0)
OLD_RECORD = """
CREATE TABLE entry (id INTEGER PRIMARY KEY AUTOINCREMENT, date TEXT NOT NULL, piece TEXT, felt REAL, got REAL, \
got_sd REAL, head_toward_target_cm REAL, head_toward_ball_cm REAL, head_up_cm REAL, head_sd_cm REAL, \
inclination_change_deg REAL, note TEXT NOT NULL);
INSERT INTO entry (date, piece, felt, note) VALUES ('2025-03-01', 'thrust', 2.5, 'of before');
PRAGMA application_id = 1416785491;
PRAGMA user_version = 1;
"""
"""As the first version wrote them."""
OLD_BODY = """
CREATE TABLE body (name TEXT PRIMARY KEY NOT NULL, value NOT NULL);
INSERT INTO body VALUES ('stature_cm', 168.5);
"""


def made(path: Path, script: str) -> None:
    base = sqlite3.connect(path, isolation_level=None)
    base.executescript(script)
    base.close()


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


GONE = "CREATE TRIGGER gone AFTER INSERT ON entry BEGIN DELETE FROM entry; END"
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


def tried(path: Path) -> list[Callable[[], object]]:
    name = str(path)
    return [
        lambda: entries_of(name),
        lambda: kept_of(name),
        lambda: contents_of(name),
        lambda: add(name, [FILM]),
        lambda: add_once(name, FILM),
        lambda: add_missing(name, [FILM]),
        lambda: keep_body(name, {"stature_cm": 170.0}),
    ]


def refused_untouched(path: Path, sentence: str) -> None:
    def state() -> dict[str, tuple[bytes, int]]:
        return {one.name: (one.read_bytes(), one.stat().st_mtime_ns) for one in path.parent.iterdir() if one.is_file()}

    before = state()
    for do in tried(path):
        with pytest.raises(TurnstillError, match=sentence) as told:
            do()
        assert "\n" not in str(told.value) and len(str(told.value)) < 300
        assert state() == before


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


BESIDE = {
    "a-wal": b"",
    "a-journal": b"a letter to my mother",
    # A journal that names a further file, which SQLite would remove.
    "a-journal ": bytes.fromhex("d9d505f920a163d7") + bytes(504) + bytes.fromhex("d9d505f920a163d7"),
    # A journal that makes the record larger than it is.
    "a-journal  ": bytes.fromhex("d9d505f920a163d7ffffffff00000000000fffff0000020000001000") + bytes(484),
}


@pytest.mark.parametrize("beside", BESIDE)
def test_what_stands_beside_a_record_and_is_none_of_its_is_not_touched(tmp_path: Path, beside: str) -> None:
    (tmp_path / beside.strip()).write_bytes(BESIDE[beside])
    path = tmp_path / "a"
    if beside != "a-journal  ":
        for do in tried(path)[3:]:  # There is no record yet, and none is begun.
            with pytest.raises(TurnstillError, match="beside it stands"):
                do()
        assert not path.exists() and (tmp_path / beside.strip()).read_bytes() == BESIDE[beside]
    made(tmp_path / "other", OLD_RECORD)
    (tmp_path / "other").rename(path)
    refused_untouched(path, f'beside it stands "{beside.strip()}"')


def test_a_link_or_a_folder_in_the_place_of_a_journal_is_not_followed(tmp_path: Path) -> None:
    path, letter = tmp_path / "a", tmp_path / "letter"
    made(path, OLD_RECORD)
    letter.write_text("to my mother")
    (tmp_path / "a-journal").symlink_to(letter)
    refused_untouched(path, "beside it stands")
    assert (tmp_path / "a-journal").is_symlink() and letter.read_text() == "to my mother"
    (tmp_path / "a-journal").unlink()
    (tmp_path / "a-journal").mkdir()
    refused_untouched(path, "beside it stands")


def hot_journal(path: Path, script: str) -> None:
    """Leave a record as a process killed in the middle of a long write leaves it."""
    code = """
import os, signal, sqlite3, sys
base = sqlite3.connect(sys.argv[1], isolation_level=None)
base.executescript("PRAGMA cache_size = 1; BEGIN IMMEDIATE;" + sys.argv[2])
os.kill(os.getpid(), signal.SIGKILL)
"""
    done = subprocess.run([sys.executable, "-c", code, str(path), script], capture_output=True, timeout=60)
    assert done.returncode == -signal.SIGKILL and Path(f"{path}-journal").stat().st_size > 512


FILLING = "WITH RECURSIVE n(k) AS (SELECT 1 UNION ALL SELECT k + 1 FROM n LIMIT 400) " \
          "INSERT INTO entry (date, note) SELECT '2025-03-01', hex(zeroblob(900)) FROM n;"  # fmt: skip


def test_a_journal_that_would_bring_a_trigger_back_is_not_used(tmp_path: Path) -> None:
    path = tmp_path / "a"
    made(path, OLD_RECORD + GONE + ";")
    hot_journal(path, "DROP TRIGGER gone;" + FILLING)
    # The file itself is laid out as a record is; only what the journal holds of it is not.
    refused_untouched(path, "is not a record of turnstill")


def test_a_journal_of_our_own_is_used_and_gone_afterwards(tmp_path: Path) -> None:
    path = tmp_path / "a"
    made(path, OLD_RECORD)
    before = path.read_bytes()
    hot_journal(path, FILLING)
    assert path.read_bytes() != before
    assert [entry.note for _, entry in entries_of(str(path))] == ["of before"]
    assert path.read_bytes() == before and [one.name for one in tmp_path.iterdir()] == ["a"]


def test_a_journal_over_a_damaged_record_stays_for_whoever_can_mend_it(tmp_path: Path) -> None:
    path = tmp_path / "a"
    made(path, OLD_RECORD + FILLING)
    data = bytearray(path.read_bytes())
    middle = len(data) // 8192 * 4096
    data[middle : middle + 4096] = bytes(4096)  # A page that the journal does not hold.
    path.write_bytes(data)
    hot_journal(path, "UPDATE entry SET note = 'x' WHERE id < 100;" + FILLING)
    refused_untouched(path, "damaged")


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
