"""The ``presets`` commands: what there is to choose from and what can be set."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from ..setups.options import spoken_errors


def register(app: typer.Typer) -> None:
    """Add the commands to the command line."""
    listing = typer.Typer(
        help="List the presets, or print one to start your own file from.",
        invoke_without_command=True,
        rich_markup_mode=None,
    )
    listing.callback()(presets)
    listing.command("show")(show)
    listing.command("settable")(settable)
    app.add_typer(listing, name="presets")


@spoken_errors
def presets(context: typer.Context) -> None:
    """List the presets with one line each."""
    if context.invoked_subcommand is not None:
        return
    from ..setups.presets import load, preset_names
    from .table import preset_table

    sys.stdout.write(preset_table([(name, load(name).shows) for name in preset_names()]))


@spoken_errors
def show(name: Annotated[str, typer.Argument(metavar="PRESET", help="Its name, for example centred.")]) -> None:
    """Print a preset as TOML, to start your own file from."""
    from ..delivery.writing import STANDARD_OUTPUT, write_text
    from ..setups.presets import preset_text

    write_text(STANDARD_OUTPUT, preset_text(name))


@spoken_errors
def settable() -> None:
    """List every name that --set and a file of your own can give, with what is allowed."""
    from ..setups.quantities import entries
    from .table import settable_table

    sys.stdout.write(settable_table(entries()))
