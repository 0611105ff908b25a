"""The ``strip`` command: moments of a swing side by side."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import TOP, Through_, Views_, of_a_golfer
from .command import Swings_


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(strip)


@of_a_golfer
def strip(
    swings: Swings_,
    moments: Annotated[int, typer.Option(metavar="NUMBER", help="How many, address and top with them, 2 to 9.")] = 5,
    views: Views_ = None,
    through: Through_ = TOP,
    out: Annotated[
        str | None, typer.Option(metavar="FILE", help="Where to write, a .png; named after the swings if not given.")
    ] = None,
    *,
    settings: list[str],
) -> None:
    """Draw moments of one or two backswings as one picture, from face-on and down the line, or from above.

    In a picture's corner is the trunk's angle from the vertical: its lean face-on, its inclination down the line;
    from above, the turn of hips and shoulders.
    """
    from .strip import strip_to

    strip_to(
        swings,
        settings,
        moments=moments,
        views=views,
        out=out,
        through=through,
    )
