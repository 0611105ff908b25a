"""A table in the terminal whose columns are measures."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rich.table import Table

    from ..words.measures import Measure


def measure_table(measures: Iterable[Measure], inches: bool, *firsts: str) -> Table:
    """An empty table: columns of its own, the first of them words that wrap where there is little room, then
    the measures with their units.
    """
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1), pad_edge=False)
    for k, heading in enumerate(firsts):
        table.add_column(heading, justify="left" if k == 0 else "right", no_wrap=k > 0)
    for one in measures:
        lines = [*one.short, *[""] * (3 - len(one.short)), one.unit(inches, degree="deg")]
        table.add_column("\n".join(lines), justify="right", no_wrap=True)
    return table
