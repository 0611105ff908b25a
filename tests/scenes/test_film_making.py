from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from turnstill.model.errors import TurnstillError
from turnstill.scenes import film_making
from turnstill.scenes.film_layout import panes
from turnstill.scenes.film_making import film_to
from turnstill.scenes.film_reel import Reel, frames, legend
from turnstill.scenes.film_timing import timing
from turnstill.scenes.perform import Performed
from turnstill.scenes.shown_swing import VIEWS

COMMAND = [sys.executable, "-m", "turnstill.scenes.cli", "film", "centred", "--size", "320x180"]


def test_a_film_of_two_swings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    av = pytest.importorskip("av")
    out = tmp_path / "film.mp4"
    film_to(["centred", "too-much-tilt"], ["handedness=left"], out=str(out), seconds=0.6, size="320x361")
    assert [item.name for item in tmp_path.iterdir()] == ["film.mp4"]
    told = capsys.readouterr()
    assert told.out == f"The film is {out}\n" and told.err == ""
    with av.open(str(out)) as container:
        seen = [frame.to_ndarray(format="rgb24").astype(int) for frame in container.decode(video=0)]
    assert len(seen) == 15 and seen[0].shape == (360, 320, 3)
    top = timing(0.6, 25.0).order.index(max(timing(0.6, 25.0).order))
    assert np.abs(seen[0] - seen[top]).max() > 60
    # The last frame is followed by the first: about as alike as any two neighbours.
    steps = [float(np.abs(a - b).mean()) for a, b in zip(seen, [*seen[1:], seen[0]], strict=True)]
    assert steps[-1] <= max(steps[:-1])


@pytest.mark.parametrize("suffix", ["gif", "webp"])
def test_a_film_as_an_animated_picture(tmp_path: Path, suffix: str) -> None:
    out = tmp_path / f"film.{suffix}"
    out.write_bytes(b"an earlier one")
    film_to(["centred"], [], views="face-on", out=str(out), seconds=1.0, size="160x180")
    with Image.open(out) as film:
        assert film.size == (160, 180) and film.n_frames > 5  # type: ignore[attr-defined]


@pytest.mark.parametrize("error", [KeyboardInterrupt, MemoryError, OSError(28, "No space left on device")])
def test_whatever_stops_a_film_leaves_no_half_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: BaseException
) -> None:
    drawn = Reel.draw

    def draw(reel: Reel, moment: int) -> np.ndarray:
        if moment > 100:
            raise error
        return drawn(reel, moment)

    monkeypatch.setattr(Reel, "draw", draw)
    out = tmp_path / "film.mp4"
    out.write_bytes(b"an earlier one")
    with pytest.raises((KeyboardInterrupt, MemoryError, TurnstillError)) as raised:
        film_to(["centred"], [], out=str(out), seconds=0.6, size="160x160")
    assert [item.name for item in tmp_path.iterdir()] == ["film.mp4"] and out.read_bytes() == b"an earlier one"
    if isinstance(error, OSError):
        assert "no space left" in str(raised.value)


@pytest.mark.skipif(sys.platform != "linux", reason="limits a file's size by the shell")
@pytest.mark.parametrize("suffix", ["mp4", "gif", "webp"])
def test_a_full_disk(tmp_path: Path, suffix: str) -> None:
    """A limit on a file's size stands for the disk: the system refuses to write on in the middle."""
    line = f'ulimit -f 4; exec "$0" "$@" --seconds 1 --out {tmp_path}/film.{suffix}'
    done = subprocess.run(
        ["bash", "-c", line, *COMMAND], capture_output=True, text=True, timeout=120, check=False
    )  # fmt: skip
    assert done.returncode == 2, done.stderr
    assert done.stderr.count("\n") == 1 and "cannot be written" in done.stderr
    assert not list(tmp_path.iterdir())


@pytest.mark.skipif(os.name != "posix", reason="signals")
def test_an_interrupted_film(tmp_path: Path) -> None:
    running = subprocess.Popen(
        [*COMMAND, "--seconds", "30", "--out", str(tmp_path / "film.mp4")],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    deadline = time.monotonic() + 60
    while time.monotonic() < deadline and not any(item.stat().st_size for item in tmp_path.iterdir()):
        time.sleep(0.1)
    assert list(tmp_path.iterdir()), "nothing was begun"
    running.send_signal(signal.SIGINT)
    _, told = running.communicate(timeout=60)
    assert running.returncode == 130, told
    assert told == "turnstill: Interrupted; nothing was left half-written.\n"
    assert not list(tmp_path.iterdir())


def test_what_cannot_be_filmed(tmp_path: Path) -> None:
    for names, options, words in (
        ([], {}, "one or two"),
        (["centred"] * 3, {}, "one or two"),
        (["centred"], {"out": str(tmp_path / "film.avi")}, ".webp"),
        (["centred"], {"out": str(tmp_path / "nowhere" / "film.mp4")}, "no folder"),
        (["centred"], {"out": str(tmp_path / "f.mp4"), "views": "above"}, "--views"),
        (["centred"], {"out": str(tmp_path / "f.mp4"), "seconds": 1e9}, "--seconds"),
    ):
        with pytest.raises(TurnstillError, match=words):
            film_to(names, [], **options)  # type: ignore[arg-type]
    assert not list(tmp_path.iterdir())


def test_frames_kept_and_frames_drawn_again_are_the_same(
    performed: Callable[..., Performed], monkeypatch: pytest.MonkeyPatch
) -> None:
    swing = performed("centred", frames=9).swing
    size = (320, 180)
    order, picks = [0, 1, 2, 2, 1, 0], [0, 4, 8]
    calls: list[int] = []
    drawn = Reel.draw

    def draw(reel: Reel, moment: int) -> np.ndarray:
        calls.append(moment)
        return drawn(reel, moment)

    monkeypatch.setattr(Reel, "draw", draw)
    with Reel([swing], ["centred"], panes(1, VIEWS, size), size, labels=legend) as reel:
        kept = [frame.copy() for frame in frames(reel, picks, order)]
        assert calls == [0, 4, 8]
        again = [frame.copy() for frame in frames(reel, picks, order, kept_bytes=0)]
    assert len(calls) == 3 + len(order)
    for one, other in zip(kept, again, strict=True):
        assert np.array_equal(one, other)


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
        film_making.film_file.write_mp4(tmp_path / "film.mp4", watched(reel), size, 25.0)
    assert marks[1] - marks[0] < 20e6, [mark / 1e6 for mark in marks]
