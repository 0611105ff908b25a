"""Whether a data set is what was made, is true to itself, and is what its request makes again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from ....model.errors import TurnstillError
from ...delivery.progress import Progress
from ...delivery.terminal import say, tell
from ..layout.archive import from_npy
from ..layout.names import DEPTH, IDS
from ..layout.reading import DataSet, open_dataset
from ..making.work import require_packages
from ..plan.recipe import Recipe
from .anew import drawn_otherwise
from .one import faults_of
from .whole import beside_wrong, counts_wrong, files_wrong, splits_wrong

MOST_TOLD = 20
"""Sentences: who has more wrong copies the set again."""
MOST_AGAIN = 10_000


@dataclass(frozen=True)
class Checked:
    """What a check found.

    Attributes:
        pictures: how many labels were read.
        again: how many pictures were drawn anew.
        wrong: a sentence for each thing that is.
    """

    pictures: int
    again: int
    wrong: tuple[str, ...]


def check_to(folder: str, *, again: int) -> bool:
    """Whether everything holds, drawing ``again`` pictures anew; says what does not.

    Raises:
        TurnstillError: where there is no data set, or an option makes no sense.
    """
    found = check_dataset(folder, again=again)
    for sentence in found.wrong[:MOST_TOLD]:
        say(sentence)
    if len(found.wrong) > MOST_TOLD:
        say(f"{len(found.wrong) - MOST_TOLD} more things are wrong.")
    if found.wrong:
        return False
    tell(
        f"{folder} holds: {found.pictures} pictures, their files and labels as made and true to each other, "
        f"{found.again} drawn anew to the same bytes."
    )
    return True


def check_dataset(folder: str | Path, *, again: int = 5) -> Checked:
    """Check files, counts, splits, every label, index and COCO files, and draw some pictures anew.

    Args:
        folder: a data set.
        again: how many pictures to draw anew and compare byte for byte, spread over the set.

    Raises:
        TurnstillError: where there is no data set, or an option makes no sense.
    """
    if not 0 <= again <= MOST_AGAIN:
        raise TurnstillError(f"--again was {again}, but must be a whole number from 0 to {MOST_AGAIN}.")
    require_packages()
    made = open_dataset(folder)
    recipe = Recipe.from_request(made.request)
    wrong = list(files_wrong(made))
    try:
        wrong += counts_wrong(made, recipe)
        keys = made.keys()
        with Progress(len(keys) + again, pace="pictures") as progress:
            told: list[tuple[str, int]] = []
            for sentences, split, subject in _labels_wrong(made):
                wrong += sentences
                told.append((split, subject))
                progress.made(1)
                progress.let_in()
            wrong += splits_wrong(told)
            wrong += beside_wrong(made)
            chosen = [keys[k] for k in np.unique(np.linspace(0, len(keys) - 1, again).astype(int))] if keys else []
            chosen = chosen[:again]
            # What is damaged already differs of course.
            if not wrong:
                wrong += drawn_otherwise(made, recipe, chosen, progress)
    except TurnstillError as stopped:  # An archive that cannot be read on.
        wrong.append(str(stopped))
        return Checked(0, 0, tuple(wrong))
    return Checked(len(keys), len(chosen), tuple(wrong))


def _labels_wrong(made: DataSet) -> Iterator[tuple[list[str], str, int]]:
    """Sentences about each picture, its split and its subject."""
    for split in made.splits:
        for label in made.labels(split):
            key = str(label.get("key", "a picture without a key"))[:60]
            ids, steps = (np.asarray(from_npy(made.stored(key, ending))) for ending in (IDS, DEPTH))
            clauses = list(faults_of(label, ids, steps))
            if label.get("split") != split:
                clauses.append(
                    f"its label puts it in the split {str(label.get('split'))[:40]!r}, its archive in {split!r}"
                )
            subject = label.get("subject")
            yield [f"{key}: {clause}." for clause in clauses], split, subject if isinstance(subject, int) else -1
