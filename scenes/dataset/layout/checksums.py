"""The list of a data set's files with their SHA-256, written last: where it is, the set is whole."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path

from ...delivery.parts import is_part
from .names import CHECKSUMS_FILE


def sha256(path: Path) -> str:
    """Of a file, in hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def files_of(folder: Path) -> list[str]:
    """Paths below a data set's folder, parts and the list itself left out, in order."""
    found = (path for path in folder.rglob("*") if path.is_file() and not is_part(path.name))
    return sorted(name for path in found if (name := path.relative_to(folder).as_posix()) != CHECKSUMS_FILE)


def checksums_text(sums: Mapping[str, str]) -> str:
    """The list as ``sha256sum --check`` reads it: path to sum."""
    return "".join(f"{sums[name]}  {name}\n" for name in sorted(sums))


def read_checksums(text: str) -> dict[str, str]:
    """Path to sum, of a list."""
    rows = (line.partition("  ") for line in text.splitlines() if line)
    return {name: found for found, _, name in rows}
