"""The ``sheet`` command: one A4 page to take home."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import Inches_, Json_, Swing_, of_a_golfer


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(sheet)


@of_a_golfer
def sheet(
    preset_or_file: Swing_,
    feel: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PIECE[=AMOUNT]",
            help="What to change, such as extension or extension=8 (how much more of it a film is to show, degrees or "
            "cm); the piece that moved the head most if not given.",
        ),
    ] = None,
    felt: Annotated[
        str | None,
        typer.Option(
            metavar="AMOUNT",
            help="How much of it to feel, as turnstill record next says; if not given, what an unknown golfer is taken "
            "to need.",
        ),
    ] = None,
    *,
    settings: list[str],
    out: Annotated[
        str | None, typer.Option(metavar="FILE", help="Where to write, an .html; named after the swing if not given.")
    ] = None,
    json_file: Json_ = None,
    inches: Inches_ = False,
) -> None:
    """Write one A4 page to take home: where the head goes now and after one feel, and how to check it.

    The feel is told in lengths that this body can find with a hand, and against what a wall or a stick would be
    touched by. Stop with pain; never force a range of motion.
    """
    from .work import sheet_to

    sheet_to(preset_or_file, settings, feel=feel or [], felt=felt, out=out, json_file=json_file, inches=inches)
