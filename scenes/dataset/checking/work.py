"""Whether a data set is what was made, is true to itself, and is what its request makes again."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from ....model.errors import TurnstillError
from ...delivery.progress import Progress
from ...delivery.terminal import render, say
from ..layout.checksums import files_of
from ..layout.reading import DataSet, open_dataset
from ..making.work import require_packages
from ..plan.recipe import Recipe
from ..plan.schedule import shard_numbers
from .anew import drawn_otherwise
from .one import faults_of
from .sound import read_picture
from .whole import beside_wrong, counts_wrong, files_wrong, splits_wrong

MOST_TOLD = 20
"""Sentences: who has more wrong copies the set again."""
MOST_AGAIN = 10_000


@dataclass(frozen=True)
class Part:
    """One thing that was checked.

    Attributes:
        what: in a few words.
        looked_at: how many files, archives, pictures or subjects.
        wrong: a sentence for each thing that is.
    """

    what: str
    looked_at: int
    wrong: tuple[str, ...]


@dataclass(frozen=True)
class Checked:
    """What a check found, part by part."""

    parts: tuple[Part, ...]

    @property
    def wrong(self) -> tuple[str, ...]:
        """Every sentence once: what stops one part may stop the next."""
        return tuple(dict.fromkeys(sentence for part in self.parts for sentence in part.wrong))


def check_to(folder: str, *, again: int) -> bool:
    """Whether everything holds, drawing ``again`` pictures anew; tells what was checked, and what does not hold.

    Raises:
        TurnstillError: where there is no data set, or an option makes no sense.
    """
    found = check_dataset(folder, again=again)
    sys.stdout.write(_table(found))
    for sentence in found.wrong[:MOST_TOLD]:
        say(sentence)
    if len(found.wrong) > MOST_TOLD:
        say(f"{len(found.wrong) - MOST_TOLD} more things are wrong.")
    return not found.wrong


def check_dataset(folder: str | Path, *, again: int = 5) -> Checked:
    """Check files, counts, splits, every label, index and COCO files, and draw some pictures anew.

    Args:
        folder: a data set.
        again: how many pictures to draw anew and compare byte for byte, spread over the set; none where something else
            is wrong, since what is damaged differs of course.

    Raises:
        TurnstillError: where there is no data set, or an option makes no sense.
    """
    if not 0 <= again <= MOST_AGAIN:
        raise TurnstillError(f"--again was {again}, but must be a whole number from 0 to {MOST_AGAIN}.")
    require_packages()
    made = open_dataset(folder)
    recipe = Recipe.from_request(made.request)
    of_pictures: list[tuple[str, int]] = []

    def labels() -> Iterator[str]:
        for sentences, split, subject in _labels_wrong(made):
            yield from sentences
            of_pictures.append((split, subject))
            progress.made(1)
            progress.let_in()

    def splits() -> Iterator[str]:  # Begun only when all pictures were looked at.
        yield from splits_wrong(of_pictures)

    shards = shard_numbers(recipe)
    due = sum(len(shard.subjects) for shard in shards) * recipe.swings * recipe.moments * len(recipe.views)
    with Progress(due + again, pace="pictures") as progress:
        parts = [
            _part("files, by their checksums", lambda: len(files_of(made.folder)), files_wrong(made)),
            _part("archives, by what was asked for", lambda: len(shards), counts_wrong(made, recipe)),
            _part("pictures with their labels, ids and depths", lambda: len(of_pictures), labels()),
            _part("subjects, each in one split", lambda: len({one for _, one in of_pictures}), splits()),
            _part("index and COCO files, by the labels", lambda: 1 + len(made.splits), beside_wrong(made)),
        ]
        chosen = [] if any(part.wrong for part in parts) else _spread(made.keys(), again)
        anew = drawn_otherwise(made, recipe, chosen, progress)
        parts.append(_part("pictures drawn anew, byte for byte", lambda: len(chosen), anew))
    return Checked(tuple(parts))


def _part(what: str, looked_at: Callable[[], int], wrong: Iterable[str]) -> Part:
    """A part, gone through; what stops it is its last sentence."""
    sentences: list[str] = []
    try:
        sentences.extend(wrong)
    except TurnstillError as stopped:
        sentences.append(str(stopped))
    return Part(what, looked_at(), tuple(sentences))


def _spread(keys: Sequence[str], count: int) -> list[str]:
    """So many keys, evenly from the first to the last."""
    return [keys[k] for k in np.unique(np.linspace(0, len(keys) - 1, min(count, len(keys))).astype(int))]


def _labels_wrong(made: DataSet) -> Iterator[tuple[list[str], str, int]]:
    """Sentences about each picture, its split and its subject; -1 where that is not known."""
    for split in made.splits:
        try:
            keys = made.keys(split)
        except TurnstillError as stopped:
            yield [str(stopped)], split, -1
            continue
        for key in keys:
            try:
                read = read_picture(made, key)
            except TurnstillError as unreadable:
                yield [str(unreadable)], split, -1
                continue
            clauses = list(faults_of(key, split, read))
            subject = read.label.get("subject") if isinstance(read.label, dict) else None
            yield [f"{key}: {clause}." for clause in clauses], split, subject if isinstance(subject, int) else -1


def _table(found: Checked) -> str:
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1), pad_edge=False)
    table.add_column("checked")
    for heading in ("looked at", "wrong"):
        table.add_column(heading, justify="right")
    for part in found.parts:
        table.add_row(part.what, str(part.looked_at), str(len(part.wrong)))
    return render(table)
