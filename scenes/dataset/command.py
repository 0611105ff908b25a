"""The ``dataset`` commands: labelled pictures of drawn golfers, made, checked, scored and looked at."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from ..delivery.outcome import USER_ERROR
from ..setups.options import Json_, fail, spoken_errors

_Folder = Annotated[str, typer.Argument(metavar="DIR", help="The data set's folder.")]


def register(app: typer.Typer) -> None:
    """Add the commands to the command line."""
    dataset = typer.Typer(
        help="Make labelled pictures of drawn golfers, to test a pose detector or a fault classifier on.",
        no_args_is_help=True,
        rich_markup_mode=None,
    )
    dataset.command("recipes")(recipes)
    dataset.command("make")(make)
    dataset.command("check")(check)
    dataset.command("score")(score)
    dataset.command("look")(look)
    app.add_typer(dataset, name="dataset")


@spoken_errors
def recipes(
    name: Annotated[str | None, typer.Argument(metavar="NAME", help="Print this one, to start your own from.")] = None,
) -> None:
    """List the recipes that come along, or print one, every field explained."""
    from .plan.recipes import recipe_text, recipe_words

    if name is None:
        sys.stdout.write("".join(f"{one:8}{words}\n" for one, words in recipe_words().items()))
        return
    from ..delivery.writing import STANDARD_OUTPUT, write_text

    write_text(STANDARD_OUTPUT, recipe_text(name))


@spoken_errors
def make(
    recipe: Annotated[
        str, typer.Argument(metavar="RECIPE", help="A name that turnstill dataset recipes lists, or your own file.")
    ],
    out: Annotated[str, typer.Option(metavar="DIR", help="The folder to write; what it has already is kept.")],
    workers: Annotated[int, typer.Option(metavar="NUMBER", help="Processes that draw, each its own golfers.")] = 1,
    scheduler: Annotated[
        str | None, typer.Option(metavar="ADDRESS", help="Draw on a dask cluster: its scheduler, tcp://host:port.")
    ] = None,
) -> None:
    """Make a data set; a run that was stopped goes on where it was."""
    from .making.work import make_to

    make_to(recipe, out, workers=workers, scheduler=scheduler)


@spoken_errors
def check(
    folder: _Folder,
    again: Annotated[int, typer.Option(metavar="NUMBER", help="Pictures to draw anew and compare, byte for byte.")] = 5,
) -> None:
    """Check that a data set is whole and its labels true; the exit status is 2 where something is not."""
    from .checking.work import check_to

    if not check_to(folder, again=again):
        raise typer.Exit(USER_ERROR)


@spoken_errors
def score(
    folder: _Folder,
    results: Annotated[
        str, typer.Argument(metavar="RESULTS", help="COCO keypoint results, JSON; or probabilities of faults, CSV.")
    ],
    split: Annotated[str, typer.Option(metavar="SPLIT", help="The split to score on.")] = "test",
    json_file: Json_ = None,
    out: Annotated[str | None, typer.Option(metavar="FOLDER", help="Write a page, and the JSON.")] = None,
    sigmas: Annotated[
        str | None, typer.Option(metavar="FILE.json", help="Own sigmas of the seventeen keypoints; COCO's otherwise.")
    ] = None,
) -> None:
    """Score what a pose detector made of a data set's pictures, or a classifier of faults of its swings."""
    from .scoring.kind import are_faults

    if are_faults(results):
        from ...model.errors import TurnstillError
        from .fault_scoring.work import score_faults_to

        if sigmas is not None:
            raise TurnstillError("--sigmas belongs to keypoints, but RESULTS is a table of faults; leave it out.")
        score_faults_to(folder, results, split=split, json_file=json_file, out=out)
        return
    from .scoring.work import score_to

    score_to(folder, results, split=split, json_file=json_file, out=out, sigmas=sigmas)


@spoken_errors
def look(
    folder: _Folder,
    out: Annotated[str, typer.Option(metavar="FILE.png", help="The picture to write.")],
    results: Annotated[
        str | None, typer.Option(metavar="RESULTS", help="COCO keypoint results: show where they are worst.")
    ] = None,
    split: Annotated[
        str | None, typer.Option(metavar="SPLIT", help="With RESULTS: the split that they are of; test if not given.")
    ] = None,
) -> None:
    """Draw a sheet of samples with their labels over them, and how the labels are spread."""
    from .looking.work import look_to

    if split is not None and results is None:
        fail("--split is the split that results are of; name them by --results, or leave it out.")
    look_to(folder, out, results=results, split="test" if split is None else split)
