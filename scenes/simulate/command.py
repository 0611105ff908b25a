"""The ``simulate`` command: one swing as a table, JSON and a spreadsheet."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import MOMENTS, TOP, Frames_, Inches_, Json_, Swing_, Through_, of_a_golfer


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(simulate)


@of_a_golfer
def simulate(
    preset_or_file: Swing_,
    *,
    settings: list[str],
    frames: Frames_ = MOMENTS,
    json_file: Json_ = None,
    csv_file: Annotated[
        str | None,
        typer.Option("--csv", metavar="FILE", help="Write a spreadsheet, a row a moment; - means the screen."),
    ] = None,
    inches: Inches_ = False,
    through: Through_ = TOP,
) -> None:
    """Simulate one backswing and print it as a table.

    The table says where the head goes, what the trunk's inclination and each piece do on the way, and what the body
    did not allow.
    """
    from .work import simulate_to

    simulate_to(
        preset_or_file,
        settings,
        frames,
        json_file=json_file,
        csv_file=csv_file,
        inches=inches,
        through=through,
    )
