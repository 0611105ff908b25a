from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from turnstill.model.arrays import Array
from turnstill.model.swing.rehearsal import Rehearsal
from turnstill.scenes.delivery import writing
from turnstill.scenes.record.films import head_slopes
from turnstill.scenes.setups import perform as performing
from turnstill.scenes.setups.perform import Performed, perform
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply

# Commands are mostly tried on the same few golfers. What a process has simulated it does not simulate again: it is the
# same to the last bit (tests/model/test_rehearsal.py).
_SIMULATED = Rehearsal(most=64)
performing.simulate = _SIMULATED.simulate
performing.Rehearsal = lambda: _SIMULATED


@pytest.fixture(scope="session")
def performed() -> Callable[..., Performed]:
    """Performs a preset with settings, each asking once a session."""
    known: dict[tuple[str, ...], Performed] = {}

    def get(name: str, *settings: str, frames: int = 9) -> Performed:
        asking = (name, str(frames), *settings)
        if asking not in known:
            known[asking] = perform(apply(load(name), settings), frames)
        return known[asking]

    return get


@pytest.fixture(scope="session")
def slopes() -> Array:
    """What a little more of each piece does to the centred preset's head."""
    return head_slopes(load("centred"))


@pytest.fixture
def write(tmp_path: Path) -> Callable[[str, str], str]:
    """Writes a preset file and returns its path."""

    def to(name: str, text: str) -> str:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    return to


@pytest.fixture(params=[KeyboardInterrupt, OSError(28, "No space left on device")])
def failing_disk(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever is written does not reach the disk: stopped by the user, or for want of room."""

    def fail(_: int) -> None:
        raise request.param

    monkeypatch.setattr(writing.os, "fsync", fail)
