"""The ``experiment`` command: a golfer tries one thing."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import Inches_, Json_, Views_, of_a_golfer


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(experiment)


@of_a_golfer
def experiment(
    name: Annotated[
        str,
        typer.Argument(
            metavar="NAME",
            help="What to try: any number that --set takes, such as trail_flare, stance_width or "
            "trail_hip_internal_rotation; flare, hip_internal_rotation and the like for both sides at once; "
            "knee_flex_change for the lead knee flexing and the trail knee straightening by as much.",
        ),
    ],
    first: Annotated[
        str, typer.Option("--from", metavar="A", help="First value, degrees, cm or such as 8in; tilt may be steady-10.")
    ],
    last: Annotated[str, typer.Option("--to", metavar="B", help="Last value.")],
    preset_or_file: Annotated[
        str, typer.Argument(metavar="[PRESET_OR_FILE]", help="The swing it is tried in; centred if not given.")
    ] = "centred",
    steps: Annotated[
        int | None,
        typer.Option(metavar="NUMBER", help="How many values from A to B, 2 to 61; about nine if not given."),
    ] = None,
    *,
    settings: list[str],
    json_file: Json_ = None,
    out: Annotated[
        str | None, typer.Option(metavar="FOLDER", help="Write a page with curves and pictures, and the JSON.")
    ] = None,
    pictures: Annotated[bool, typer.Option("--pictures/--no-pictures", help="Pictures on the page.")] = True,
    views: Views_ = None,
    inches: Inches_ = False,
) -> None:
    """Try one thing in steps: the hip turn there is, what stops it, and what the swing does.

    For example: turnstill experiment lead_flare --from 0 --to 40
    """
    from .work import experiment_to

    experiment_to(
        name,
        first,
        last,
        steps,
        preset_or_file,
        settings,
        json_file=json_file,
        out=out,
        pictures=pictures,
        views=views,
        inches=inches,
    )
