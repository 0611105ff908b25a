"""What the outside checks share."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def mujoco_golfer() -> ModuleType:
    """The module ``mujoco_golfer.py`` beside this file."""
    spec = importlib.util.spec_from_file_location("mujoco_golfer", Path(__file__).parent / "mujoco_golfer.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up by name
    spec.loader.exec_module(module)
    return module
