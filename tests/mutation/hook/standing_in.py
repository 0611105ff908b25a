"""A changed text stands in for one module's or template's own, in this process and in those that it starts.

No file is touched.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from pathlib import Path
from types import CodeType, ModuleType
from typing import Any

FILE = "TURNSTILL_MUTANT_FILE"
TEXT = "TURNSTILL_MUTANT_TEXT"
"""Environment variables: the file that is changed, and the file with the text that stands in for it."""

Change = Callable[[Path, str], str]


class _Loader(SourceFileLoader):
    """The module's own loader, but for the text."""

    text = ""

    def get_code(self, fullname: str) -> CodeType:
        return compile(self.text, self.path, "exec", dont_inherit=True)

    def get_source(self, fullname: str) -> str:
        return self.text


class StandIn(MetaPathFinder):
    """Finds one module only."""

    def __init__(self, file: Path, text: str) -> None:
        self.file, self.text = file, text
        self.last = file.parent.name if file.stem == "__init__" else file.stem

    def find_spec(self, fullname: str, path: Any = None, target: ModuleType | None = None) -> ModuleSpec | None:
        if fullname.rpartition(".")[2] != self.last:
            return None
        spec = PathFinder.find_spec(fullname, path)
        if spec is None or spec.origin is None or Path(spec.origin) != self.file:
            return None
        spec.loader = _Loader(fullname, spec.origin)
        spec.loader.text = self.text
        return spec


class _Awaited(MetaPathFinder):
    """Does something with Jinja's loaders when they are imported, for a program that may do without them."""

    def __init__(self, then: Callable[[ModuleType], None]) -> None:
        self.then = then

    def find_spec(self, fullname: str, path: Any = None, target: ModuleType | None = None) -> ModuleSpec | None:
        spec = PathFinder.find_spec(fullname, path) if fullname == "jinja2.loaders" else None
        if spec is None or spec.loader is None:
            return None
        run, then = spec.loader.exec_module, self.then

        def exec_module(module: ModuleType) -> None:
            run(module)
            then(module)

        spec.loader.exec_module = exec_module  # type: ignore[method-assign]
        return spec


def read_templates_through(change: Change) -> None:
    """Let every template pass through ``change(file, text)`` where it is read."""

    def wrap(loaders: ModuleType) -> None:
        own = loaders.FileSystemLoader.get_source

        def get_source(self: Any, environment: Any, template: str) -> tuple[str, str, Callable[[], bool]]:
            text, file, uptodate = own(self, environment, template)
            return change(Path(file), text), file, uptodate

        loaders.FileSystemLoader.get_source = get_source

    if "jinja2.loaders" in sys.modules:
        wrap(sys.modules["jinja2.loaders"])
    else:
        sys.meta_path.insert(0, _Awaited(wrap))


def install() -> None:
    """Stand in for the file that the environment names, if it names one."""
    if not os.environ.get(FILE):
        return
    file, text = Path(os.environ[FILE]), Path(os.environ[TEXT]).read_text(encoding="utf-8")
    if file.suffix == ".py":
        sys.meta_path.insert(0, StandIn(file, text))
    else:
        read_templates_through(lambda read, own: text if read == file else own)
