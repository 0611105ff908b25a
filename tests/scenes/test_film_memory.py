"""A long film does not grow in memory."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from turnstill.scenes.film import work
from turnstill.scenes.film.layout import panes
from turnstill.scenes.film.reel import Reel, frames, legend
from turnstill.scenes.setups.perform import Performed
from turnstill.scenes.views.names import VIEWS


@pytest.mark.heavy
def test_memory_is_flat_over_two_thousand_frames(performed: Callable[..., Performed], tmp_path: Path) -> None:
    pytest.importorskip("av")
    swing = performed("centred", frames=401).swing
    size, count = (320, 180), 2000
    marks: list[int] = []

    def resident() -> int:
        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
        return pages * os.sysconf("SC_PAGE_SIZE")

    def watched(reel: Reel):  # type: ignore[no-untyped-def]
        order = [k * 7 % 401 for k in range(count)]
        for k, frame in enumerate(frames(reel, range(401), order, kept_bytes=2_000_000)):
            if k in (count // 5, count - 1):
                marks.append(resident())
            yield frame

    with Reel([swing], ["centred"], panes(1, VIEWS, size), size, labels=legend) as reel:
        work.film_file.write_mp4(tmp_path / "film.mp4", watched(reel), size, 25.0)
    assert marks[1] - marks[0] < 20e6, [mark / 1e6 for mark in marks]
