"""What the command asks for."""

from __future__ import annotations

from ....model.errors import TurnstillError


def score_to(folder: str, results: str, *, split: str, json_file: str | None, out: str | None) -> None:
    """Score a results file on a split."""
    raise TurnstillError("This command is not built yet; turnstill dataset recipes lists what there will be.")
