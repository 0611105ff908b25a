"""The bar of a long command, where standard error is a terminal."""

from __future__ import annotations

import re
import time

import pytest

from turnstill.scenes.delivery.progress import Progress


def test_it_tells_how_fast_it_goes_and_how_long_it_will_take(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")  # To rich, a terminal.
    monkeypatch.setenv("COLUMNS", "100")
    began = time.monotonic()
    with Progress(1000, pace="pictures") as progress:
        for _ in range(5):
            time.sleep(0.1)
            progress.made(4)
        progress.made(-4)
    lasted = time.monotonic() - began
    told = capsys.readouterr().err
    speeds = [float(found) for found in re.findall(r"(\d+\.\d) pictures a second", told)]
    assert speeds and 0.5 * 16 / lasted < speeds[-1] < 2.5 * 20 / lasted
    assert re.search(r"0:00:\d\d", told)


def test_it_tells_nothing_where_nobody_looks(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("FORCE_COLOR", raising=False)
    with Progress(3, pace="pictures") as progress:
        progress.made(3)
    assert capsys.readouterr() == ("", "")
