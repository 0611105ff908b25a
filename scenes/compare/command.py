"""The ``compare`` command: two to six swings in one page."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import (
    Frames_,
    Inches_,
    Left_,
    Mass_,
    Set_,
    Sex_,
    Stature_,
    Student_,
    spoken_errors,
    with_body,
)


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(compare)


@spoken_errors
def compare(
    swings: Annotated[list[str], typer.Argument(metavar="SWING...", help="Two to six presets or files of your own.")],
    out: Annotated[
        str | None,
        typer.Option(
            metavar="FOLDER",
            help="Where to write; named after the swings if not given. An earlier comparison there is replaced.",
        ),
    ] = None,
    settings: Set_ = None,
    frames: Frames_ = 41,
    stature_cm: Stature_ = None,
    mass_kg: Mass_ = None,
    sex: Sex_ = None,
    left_handed: Left_ = False,
    student: Student_ = None,
    film: Annotated[
        bool, typer.Option("--film/--no-film", help="Put a film of all swings into the page; without is quicker.")
    ] = True,
    inches: Inches_ = False,
) -> None:
    """Compare two or more swings in one page.

    It shows them from face-on and down the line with pictures, numbers and charts, says what differs and why, and
    can be printed. What you set acts on all of them.
    """
    from .work import compare_to

    body = with_body(settings, stature_cm, mass_kg, sex, left_handed, student)
    compare_to(swings, body, frames, out=out, film=film, inches=inches)
