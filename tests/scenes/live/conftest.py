"""A live page of a swing with too much tilt, and the browser that opens it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from browser import UNSEEN, browser, watched
from live_in_browser import begin
from live_server import served


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("live")


@pytest.fixture(scope="module")
def address(folder: Path) -> Iterator[str]:
    with served(folder, "too-much-tilt") as made:
        yield made.address


@pytest.fixture(scope="module")
def opened() -> Iterator[Any]:
    with browser() as chromium:
        yield chromium


@pytest.fixture
def page(opened: Any, address: str) -> Iterator[Any]:
    with watched(opened, 1280, 900, **UNSEEN) as seen:
        begin(seen.page, address)
        yield seen.page
        assert all(url.startswith(address) for url in seen.asked)
