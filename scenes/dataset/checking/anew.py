"""Pictures drawn again from the request alone, and compared byte for byte."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ....render.stage.stage import Stage
from ...delivery.progress import Progress
from ..layout.reading import DataSet
from ..layout.request import differences, request_tables
from ..making.photographs import photographs
from ..plan.recipe import Recipe
from ..plan.subjects import draw_subjects


def drawn_otherwise(made: DataSet, recipe: Recipe, keys: Sequence[str], progress: Progress) -> Iterator[str]:
    """A sentence for each of those pictures that comes out otherwise now.

    Raises:
        TurnstillError: where no picture can be drawn.
    """
    if not keys:
        return
    versions = request_tables(recipe.request())["versions"]
    differing = [f"{name} {was} there, {now} here" for name, was, now in differences(made.versions, versions)]
    why = f" (made with other packages: {differing[0]})" if differing else ""
    with Stage() as stage:
        for number in sorted({made.label(key)["subject"] for key in keys}):
            (subject,) = draw_subjects(recipe, [number])
            for photograph in photographs(recipe.seed, subject, stage):
                progress.let_in()
                if photograph.key not in keys:
                    continue
                progress.made(1)
                for ending, content in photograph.members.items():
                    if made.stored(photograph.key, ending) != content:
                        yield f"{photograph.key}.{ending} comes out otherwise when it is drawn anew{why}."
