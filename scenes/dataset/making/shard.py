"""One shard, a function of the recipe and its number alone: where and when it runs changes no byte."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from functools import partial
from pathlib import Path

from ....render.stage.stage import Stage
from ..layout.archive import ArchiveWriter
from ..layout.beside import Beside, beside_of
from ..layout.names import shard_path
from ..layout.placing import placed
from ..plan.recipe import Recipe
from ..plan.schedule import Shard, first_picture
from ..plan.subjects import draw_subjects
from .engine import Draw, Told
from .photographs import photographs


def write_shard(
    recipe: Recipe, shard: Shard, folder: Path, told: Told = lambda _: None, *, stage: Stage | None = None
) -> Path:
    """Make a shard; it is there whole or not at all.

    Args:
        recipe: what is asked for.
        shard: which one.
        folder: the data set's.
        told: called with 1 after each picture.
        stage: open, to draw on; one is opened otherwise.

    Returns:
        Where it lies.

    Raises:
        TurnstillError: where it cannot be written, or no picture can be drawn.
    """
    path = shard_path(folder, shard.split, shard.index)
    with (
        nullcontext(stage) if stage else Stage() as opened,
        placed(path) as part,
        part.open("wb") as file,
        ArchiveWriter(file) as archive,
    ):
        for number in shard.subjects:
            (subject,) = draw_subjects(recipe, [number])
            for photograph in photographs(recipe.seed, subject, opened):
                archive.add(photograph.key, photograph.members)
                told(1)
    return path


@contextmanager
def drawing() -> Iterator[Draw]:
    """One stage for all the shards of a process."""
    with Stage() as stage:
        yield partial(_told, stage=stage)


def _told(recipe: Recipe, shard: Shard, folder: Path, told: Told, *, stage: Stage) -> Beside:
    """Make a shard, and tell what it adds to what is told beside the shards."""
    return beside_of(write_shard(recipe, shard, folder, told, stage=stage), first_picture(recipe, shard))
