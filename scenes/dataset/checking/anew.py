"""Pictures drawn again from the request alone, and compared byte for byte.

In a process of its own like those that made them: linear algebra on several threads adds up in another order, which
moves a depth by a step here and there.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from ....render.stage.opengl import require_opengl
from ....render.stage.stage import Stage
from ...delivery.progress import Progress
from ..layout.reading import DataSet, open_dataset
from ..layout.request import differences, request_tables
from ..making.engine import Draw, make_shards
from ..making.photographs import photographs
from ..plan.recipe import Recipe
from ..plan.schedule import Shard, split_of
from ..plan.subjects import draw_subjects


def drawn_otherwise(made: DataSet, recipe: Recipe, keys: Sequence[str], progress: Progress) -> Iterator[str]:
    """A sentence for each of those pictures that comes out otherwise now.

    Raises:
        TurnstillError: where no picture can be drawn.
    """
    if not keys:
        return
    require_opengl()
    versions = request_tables(recipe.request())["versions"]
    differing = [f"{name} {was} there, {now} here" for name, was, now in differences(made.versions, versions)]
    why = f" (made with other packages: {differing[0]})" if differing else ""
    numbers = sorted({made.label(key)["subject"] for key in keys})
    subjects = [Shard(split_of(recipe, number), number, (number,)) for number in numbers]
    with tempfile.TemporaryDirectory() as aside:
        drawing = partial(_comparing, str(made.folder), frozenset(keys))
        make_shards(recipe, subjects, Path(aside), 1, drawing, progress.made, progress.let_in)
        for number in numbers:
            for name in json.loads(_found(Path(aside), number).read_text(encoding="utf-8")):
                yield f"{name} comes out otherwise when it is drawn anew{why}."


@contextmanager
def _comparing(made: str, keys: frozenset[str]) -> Iterator[Draw]:
    """In the other process: one stage for all subjects."""
    with Stage() as stage:
        yield partial(_compare, open_dataset(made), keys, stage)


def _compare(
    made: DataSet,
    keys: frozenset[str],
    stage: Stage,
    recipe: Recipe,
    shard: Shard,
    aside: Path,
    told: Callable[[int], object],
) -> None:
    """Draw a subject, and leave the names of those files that come out otherwise."""
    (number,) = shard.subjects
    (subject,) = draw_subjects(recipe, [number])
    otherwise = []
    for photograph in photographs(recipe.seed, subject, stage):
        told(int(photograph.key in keys))
        if photograph.key in keys:
            otherwise += [
                f"{photograph.key}.{ending}"
                for ending, content in photograph.members.items()
                if made.stored(photograph.key, ending) != content
            ]
    _found(aside, number).write_text(json.dumps(otherwise), encoding="utf-8")


def _found(aside: Path, number: int) -> Path:
    return aside / f"{number}.json"
