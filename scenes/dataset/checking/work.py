"""What the command asks for."""

from __future__ import annotations

from ....model.errors import TurnstillError


def check_to(folder: str, *, again: int) -> bool:
    """Whether everything holds, drawing ``again`` pictures anew; says what does not."""
    raise TurnstillError("This command is not built yet; turnstill dataset recipes lists what there will be.")
