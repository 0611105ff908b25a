"""What the command asks for."""

from __future__ import annotations

from ....model.errors import TurnstillError


def make_to(recipe: str, out: str, *, workers: int, scheduler: str | None) -> None:
    """Make the data set that a recipe asks for in the folder ``out``."""
    raise TurnstillError("This command is not built yet; turnstill dataset recipes lists what there will be.")
