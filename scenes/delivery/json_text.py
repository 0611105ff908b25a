"""A report as JSON text."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...model.errors import TurnstillError

if TYPE_CHECKING:
    from pydantic import BaseModel

_BEYOND_ASCII = re.compile(r"[^\n -~]")


def json_text(report: BaseModel, files: Sequence[str] = ()) -> str:
    """A report as JSON, UTF-8 but for characters that cannot be seen, which are escaped.

    Args:
        report: the report.
        files: names of the files of the folder it lies in; where there are any, they come first.

    Raises:
        TurnstillError: if a number is not finite, which JSON cannot carry.
    """
    try:
        content = ({"files": list(files)} if files else {}) | report.model_dump()
        text = json.dumps(content, indent=1, allow_nan=False, ensure_ascii=False) + "\n"
    except ValueError as wrong:
        raise TurnstillError(
            "This swing has numbers that are not finite, so the body or the address cannot be; nothing was written."
        ) from wrong
    return _BEYOND_ASCII.sub(_escaped, text)


def _escaped(found: re.Match[str]) -> str:
    """A character as it is, or escaped where a terminal or a reader's eye would be led astray by it."""
    character = found[0]
    return character if character.isprintable() else json.dumps(character)[1:-1]
