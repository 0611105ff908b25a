"""The ``film`` command: one or two swings moving, from the views asked for."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import Views_, of_a_golfer

Swings_ = Annotated[list[str], typer.Argument(metavar="SWING...", help="One or two presets or files of your own.")]


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(film)


@of_a_golfer
def film(
    swings: Swings_,
    views: Views_ = None,
    out: Annotated[
        str | None,
        typer.Option(
            metavar="FILE",
            help="Where to write: .mp4, .gif or .webp; an .mp4 named after the swings if not given.",
        ),
    ] = None,
    seconds: Annotated[float, typer.Option(metavar="SECONDS", help="How long one round of the film takes.")] = 4.0,
    size: Annotated[
        str | None, typer.Option(metavar="WIDTHxHEIGHT", help="Of the whole film in pixels, for example 1280x720.")
    ] = None,
    *,
    settings: list[str],
) -> None:
    """Film one swing, or two in step, from face-on and down the line, or from above.

    The backswing runs to the top, rests there and runs back, so that the film can loop. The address stays as an
    outline; the head, its path and the trunk's line are marked, with its lean face-on and its
    inclination down the line; from above, the hip line, the shoulder line and the feet with their turn and flare. What
    you set acts on both swings.
    """
    from .work import film_to

    film_to(
        swings,
        settings,
        views=views,
        out=out,
        seconds=seconds,
        size=size,
    )
