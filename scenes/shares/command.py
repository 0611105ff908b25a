"""The ``shares`` command: how much of where the head went each piece did."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import (
    Frames_,
    Inches_,
    Json_,
    Left_,
    Mass_,
    Set_,
    Sex_,
    Stature_,
    Student_,
    Swing_,
    spoken_errors,
    with_body,
)

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


@spoken_errors
def shares(
    preset_or_file: Swing_,
    against: Against_ = "steady",
    settings: Set_ = None,
    frames: Frames_ = 41,
    stature_cm: Stature_ = None,
    mass_kg: Mass_ = None,
    sex: Sex_ = None,
    left_handed: Left_ = False,
    student: Student_ = None,
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
        with_body(settings, stature_cm, mass_kg, sex, left_handed, student),
        frames,
        against=against,
        json_file=json_file,
        out=out,
        inches=inches,
    )
