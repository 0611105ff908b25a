"""The ``compare`` command: two to six swings in one page."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import MOMENTS, TOP, Frames_, Inches_, Through_, Views_, of_a_golfer


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(compare)


@of_a_golfer
def compare(
    swings: Annotated[list[str], typer.Argument(metavar="SWING...", help="Two to six presets or files of your own.")],
    out: Annotated[
        str | None,
        typer.Option(
            metavar="FOLDER",
            help="Where to write; named after the swings if not given. An earlier comparison there is replaced.",
        ),
    ] = None,
    *,
    settings: list[str],
    frames: Frames_ = MOMENTS,
    views: Views_ = None,
    inches: Inches_ = False,
    through: Through_ = TOP,
) -> None:
    """Compare two or more swings in one page.

    It shows them from face-on and down the line, or from above, as figures that move in step and turn under your
    finger and as pictures, with numbers and charts, says what differs and why, and can be printed. What you set acts
    on all of them. With --through impact the figures go on past the ball, and what differs at impact is told, charted
    and pictured as well; swings that are alike up to the top have pictures of impact alone.
    """
    from .work import compare_to

    body = settings
    compare_to(swings, body, frames, out=out, views=views, inches=inches, through=through)
