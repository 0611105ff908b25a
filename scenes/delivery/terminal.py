"""Text for the terminal: one console, coloured only where it is one, and which moments are shown."""

from __future__ import annotations

import shutil
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console, RenderableType

ROWS = 9
"""Moments shown of a swing; files hold them all."""
_NARROWEST = 80


def render(*items: RenderableType) -> str:
    """Text for standard output, coloured only where that is a terminal."""
    console = _console()
    with console.capture() as captured:
        for item in items:
            console.print(item)
    return captured.get()


def _console() -> Console:
    from rich.console import Console

    width = max(_NARROWEST, shutil.get_terminal_size((100, 24)).columns)
    return Console(file=sys.stdout, width=width, highlight=False)


def shown_moments(count: int, rows: int = ROWS) -> list[int]:
    """Indices of moments evenly spread from the first to the last."""
    if count <= rows:
        return list(range(count))
    return [round(k * (count - 1) / (rows - 1)) for k in range(rows)]
