"""The ``shares`` command: how much of where the head went each piece did."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import MOMENTS, Frames_, Inches_, Json_, Swing_, of_a_golfer

Against_ = Annotated[
    str,
    typer.Option(
        metavar="steady|address|turn",
        help="steady: what departs from the centred turn that holds this head. turn: what holds the head, counted "
        "from address, the shoulder turn being one about the trunk's own inclined axis. address: from address, "
        "every piece as it stands; its large shares cancel.",
    ),
]


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(shares)


@of_a_golfer
def shares(
    preset_or_file: Swing_,
    against: Against_ = "steady",
    *,
    settings: list[str],
    frames: Frames_ = MOMENTS,
    json_file: Json_ = None,
    out: Annotated[
        str | None, typer.Option(metavar="FOLDER", help="Write a page with the arrows that add up, and the JSON.")
    ] = None,
    inches: Inches_ = False,
) -> None:
    """Say how much of where the head went each piece did.

    The shares are exact and add up. One piece changed from what holds the head gets all of it.
    """
    from .work import shares_to

    shares_to(
        preset_or_file,
        settings,
        frames,
        against=against,
        json_file=json_file,
        out=out,
        inches=inches,
    )
