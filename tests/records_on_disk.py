"""Records written by hand, as earlier versions or somebody else wrote them, and everything that can be done to one."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from turnstill.model.errors import TurnstillError
from turnstill.scenes.record.entry import Entry
from turnstill.scenes.record.store import add, add_missing, add_once, contents_of, entries_of, keep_body
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


GONE = "CREATE TRIGGER gone AFTER INSERT ON entry BEGIN DELETE FROM entry; END"
FILLING = "WITH RECURSIVE n(k) AS (SELECT 1 UNION ALL SELECT k + 1 FROM n LIMIT 400) " \
          "INSERT INTO entry (date, note) SELECT '2025-03-01', hex(zeroblob(900)) FROM n;"  # fmt: skip


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
