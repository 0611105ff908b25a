"""The figure's module as one text: the files beside this one, each of which is an ES module of its own.

A page has no second file to import from, so the files stand in one element, one after the other in the order in which
they import each other, without the lines that import. So no two of them have a name at their top level in common.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

FILES = ("payload", "figure", "camera", "shaders", "draw", "scene", "marks", "view")
_IMPORT = re.compile(r'^import .*? from "[\w./]+";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=const|class|function|async)", re.MULTILINE)


@cache
def figure_module() -> str:
    """The text."""
    here = Path(__file__).parent
    return "\n".join(_bare((here / f"{name}.js").read_text(encoding="utf-8")) for name in FILES)


def with_figure(script: str) -> str:
    """A page's own script that imports from these files, with all of them before it."""
    return f"{figure_module()}\n{_bare(script)}"


def _bare(source: str) -> str:
    return _EXPORT.sub("", _IMPORT.sub("", source))
