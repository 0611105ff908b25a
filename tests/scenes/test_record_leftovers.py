"""What stands beside a record: the journal of a killed command is used, nothing else is believed or touched."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest
from records_on_disk import FILLING, GONE, OLD_RECORD, made, refused_untouched, tried

from turnstill.model.errors import TurnstillError
from turnstill.scenes.record.store import entries_of

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
