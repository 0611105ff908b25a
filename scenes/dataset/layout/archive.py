"""Archives of samples: plain tar files in the convention of WebDataset, the same bytes for the same samples."""

from __future__ import annotations

import tarfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import BinaryIO


class ArchiveWriter:
    """Puts samples into a tar file one after the other: no clock, no user and no machine in it.

    Args:
        file: open for writing; closing it is its owner's.
    """

    def __init__(self, file: BinaryIO) -> None:
        self._file, self._written = file, 0

    def __enter__(self) -> ArchiveWriter:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if kind is None:
            # An archive ends with two empty blocks, and fills its last record.
            end = self._written + 2 * tarfile.BLOCKSIZE
            self._write(bytes(-(-end // tarfile.RECORDSIZE) * tarfile.RECORDSIZE - self._written))

    def add(self, key: str, members: Mapping[str, bytes]) -> None:
        """One sample: ending to content, in this order."""
        for ending, data in members.items():
            about = tarfile.TarInfo(f"{key}.{ending}")
            about.size, about.mtime, about.mode = len(data), 0, 0o644
            self._write(about.tobuf(tarfile.USTAR_FORMAT))
            self._write(data)
            self._write(bytes(-len(data) % tarfile.BLOCKSIZE))

    def _write(self, data: bytes) -> None:
        # Straight into the file: the library would copy a picture in two hundred pieces.
        self._file.write(data)
        self._written += len(data)


@dataclass(frozen=True)
class Stored:
    """Where a member lies: file, first byte, bytes."""

    file: Path
    begin: int
    size: int

    def read(self) -> bytes:
        """Its content."""
        with self.file.open("rb") as file:
            file.seek(self.begin)
            return file.read(self.size)


def members(path: Path) -> Iterator[tuple[str, str, Stored]]:
    """Key, ending and place of every member of an archive, in order; contents are skipped.

    Raises:
        tarfile.TarError: where the file is none, or cut short.
        OSError: where it cannot be read.
    """
    whole = path.stat().st_size
    with tarfile.open(path, "r:") as tar:
        for about in tar:
            if about.offset_data + about.size > whole:
                raise tarfile.ReadError("cut short")
            key, _, ending = about.name.partition(".")
            yield key, ending, Stored(path, about.offset_data, about.size)
        # An archive ends with two empty blocks. Without them a header was cut, which the library takes for the end.
        if whole - tar.offset < 2 * tarfile.BLOCKSIZE:
            raise tarfile.ReadError("cut short")
