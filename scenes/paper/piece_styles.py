"""How pieces are drawn, the same on every page."""

from __future__ import annotations

from ..words.pieces import NAMES
from .styles import STYLES, Style

PIECE_STYLES: dict[str, Style] = dict(
    zip(NAMES, (*STYLES, Style("#7a5c00", "8 2 2 2 2 2", "circle"), Style("#00646b", "1 3", "square")), strict=True)
)
