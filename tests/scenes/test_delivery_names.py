"""How files are named in a sentence, how one is told to be another, and what SQLite puts beside a record."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path

import pytest

from turnstill.scenes.delivery import sqlite_names, written
from turnstill.scenes.delivery.refusals import in_the_way, reason, shown, unwritable
from turnstill.scenes.delivery.this_command import print_of

LONG = "".join(chr(33 + k % 90) for k in range(121))
"""A name one letter too long, in which every place within ninety is another letter."""


def test_a_long_name_is_told_by_its_beginning_and_its_end() -> None:
    assert shown(LONG[:120]) == LONG[:120]
    assert shown(LONG) == f"{LONG[:60]}...{LONG[-50:]}"
    assert shown("a\nb\tc\x1bd") == "a?b?c?d"
    assert shown("b" * 200 + "\n") == f"{'b' * 60}...{'b' * 49}?"


def test_what_the_system_had_against_a_file_is_said_of_that_file() -> None:
    assert reason(OSError(28, "No space left on device")) == "no space left on device"
    assert reason(ValueError("embedded null byte")) == reason(OSError()) == "no such name is possible"
    assert str(unwritable(LONG, OSError(13, "Permission denied"))) == (
        f"{shown(LONG)} cannot be written: permission denied."
    )
    assert str(in_the_way("a.json")).startswith("Something else wrote a.json while this ran")


@pytest.mark.parametrize(
    ("count", "told"), [(48, LONG[:48]), (49, f"{LONG[:20]}...{LONG[24:49]}")], ids=("as long as may be", "longer")
)
def test_what_was_written_is_shortened_only_where_that_makes_it_shorter(count: int, told: str) -> None:
    written.begin()
    written.keep(LONG[:count])
    assert written.any_kept() and written.told() == f"written before that, and whole: {told}"
    written.begin()
    assert not written.any_kept() and written.told() == "nothing was written"


def test_a_file_is_another_as_soon_as_one_part_of_its_print_is() -> None:
    def of(**parts: int) -> os.stat_result:
        known = {"ino": 2, "dev": 3, "size": 7, "ns": 11} | parts
        # Ten places, then seconds as fractions, then nanoseconds.
        places = (0o100644, known["ino"], known["dev"], 1, 4, 5, known["size"], 8, 9, 10)
        return os.stat_result((*places, 8.0, 9.0, 10.0, 12, known["ns"], 13))

    first = of()
    assert print_of(first) == (3, 2, 7, 11) == print_of(of())
    for part in ("dev", "ino", "size", "ns"):
        assert print_of(of(**{part: 99})) != print_of(first), part


def test_what_sqlite_puts_beside_a_record_is_what_it_is_told_by(tmp_path: Path) -> None:
    def beside(mode: str) -> set[str]:
        record = tmp_path / f"{mode}.record"
        with sqlite3.connect(record) as kept:
            kept.execute(f"PRAGMA journal_mode={mode}")
            kept.execute("CREATE TABLE entry (felt)")
            kept.commit()
            kept.execute("INSERT INTO entry VALUES (1)")
            found = {
                one.name.removeprefix(record.name) for one in tmp_path.iterdir() if one.name.startswith(record.name)
            }
        kept.close()
        assert record.read_bytes().startswith(sqlite_names.DATABASE)
        return found

    assert beside("delete") == {"", sqlite_names.JOURNAL}
    assert beside("wal") == {"", sqlite_names.LOG, sqlite_names.SHARED}
    assert sqlite_names.SHARED.startswith("-sh")
