"""A row of a page's table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

Cell = TypeVar("Cell")


@dataclass(frozen=True)
class ShownRow(Generic[Cell]):
    """A row with its cells.

    Attributes:
        name: what the row is of.
        note: said small beside it: a unit, or which way counts as positive.
        cells: what stands under each heading.
    """

    name: str
    note: str
    cells: Sequence[Cell]
