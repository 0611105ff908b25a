"""The ``simulate`` command: one swing as a table, JSON and a spreadsheet."""

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


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(simulate)


@spoken_errors
def simulate(
    preset_or_file: Swing_,
    settings: Set_ = None,
    frames: Frames_ = 41,
    stature_cm: Stature_ = None,
    mass_kg: Mass_ = None,
    sex: Sex_ = None,
    left_handed: Left_ = False,
    student: Student_ = None,
    json_file: Json_ = None,
    csv_file: Annotated[
        str | None,
        typer.Option("--csv", metavar="FILE", help="Write a spreadsheet, a row a moment; - means the screen."),
    ] = None,
    inches: Inches_ = False,
) -> None:
    """Simulate one backswing and print it as a table.

    The table says where the head goes, what the trunk's inclination and each piece do on the way, and what the body
    did not allow.
    """
    from .work import simulate_to

    simulate_to(
        preset_or_file,
        with_body(settings, stature_cm, mass_kg, sex, left_handed, student),
        frames,
        json_file=json_file,
        csv_file=csv_file,
        inches=inches,
    )
