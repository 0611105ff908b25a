"""What the command asks for."""

from __future__ import annotations

from ....model.errors import TurnstillError


def look_to(folder: str, out: str, *, results: str | None) -> None:
    """Draw a sheet of samples."""
    raise TurnstillError("This command is not built yet; turnstill dataset recipes lists what there will be.")
