"""The ``live`` command: one or two swings in a page that answers while they are changed."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import of_a_golfer

LOOPBACK = "127.0.0.1"
"""This computer alone."""


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(live)


@of_a_golfer
def live(
    swings: Annotated[
        list[str] | None,
        typer.Argument(metavar="[SWING] [SWING]", help="Up to two presets or files of your own; centred if not given."),
    ] = None,
    out: Annotated[
        str | None,
        typer.Option(
            metavar="FOLDER",
            help="Where what you save goes, made if it is missing; the folder you are in if not given.",
        ),
    ] = None,
    *,
    settings: list[str],
    port: Annotated[
        int, typer.Option(metavar="NUMBER", help="Port to serve the page at; a free one if not given.")
    ] = 0,
    host: Annotated[
        str,
        typer.Option(
            metavar="ADDRESS",
            help="This computer alone can open the page, unless you name another address of it here: then others in "
            "your network can open it too, and change and save what you can.",
        ),
    ] = LOOPBACK,
    through: Annotated[
        str | None,
        typer.Option(
            metavar="top|impact",
            help="Where the swings end at first: at the top, or past the ball; if not given, past the ball where one "
            "asks something of impact.",
        ),
    ] = None,
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="Open the page in the browser.")] = True,
) -> None:
    """Change swings in a page and see at once where the head goes.

    The page is served by this computer for this computer alone, under an address that nobody can guess, until you end
    it with Ctrl-C. Nothing is sent anywhere else. What you set acts on both swings. A switch in it lets them go on past
    the ball.
    """
    from .work import live_to

    live_to(swings or [], settings, out=out, port=port, host=host, browser=browser, through=through)
