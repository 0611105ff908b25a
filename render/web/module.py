"""A page's own script as one text: the file, and before it every file that it imports, each of them once.

A page has no second file to import from, so what belongs together stands in one element, without the lines that import
and export. So no two files that meet in a page have a name at their top level in common.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

HERE = Path(__file__).parent
_IMPORT = re.compile(r'^import [^;]*? from "([\w./]+)";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=const|class|function|async)", re.MULTILINE)


@cache
def bundled(script: Path) -> str:
    """The text of an ES module and of all that it imports by relative names, what is imported first."""
    order: dict[Path, str] = {}
    _collect(script.resolve(), order)
    return "\n".join(order.values())


def figure_module() -> str:
    """The text of everything in this room: what draws, poses and turns golfers in a page."""
    order: dict[Path, str] = {}
    for script in sorted(HERE.glob("*.js")):
        _collect(script.resolve(), order)
    return "\n".join(order.values())


def _collect(script: Path, order: dict[Path, str]) -> None:
    if script in order:
        return
    source = script.read_text(encoding="utf-8")
    for name in _IMPORT.findall(source):
        _collect((script.parent / name).resolve(), order)
    order[script] = _EXPORT.sub("", _IMPORT.sub("", source))
