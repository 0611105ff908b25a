"""A changed text stands in for one module's own, in this process and in those that it starts; no file is touched."""

from __future__ import annotations

import os
import sys
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from pathlib import Path
from types import CodeType, ModuleType

MODULE = "TURNSTILL_MUTANT_MODULE"
TEXT = "TURNSTILL_MUTANT_TEXT"
"""Environment variables: the module's full name, and the file with the text that stands in for it."""


class _Loader(SourceFileLoader):
    """The module's own loader, but for the text."""

    text = ""

    def get_code(self, fullname: str) -> CodeType:
        return compile(self.text, self.path, "exec", dont_inherit=True)

    def get_source(self, fullname: str) -> str:
        return self.text


class StandIn(MetaPathFinder):
    """Finds one module only."""

    def __init__(self, module: str, text: str) -> None:
        self.module, self.text = module, text

    def find_spec(self, fullname: str, path: object = None, target: ModuleType | None = None) -> ModuleSpec | None:
        if fullname != self.module:
            return None
        spec = PathFinder.find_spec(fullname, path)  # type: ignore[arg-type]
        if spec is None or spec.origin is None:
            return None
        spec.loader = _Loader(fullname, spec.origin)
        spec.loader.text = self.text
        return spec


def install() -> None:
    """Stand in for the module that the environment names, if it names one."""
    if os.environ.get(MODULE):
        text = Path(os.environ[TEXT]).read_text(encoding="utf-8")
        sys.meta_path.insert(0, StandIn(os.environ[MODULE], text))
