"""Archives of samples: plain tar files in the convention of WebDataset, the same bytes for the same samples."""

from __future__ import annotations

import io
import tarfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray


class ArchiveWriter:
    """Puts samples into a tar file one after the other: no clock, no user and no machine in it.

    Args:
        file: open for writing; closing it is its owner's.
    """

    def __init__(self, file: BinaryIO) -> None:
        self._tar = tarfile.open(fileobj=file, mode="w", format=tarfile.USTAR_FORMAT)  # noqa: SIM115

    def __enter__(self) -> ArchiveWriter:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if kind is None:
            self._tar.close()

    def add(self, key: str, members: Mapping[str, bytes]) -> None:
        """One sample: ending to content, in this order."""
        for ending, data in members.items():
            about = tarfile.TarInfo(f"{key}.{ending}")
            about.size, about.mtime, about.mode = len(data), 0, 0o644
            self._tar.addfile(about, io.BytesIO(data))


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


def npy(array: NDArray[np.generic]) -> bytes:
    """An array as the bytes of an ``.npy`` file."""
    out = io.BytesIO()
    np.save(out, np.ascontiguousarray(array), allow_pickle=False)
    return out.getvalue()


def from_npy(data: bytes) -> NDArray[np.generic]:
    """The array of the bytes of an ``.npy`` file."""
    array: NDArray[np.generic] = np.load(io.BytesIO(data), allow_pickle=False)
    return array
