"""The ``map`` command: where the head ends up for any amounts of two pieces."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import Inches_, Json_, Swing_, of_a_golfer

_End = Annotated[
    str | None,
    typer.Option(metavar="VALUE", help="End of the map, degrees, cm or such as 2in; about the swing if not given."),
]


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command("map")(map_command)


@of_a_golfer
def map_command(
    preset_or_file: Swing_,
    x: Annotated[str, typer.Option("--x", metavar="PIECE", help="The piece across.")] = "tilt",
    y: Annotated[str, typer.Option("--y", metavar="PIECE", help="The piece upward.")] = "extension",
    size: Annotated[int, typer.Option(metavar="NUMBER", help="Places to each side, 5 to 201.")] = 61,
    x_from: _End = None,
    x_to: _End = None,
    y_from: _End = None,
    y_to: _End = None,
    *,
    settings: list[str],
    json_file: Json_ = None,
    out: Annotated[
        str | None, typer.Option(metavar="FOLDER", help="Write a page with the map drawn, and the JSON.")
    ] = None,
    inches: Inches_ = False,
) -> None:
    """Map where the head ends up for any amounts of two pieces, the others kept.

    It shows where the head stays still, what the joints do not allow, this swing and the steady answer.
    """
    from .work import map_to

    map_to(
        preset_or_file,
        settings,
        x=x,
        y=y,
        size=size,
        x_range=(x_from, x_to),
        y_range=(y_from, y_to),
        json_file=json_file,
        out=out,
        inches=inches,
    )
