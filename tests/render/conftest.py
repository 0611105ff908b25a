"""Fixtures of the render tests: a hand-made golfer and one open stage."""

from __future__ import annotations

import importlib.util
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

from turnstill.render.figure.figure import Figure
from turnstill.render.stage.stage import Stage


@pytest.fixture(scope="session")
def golf() -> ModuleType:
    """The module ``skeletons.py`` beside this file."""
    spec = importlib.util.spec_from_file_location("render_skeletons", Path(__file__).parent / "skeletons.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def figure(golf: ModuleType) -> Figure:
    return Figure(golf.BODY, golf.address())


@pytest.fixture(scope="session")
def stage() -> Iterator[Stage]:
    with Stage() as opened:
        yield opened
