"""The ``detector`` commands: make what finds the golfer in films, once."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import spoken_errors


def register(app: typer.Typer) -> None:
    """Add the commands to the command line."""
    detector = typer.Typer(
        help="What finds the golfer in films for turnstill read: make it, once.",
        no_args_is_help=True,
        rich_markup_mode=None,
    )
    detector.command("make")(make)
    detector.command("where")(where)
    app.add_typer(detector, name="detector")


_At = Annotated[
    str | None,
    typer.Option(
        "--at", metavar="FOLDER", envvar="TURNSTILL_DETECTOR", help="Its folder; else with the user's other data."
    ),
]


@spoken_errors
def make(
    at: _At = None,
    python: Annotated[
        str | None, typer.Option(metavar="FILE", help="The Python to make it of, 3.9 to 3.12; else this program's.")
    ] = None,
) -> None:
    """Make an environment of its own for the detector, some 400 MB, by venv and pip.

    Its packages are fetched once, from where pip is set to. Afterwards nothing is fetched, and no film or picture ever
    leaves this machine.
    """
    from .making import make_to

    make_to(at, python)


@spoken_errors
def where(at: _At = None) -> None:
    """Say where the detector is, and what it is."""
    from ..delivery.terminal import tell
    from .environment import required

    environment = required(at)
    tell(f"{environment.detector} is in {environment.folder}")
