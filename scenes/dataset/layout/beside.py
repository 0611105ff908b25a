"""What an archive's pictures add to what is told beside the archives.

Whoever makes an archive reads its labels back and works this out, so that little is left to do when all are there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .checksums import sha256
from .coco import coco_part, packed
from .index import Column, columns, packed_rows
from .names import swing_of
from .reading import DataSet


@dataclass(frozen=True)
class Beside:
    """Of one archive, packed small, since all wait in memory for the last.

    Attributes:
        first: id of its first picture in its split's COCO file.
        pictures: how many it has.
        swings: and swings.
        subjects: and subjects.
        rows: its rows of the index, see ``index.packed_rows``.
        coco: what it adds to the COCO file, see ``coco.packed``.
        sum: SHA-256 of the archive itself.
    """

    first: int
    pictures: int
    swings: int
    subjects: int
    rows: bytes
    coco: tuple[bytes, bytes]
    sum: str


def beside_of(archive: Path, first: int) -> Beside:
    """Read an archive's labels back.

    Args:
        archive: where it lies, in a data set's folder.
        first: id of its first picture in its split's COCO file.

    Raises:
        TurnstillError: where it cannot be read.
    """
    made = DataSet(archive.parent.parent, {}, {})
    labels = list(made.labelled(archive))
    keys = [label["key"] for label, _ in labels]
    swings = {swing_of(key) for key in keys}
    return Beside(
        first=first,
        pictures=len(keys),
        swings=len(swings),
        subjects=len({swing.partition("-")[0] for swing in swings}),
        rows=packed_rows(list(_rows(made, archive, labels, first))),
        coco=packed(coco_part(labels, first)),
        sum=sha256(archive),
    )


def rows_of(made: DataSet) -> Iterator[list[Column]]:
    """All rows of a data set's index, as the labels say."""
    for archives in made.shards.values():
        first = 1
        for archive in archives:
            labels = list(made.labelled(archive))
            yield from _rows(made, archive, labels, first)
            first += len(labels)


def _rows(
    made: DataSet, archive: Path, labels: Sequence[tuple[Mapping[str, Any], str]], first: int
) -> Iterator[list[Column]]:
    shard = archive.relative_to(made.folder).as_posix()
    for number, (label, ending) in enumerate(labels, start=first):
        yield list(columns(label, shard, number, ending))


def labelled(made: DataSet, split: str) -> Iterator[tuple[Mapping[str, Any], str]]:
    """Label and ending of every picture of a split, in the order of its archives."""
    for archive in made.shards[split]:
        yield from made.labelled(archive)
