"""Where each view of each swing stands in a film or a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...model.errors import TurnstillError

PANE_WIDTH, PANE_HEIGHT = 640, 720
LEAST, MOST = 160, 3840
GAP = 4
"""Pixels between panes; even, so that what is left can be even too."""
_SHAPE = 0.8
"""Width over height at which a view is about as much too narrow as too low for the club (by looking)."""


@dataclass(frozen=True)
class Pane:
    """One view of one swing, and its place.

    Attributes:
        swing: index of the swing.
        view: a key of ``turnstill.scenes.views.names.VIEW_TITLES``.
        left, top, width, height: pixels.
    """

    swing: int
    view: str
    left: int
    top: int
    width: int
    height: int

    @property
    def place(self) -> tuple[slice, slice]:
        """Rows and columns in the whole picture."""
        return slice(self.top, self.top + self.height), slice(self.left, self.left + self.width)


def size_of(words: str) -> tuple[int, int]:
    """``1280x720`` as width and height, rounded down to even numbers as most films need.

    Raises:
        TurnstillError: for anything else.
    """
    parts = words.lower().replace("×", "x").split("x")
    if len(parts) == 2 and all(part.strip().isascii() and part.strip().isdigit() for part in parts):
        width, height = (int(part[:9]) for part in parts)
        if LEAST <= width <= MOST and LEAST <= height <= MOST:
            return width - width % 2, height - height % 2
    raise TurnstillError(
        f"--size was {words[:40]!r}, but must be WIDTHxHEIGHT in pixels, each {LEAST} to {MOST}, for example 1280x720."
    )


def default_size(swings: int, views: Sequence[str]) -> tuple[int, int]:
    """Views side by side for one swing; for two, the swings side by side and a row for each view."""
    columns, rows = (len(views), 1) if swings == 1 else (swings, len(views))
    return columns * PANE_WIDTH, rows * PANE_HEIGHT


def panes(swings: int, views: Sequence[str], size: tuple[int, int]) -> list[Pane]:
    """The arrangement in which the figures are largest: one row, one column, or a row for each view.

    The swings of one view always stand next to each other, since they are what is compared.
    """
    asked = [(swing, view) for view in views for swing in range(swings)]
    ways = {swings, len(asked), 1}

    def figure(columns: int) -> tuple[float, int]:
        one = grid(asked, columns, size)[0]
        return min(one.height, one.width / _SHAPE), columns

    return grid(asked, max(ways, key=figure), size)


def grid(asked: Sequence[tuple[int, str]], columns: int, size: tuple[int, int]) -> list[Pane]:
    """Panes of one size in rows.

    Args:
        asked: swing and view of each, row by row.
        columns: in each row.
        size: of the whole, pixels.
    """
    rows = -(-len(asked) // columns)
    width, height = (size[0] - GAP * (columns - 1)) // columns, (size[1] - GAP * (rows - 1)) // rows
    return [
        Pane(swing, view, k % columns * (width + GAP), k // columns * (height + GAP), width, height)
        for k, (swing, view) in enumerate(asked)
    ]
