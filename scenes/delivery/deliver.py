"""What a command hands over: a page with its numbers, a file of numbers, and a table in the terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from .folder import PAGE_FILE, new_folder
from .json_text import json_text
from .terminal import tell
from .writing import STANDARD_OUTPUT, utf8, write_text

if TYPE_CHECKING:
    from pydantic import BaseModel


def deliver(
    report: BaseModel,
    page: Callable[[], str],
    table: Callable[[], str],
    *,
    numbers_file: str,
    json_file: str | None = None,
    out: str | None = None,
) -> None:
    """Write what was asked for, and print the table unless standard output carries the JSON.

    Args:
        report: what page, table and JSON are made of.
        page: makes the page.
        table: makes the table.
        numbers_file: in the folder, the report and the list of the folder's files.
        json_file: where the report goes; ``-`` is standard output.
        out: the folder that the page and the report go to.

    Raises:
        TurnstillError: where something cannot be written; an earlier result is then as it was.
    """
    numbers = json_text(report)
    if out is not None:
        with new_folder(out, numbers_file) as folder:
            (folder / PAGE_FILE).write_bytes(utf8(page()))
            (folder / numbers_file).write_bytes(utf8(json_text(report, [PAGE_FILE, numbers_file])))
    if json_file is not None:
        write_text(json_file, numbers)
    if json_file != STANDARD_OUTPUT:
        sys.stdout.write(table())
        if out is not None:
            tell(f"The page is {Path(out) / PAGE_FILE}")
