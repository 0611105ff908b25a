"""What there is to choose from, as tables in the terminal."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from ..delivery.terminal import render
from ..setups.quantities import Entry


def preset_table(lines: list[tuple[str, str]]) -> str:
    """Names of presets with what each shows."""
    from rich.table import Table
    from rich.text import Text

    table = Table(box=None, padding=(0, 2, 0, 0), show_header=False)
    table.add_column(no_wrap=True, style="bold")
    table.add_column()
    for name, shows in lines:
        table.add_row(name, Text(shows))
    return render(table)


def settable_table(entries: Iterable[Entry]) -> str:
    """Every name that can be set, by section, with its unit, what is allowed and what it is."""
    from rich.box import SIMPLE
    from rich.table import Table
    from rich.text import Text

    tables = []
    for section, group in groupby(entries, key=lambda entry: entry.section):
        table = Table(title=Text(f"[{section}]", style="bold"), title_justify="left", box=SIMPLE, padding=(0, 1))
        table.add_column("name", no_wrap=True)
        for heading in ("unit", "allowed", "what it is"):
            table.add_column(heading)
        for entry in group:
            quantity = entry.quantity
            if quantity is None:
                table.add_row(entry.name, "", " or ".join(entry.words), "")
            else:
                allowed = f"{quantity.low:g} to {quantity.high:g}"
                table.add_row(entry.name, quantity.unit, allowed, quantity.meaning)
        tables.append(table)
    return render(*tables)
