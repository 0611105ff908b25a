"""What docs/film.md says can be done is done here as it is written there."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from turnstill.scenes.cli import app
from turnstill.scenes.film import film_file, layout, strip, timing
from turnstill.scenes.film.reel import Reel
from turnstill.scenes.film.work import SECONDS
from turnstill.scenes.views.names import VIEWS

GUIDE = Path(__file__).parents[2] / "docs" / "film.md"


def written_commands() -> list[list[str]]:
    """Of the fenced blocks and of the text."""
    text = GUIDE.read_text(encoding="utf-8")
    blocks = "".join(re.findall(r"^```sh\n(.*?)^```$", text, re.M | re.S))
    inline = re.findall(r"`(turnstill (?:film|strip) [^`]+)`", text)
    return [shlex.split(line)[1:] for line in [*blocks.splitlines(), *inline]]


@pytest.mark.parametrize("arguments", written_commands(), ids=" ".join)
def test_commands_of_the_guide_work(arguments: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """All but drawing and encoding, which other tests do at sizes that take less time."""
    monkeypatch.setattr(Reel, "__enter__", lambda reel: reel)
    monkeypatch.setattr(Reel, "__exit__", lambda *_: None)
    monkeypatch.setattr(Reel, "draw", lambda reel, moment: reel._frame)

    def counted(part: Path, *given: Any) -> None:
        (shown,) = [one for one in given if isinstance(one, Iterator)]
        part.write_text(f"{sum(1 for _ in shown)} frames")

    for writer in ("write_mp4", "write_pictures"):
        monkeypatch.setattr(film_file, writer, counted)
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(app, arguments)
    assert done.exit_code == 0, done.output
    (made,) = tmp_path.iterdir()
    assert done.stdout.strip().endswith(made.name)
    if "--out" in arguments:
        assert made.name == arguments[arguments.index("--out") + 1]


def test_the_table_of_files_is_what_the_command_does(tmp_path: Path) -> None:
    rows = re.findall(r"^\| `(\.\w+)` \|.*?\| ([\d.]+) \| (\d+)x(\d+) \|", GUIDE.read_text(encoding="utf-8"), re.M)
    assert {row[0] for row in rows} == set(film_file.SUFFIXES)
    for suffix, rate, width, height in rows:
        whole = np.array(layout.default_size(1, VIEWS)) * film_file.SCALE[suffix]
        assert film_file.RATE[suffix] == float(rate) and whole.tolist() == [float(width), float(height)]


def test_the_numbers_of_the_guide_are_the_codes() -> None:
    text = " ".join(GUIDE.read_text(encoding="utf-8").split())
    for words in (
        f"{SECONDS:g} if nothing is said",
        f"{timing.FEWEST_FRAMES} to {timing.MOST_FRAMES} frames",
        f"{100 * timing.SHARE_AT_TOP:.0f} % of the film at the top, {100 * timing.SHARE_AT_ADDRESS:.0f} % at",
        f"{timing.DENSE} simulated moments",
        f"{layout.LEAST} to {layout.MOST} pixels each way",
        f"`--moments`, {strip.FEWEST_MOMENTS} to {strip.MOST_MOMENTS}",
    ):
        assert words in text, words
    assert 0.5 / (timing.DENSE - 1) == 0.01 / 8  # an eighth of a percent


@pytest.mark.parametrize("suffix", film_file.SUFFIXES)
def test_the_sizes_without_asking_are_those_of_the_table(
    suffix: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Reel, "__enter__", lambda reel: reel)
    monkeypatch.setattr(Reel, "__exit__", lambda *_: None)
    monkeypatch.setattr(Reel, "draw", lambda reel, moment: reel._frame)
    target = tmp_path / f"a{suffix}"
    assert CliRunner().invoke(app, ["film", "centred", "--seconds", "1", "--out", str(target)]).exit_code == 0
    width, height = (round(length * film_file.SCALE[suffix]) for length in layout.default_size(1, VIEWS))
    if suffix == film_file.MP4:
        with av.open(str(target)) as film:
            assert (film.streams.video[0].width, film.streams.video[0].height) == (width, height)
    else:
        with Image.open(target) as picture:
            assert picture.size == (width, height)
