"""The ``strike`` command: where the club bottoms out, and what each piece does to that."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import Inches_, Json_, Swing_, of_a_golfer


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(strike)


@of_a_golfer
def strike(
    preset_or_file: Swing_,
    other: Annotated[
        str | None, typer.Argument(metavar="[PRESET_OR_FILE]", help="A second swing, to see both arcs.")
    ] = None,
    *,
    settings: list[str],
    json_file: Json_ = None,
    out: Annotated[
        str | None, typer.Option(metavar="FOLDER", help="Write a page with the arcs to scale, and the JSON.")
    ] = None,
    inches: Inches_ = False,
) -> None:
    """Say where the club bottoms out and which way it goes at the ball.

    The arms bring the club to the ball in this body's centred swing; any other swing gets the same arms relative to the
    chest, so that what the body did shows. The path alone: no speed, face or ball flight.
    """
    from .work import strike_to

    strike_to(
        [preset_or_file, *([other] if other is not None else [])],
        settings,
        json_file=json_file,
        out=out,
        inches=inches,
    )
