"""What may be wrong with a data set as a whole: its files, its splits, and what is told of it beside the archives."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest
from pathlib import Path
from typing import Any

from ....model.errors import TurnstillError
from ..layout.beside import labelled, rows_of
from ..layout.checksums import files_of, read_checksums, sha256
from ..layout.coco import coco_text
from ..layout.names import CHECKSUMS_FILE, INDEX_FILE, coco_path, shard_path
from ..layout.reading import DataSet
from ..plan.recipe import Recipe
from ..plan.schedule import shard_numbers


def files_wrong(made: DataSet) -> Iterator[str]:
    """One sentence for every file that is missing, changed or there besides."""
    if not made.whole:
        yield f"There is no {CHECKSUMS_FILE}: the set was not made to its end; run turnstill dataset make again."
        return
    known = read_checksums((made.folder / CHECKSUMS_FILE).read_text(encoding="utf-8", errors="replace"))
    there = set(files_of(made.folder))
    yield from (f"{name} is missing; copy it again." for name in sorted(set(known) - there))
    yield from (f"{name} is not of this data set; take it away." for name in sorted(there - set(known)))
    for name in sorted(there & set(known)):
        if sha256(made.folder / name) != known[name]:
            yield f"{name} is not what was made: its SHA-256 differs; copy it again."


def counts_wrong(made: DataSet, recipe: Recipe) -> Iterator[str]:
    """One sentence for every archive that the request has and the set has not, or holds too few pictures."""
    each = recipe.swings * recipe.moments * len(recipe.views)
    for shard in shard_numbers(recipe):
        path = shard_path(made.folder, shard.split, shard.index)
        name = path.relative_to(made.folder).as_posix()
        if not path.is_file():
            yield f"{name} is missing; run turnstill dataset make again."
            continue
        due, found = len(shard.subjects) * each, made.count(path)
        if found != due:
            yield f"{name} holds {found} pictures, but {due} were asked for."


def splits_wrong(labels: Sequence[tuple[str, int]]) -> Iterator[str]:
    """One sentence for every subject in more than one split, of each picture's split and subject."""
    splits: dict[int, set[str]] = {}
    for split, subject in labels:
        splits.setdefault(subject, set()).add(split)
    for subject, found in sorted(splits.items()):
        if len(found) > 1:
            yield f"Subject {subject} is in more than one split: {', '.join(sorted(found))}."


def beside_wrong(made: DataSet) -> Iterator[str]:
    """One sentence for each of the index and the COCO files that does not say what the labels say."""
    try:
        for split in made.splits:
            path = coco_path(made.folder, split)
            if not path.is_file() or path.read_bytes() != coco_text(labelled(made, split)).encode("utf-8"):
                yield f"{path.relative_to(made.folder)} does not say what the labels say."
        due = ({one.name: one.value for one in row} for row in rows_of(made))
        if any(told != row for told, row in zip_longest(_told(made.folder / INDEX_FILE), due)):
            yield f"{INDEX_FILE} does not say what the labels say."
    except TurnstillError:
        raise
    except (LookupError, TypeError, ValueError):
        yield "Index and COCO files could not be compared, since a label lacks what they hold."


def _told(index: Path) -> Iterator[dict[str, Any]]:
    """The rows that the index holds, some at a time; none where it cannot be read on."""
    from pyarrow import ArrowException, parquet

    try:
        with parquet.ParquetFile(index) as file:
            for batch in file.iter_batches():
                yield from batch.to_pylist()
    except (OSError, ArrowException):
        return
