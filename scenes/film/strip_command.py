"""The ``strip`` command: moments of a swing side by side."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import Left_, Mass_, Set_, Sex_, Stature_, Student_, spoken_errors, with_body
from .command import Swings_, Views_


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(strip)


@spoken_errors
def strip(
    swings: Swings_,
    moments: Annotated[int, typer.Option(metavar="NUMBER", help="How many, address and top with them, 2 to 9.")] = 5,
    views: Views_ = None,
    out: Annotated[
        str | None, typer.Option(metavar="FILE", help="Where to write, a .png; named after the swings if not given.")
    ] = None,
    settings: Set_ = None,
    stature_cm: Stature_ = None,
    mass_kg: Mass_ = None,
    sex: Sex_ = None,
    left_handed: Left_ = False,
    student: Student_ = None,
) -> None:
    """Draw moments of one or two backswings as one picture, from face-on and down the line.

    In a picture's corner is the trunk's angle from the vertical: its lean face-on, its inclination down the line.
    """
    from .strip import strip_to

    strip_to(
        swings,
        with_body(settings, stature_cm, mass_kg, sex, left_handed, student),
        moments=moments,
        views=views,
        out=out,
    )
