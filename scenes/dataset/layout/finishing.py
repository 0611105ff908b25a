"""What is told of a data set beside its archives: made from their labels alone, so the same whoever made them."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import islice
from pathlib import Path
from typing import Any

from .card import Counts, card_text
from .checksums import checksums_text, files_of, sha256
from .coco import coco_text
from .croissant import croissant_text
from .index import Column, columns, write_index
from .licence import LICENCE
from .names import CARD_FILE, CHECKSUMS_FILE, CROISSANT_FILE, INDEX_FILE, LICENCE_FILE, coco_path
from .placing import place_text, placed
from .reading import DataSet, open_dataset

ROWS_AT_A_TIME = 1000
"""Of the index: a row group."""


def finish(folder: Path) -> None:
    """Write index, COCO files, card, licence and Croissant, and last the checksums, which say that all is there.

    Args:
        folder: a data set whose archives are all there.

    Raises:
        TurnstillError: where something cannot be written, or an archive not be read.
    """
    (folder / CHECKSUMS_FILE).unlink(missing_ok=True)
    made = open_dataset(folder)
    with placed(folder / INDEX_FILE) as part:
        write_index(part, _some_at_a_time(rows_of(made)))
    for split in made.splits:
        place_text(coco_path(folder, split), coco_text(labelled(made, split)))
    counts = {split: _counted(made, split) for split in made.splits}
    archives = [path for paths in made.shards.values() for path in paths]
    place_text(folder / CARD_FILE, card_text(counts, made.request, sum(path.stat().st_size for path in archives)))
    place_text(folder / LICENCE_FILE, LICENCE)
    sums = _sums(folder, [name for name in files_of(folder) if name != CROISSANT_FILE])
    listed = {name: found for name, found in sums.items() if name.endswith((".tar", ".parquet"))}
    place_text(folder / CROISSANT_FILE, croissant_text(listed, next(rows_of(made)), made.request))
    sums[CROISSANT_FILE] = sha256(folder / CROISSANT_FILE)
    place_text(folder / CHECKSUMS_FILE, checksums_text(sums))


def _sums(folder: Path, names: Sequence[str]) -> dict[str, str]:
    """File to sum; several files at a time, since summing leaves Python alone."""
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        return dict(zip(names, pool.map(sha256, (folder / name for name in names)), strict=True))


def labelled(made: DataSet, split: str) -> Iterator[tuple[Mapping[str, Any], str]]:
    """Label and ending of every picture of a split, in the order of its archives."""
    for label in made.labels(split):
        yield label, made.ending(label["key"])


def rows_of(made: DataSet) -> Iterator[list[Column]]:
    """The index's rows, as the labels say."""
    for split in made.splits:
        for number, (label, ending) in enumerate(labelled(made, split), start=1):
            yield list(columns(label, made.shard_of(label["key"]), number, ending))


def _some_at_a_time(rows: Iterator[list[Column]]) -> Iterator[list[list[Column]]]:
    while some := list(islice(rows, ROWS_AT_A_TIME)):
        yield some


def _counted(made: DataSet, split: str) -> Counts:
    swings = {key.partition("-m")[0].rpartition("-")[0] for key in made.keys(split)}
    return Counts(len({swing.partition("-")[0] for swing in swings}), len(swings), len(made.keys(split)))
