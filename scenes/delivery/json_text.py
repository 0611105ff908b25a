"""A report as JSON text."""

from __future__ import annotations

import json
from typing import Any

from ...model.errors import TurnstillError


def json_text(report: dict[str, Any]) -> str:
    """A report as JSON.

    Raises:
        TurnstillError: if a number is not finite, which JSON cannot carry.
    """
    try:
        return json.dumps(report, indent=1, allow_nan=False, ensure_ascii=False) + "\n"
    except ValueError as wrong:
        raise TurnstillError(
            "This swing has numbers that are not finite, so the body or the address cannot be; nothing was written."
        ) from wrong
