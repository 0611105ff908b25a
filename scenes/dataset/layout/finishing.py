"""What is told of a data set beside its archives: made from their labels alone, so the same whoever made them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from .beside import Beside, beside_of, rows_of
from .card import Counts, card_text
from .checksums import checksums_text, files_of, sha256
from .coco import unpacked, whole_text
from .croissant import croissant_text
from .index import write_index
from .licence import LICENCE
from .names import CARD_FILE, CHECKSUMS_FILE, CROISSANT_FILE, INDEX_FILE, LICENCE_FILE, coco_path
from .placing import place_text, placed
from .reading import open_dataset


def finish(folder: Path, known: Mapping[Path, Beside] | None = None) -> None:
    """Write index, COCO files, card, licence and Croissant, and last the checksums, which say that all is there.

    Args:
        folder: a data set whose archives are all there.
        known: what whoever made an archive has worked out of it already.

    Raises:
        TurnstillError: where something cannot be written, or an archive not be read.
    """
    (folder / CHECKSUMS_FILE).unlink(missing_ok=True)
    made = open_dataset(folder)
    parts = {split: list(_in_order(archives, known or {})) for split, archives in made.shards.items()}
    with placed(folder / INDEX_FILE) as part:
        write_index(part, (one.rows for split in made.splits for one in parts[split]))
    for split, found in parts.items():
        place_text(coco_path(folder, split), whole_text([unpacked(one.coco) for one in found]))
    counts = {split: _counted(found) for split, found in parts.items()}
    archives = [path for paths in made.shards.values() for path in paths]
    place_text(folder / CARD_FILE, card_text(counts, made.request, sum(path.stat().st_size for path in archives)))
    place_text(folder / LICENCE_FILE, LICENCE)
    told = [one.sum for found in parts.values() for one in found]
    sums = {path.relative_to(folder).as_posix(): found for path, found in zip(archives, told, strict=True)}
    sums |= {name: sha256(folder / name) for name in files_of(folder) if name not in {*sums, CROISSANT_FILE}}
    listed = {name: found for name, found in sums.items() if name.endswith((".tar", ".parquet"))}
    place_text(folder / CROISSANT_FILE, croissant_text(listed, next(rows_of(made)), made.request))
    sums[CROISSANT_FILE] = sha256(folder / CROISSANT_FILE)
    place_text(folder / CHECKSUMS_FILE, checksums_text(sums))


def _in_order(archives: Sequence[Path], known: Mapping[Path, Beside]) -> Iterator[Beside]:
    """Of a split's archives, worked out where nobody has done so, or has counted the pictures before otherwise."""
    first = 1
    for archive in archives:
        found = known.get(archive)
        if found is None or found.first != first:
            found = beside_of(archive, first)
        first += found.pictures
        yield found


def _counted(found: Sequence[Beside]) -> Counts:
    return Counts(*(sum(getattr(one, what) for one in found) for what in ("subjects", "swings", "pictures")))
