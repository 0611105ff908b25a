"""A real browser for tests of pages: Debian's Chromium, driven by playwright, with its software WebGL2.

Where there is none such tests are skipped, but where ``TURNSTILL_BROWSER=required`` says that there is to be one.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

ARGUMENTS = [
    "--no-sandbox", "--no-first-run", "--disable-quic", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--enable-unsafe-swiftshader",
]  # fmt: skip
NO_TRIANGLES = (
    "for (const name of ['drawArrays', 'drawElements']) { WebGL2RenderingContext.prototype[name] = () => {}; }"
)
UNSEEN = {"pictures": False, "device_scale_factor": 0.25}
"""Of a page that is not looked at but read: without a graphics card its first picture takes a second."""
REQUIRED = os.environ.get("TURNSTILL_BROWSER") == "required"


@contextmanager
def browser(*more: str) -> Iterator[Any]:
    """A browser; ``more`` are switches of its command line."""
    chromium = shutil.which("chromium")
    if chromium is None:
        _none("there is no chromium")
    with _driver() as driver:
        opened = driver.chromium.launch(executable_path=chromium, headless=True, args=[*ARGUMENTS, *more])
        try:
            yield opened
        finally:
            opened.close()


_running: list[Any] = []


@contextmanager
def _driver() -> Iterator[Any]:
    """What drives browsers: one for all that are open at a time, and none left behind."""
    if _running:
        yield _running[0]
        return
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        _none("playwright is not installed")
    with sync_playwright() as driver:
        _running.append(driver)
        try:
            yield driver
        finally:
            _running.clear()


def _none(why: str) -> None:
    if REQUIRED:
        pytest.fail(f"a browser is required, but {why}")
    pytest.skip(why)


class Watched:
    """A page whose errors and requests are kept; on leaving there may have been none of either."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.wrong: list[str] = []
        self.asked: list[str] = []
        page.on("pageerror", lambda error: self.wrong.append(str(error)))
        page.on("console", lambda said: self.wrong.append(said.text) if said.type == "error" else None)
        page.on("request", lambda request: self.asked.append(request.url))

    @property
    def elsewhere(self) -> list[str]:
        """What was asked for beyond the page and what is inside it."""
        return [url for url in self.asked[1:] if not url.startswith(("data:", "blob:"))]


@contextmanager
def watched(opened: Any, width: int, height: int, *, pictures: bool = True, **more: Any) -> Iterator[Watched]:
    """A fresh page of a size, with pictures of golfers if they are looked at; errors in it fail the test."""
    context = opened.new_context(viewport={"width": width, "height": height}, **more)
    if not pictures:
        context.add_init_script(NO_TRIANGLES)
    try:
        seen = Watched(context.new_page())
        yield seen
        assert not seen.wrong, seen.wrong
    finally:
        context.close()
