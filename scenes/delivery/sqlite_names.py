"""How SQLite's files are told: a student's record is one, and what it puts beside it."""

from __future__ import annotations

DATABASE = b"SQLite format 3\x00"
"""The first bytes of a record (https://sqlite.org/fileformat.html, 1.3)."""
JOURNAL, LOG, SHARED = "-journal", "-wal", "-shm"
"""What is put behind a record's name for what SQLite keeps beside it."""
