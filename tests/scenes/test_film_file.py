"""Film files, read back by the libraries that players are built on."""

from __future__ import annotations

import os
import resource
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import av
import numpy as np
import PIL.features
import pytest
from PIL import Image

from turnstill.model.errors import TurnstillError
from turnstill.scenes.delivery.writing import new_file
from turnstill.scenes.film import film_file
from turnstill.scenes.film.film_file import (
    GIF,
    MP4,
    SUFFIXES,
    WEBP,
    check_codec,
    mp4_is_whole,
    suffix_of,
    write_mp4,
    write_pictures,
)

WIDTH, HEIGHT, COUNT = 160, 96, 14
SKY, SHIRT, MARK = (196, 206, 216), (38, 110, 170), (190, 70, 10)


def frames() -> list[np.ndarray]:
    """A plain ground on which a block wanders to the right, under a mark."""
    pictures = []
    for k in range(COUNT):
        picture = np.full((HEIGHT, WIDTH, 3), SKY, np.uint8)
        picture[:20, :40] = MARK
        picture[40:80, 8 * k : 8 * k + 32] = SHIRT
        pictures.append(picture)
    return pictures


def noise() -> list[np.ndarray]:
    rng = np.random.default_rng(5)
    return [rng.integers(0, 256, (HEIGHT, WIDTH, 3), dtype=np.uint8) for _ in range(COUNT)]


def write(target: Path, pictures: list[np.ndarray]) -> None:
    suffix = suffix_of(str(target))
    with new_file(str(target)) as part:
        if suffix == MP4:
            write_mp4(part, pictures, (WIDTH, HEIGHT), 25.0)
        else:
            write_pictures(part, suffix, pictures, range(len(pictures)), 12.5)


def test_the_same_frames_make_the_same_bytes(tmp_path: Path) -> None:
    """Also where other things have used the memory in between: an encoder's code for AVX-512 did not."""
    rng, written = np.random.default_rng(3), set()
    shade = np.linspace(0, 200, HEIGHT)[:, None, None] * np.ones((1, WIDTH, 3))
    pictures = [(shade + 20 * rng.random((HEIGHT, WIDTH, 3)) + k).astype(np.uint8) for k in range(25)]

    def drawn() -> Iterator[np.ndarray]:
        for picture in pictures:
            used = [rng.random((300, 300)).tobytes() for _ in range(4)]
            yield picture
            del used

    for k in range(5):
        write_mp4(tmp_path / f"{k}.mp4", drawn(), (WIDTH, HEIGHT), 25.0)
        written.add((tmp_path / f"{k}.mp4").read_bytes())
    assert len(written) == 1


def test_an_mp4_is_what_was_asked(tmp_path: Path) -> None:
    write(tmp_path / "a.mp4", frames())
    with av.open(str(tmp_path / "a.mp4")) as film:
        (stream,) = film.streams
        assert stream.codec_context.name == "h264" and stream.codec_context.pix_fmt == "yuv420p"
        assert (stream.width, stream.height, stream.frames) == (WIDTH, HEIGHT, COUNT)
        assert stream.average_rate == 25
        read = [frame.to_ndarray(format="rgb24", src_colorspace="ITU709") for frame in film.decode(stream)]
    assert len(read) == COUNT
    for got, given in zip(read, frames(), strict=True):
        for y, x in ((10, 20), (60, 150), (90, 20)):
            assert np.abs(got[y, x].astype(int) - given[y, x]).max() <= 4
        row = np.abs(got[60].astype(int) - SHIRT).max(axis=-1) < 40
        wanted = (given[60] == SHIRT).all(axis=-1)
        assert np.abs(np.nonzero(row)[0].mean() - np.nonzero(wanted)[0].mean()) < 1.5
    # The index stands before the pictures, so that a page can play the film while it loads.
    data = (tmp_path / "a.mp4").read_bytes()
    assert 0 < data.index(b"moov") < data.index(b"mdat")


@pytest.mark.skipif(len(getattr(os, "sched_getaffinity", lambda _: ())(0)) < 2, reason="needs two cores")
def test_an_mp4_does_not_depend_on_the_cores_there_are_nor_tell_a_version(tmp_path: Path) -> None:
    cores = os.sched_getaffinity(0)
    try:
        os.sched_setaffinity(0, {min(cores)})
        write(tmp_path / "one.mp4", noise())
    finally:
        os.sched_setaffinity(0, cores)
    write(tmp_path / "all.mp4", noise())
    data = (tmp_path / "all.mp4").read_bytes()
    assert (tmp_path / "one.mp4").read_bytes() == data and b"Lavf" not in data


@pytest.mark.parametrize("suffix", [GIF, WEBP])
def test_pictures_that_stay_are_stored_once_and_shown_longer(tmp_path: Path, suffix: str) -> None:
    order = [0, 1, 2, 2, 2, 3, 0, 0]
    shown = frames()
    write_pictures(tmp_path / "a", suffix, (shown[k] for k in order), order, 12.5)
    with Image.open(tmp_path / "a") as film:
        assert film.format == suffix[1:].upper() and film.size == (WIDTH, HEIGHT)
        assert film.n_frames == 5 and film.info["loop"] == 0  # without end
        times = []
        for place, moment in enumerate([0, 1, 2, 3, 0]):
            film.seek(place)
            film.load()
            times.append(film.info["duration"])
            got = np.asarray(film.convert("RGB")).astype(int)
            assert np.mean(np.abs(got - shown[moment]).max(axis=-1) <= 12) > 0.97
    assert times == [80, 80, 240, 80, 160]


def test_what_stands_still_in_a_gif_does_not_flicker(tmp_path: Path) -> None:
    write(tmp_path / "a.gif", frames())
    with Image.open(tmp_path / "a.gif") as film:
        read = []
        for place in range(COUNT):
            film.seek(place)
            read.append(np.asarray(film.convert("RGB")))
    for picture in read:
        assert np.array_equal(picture[:30], read[0][:30])


@contextmanager
def room_for(size: int) -> Iterator[None]:
    """No file of this process grows beyond ``size`` bytes, as on a disk that is full."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_a_full_disk_leaves_no_half_film(tmp_path: Path, suffix: str) -> None:
    target = tmp_path / f"a{suffix}"
    write(target, noise())
    whole = target.read_bytes()
    for room in (0, 40, len(whole) // 2, len(whole) - 700, len(whole) - 1):
        with pytest.raises(TurnstillError, match="cannot be written: file too large"), room_for(room):
            write(target, noise())
        # The earlier film is as it was, and nothing lies beside it.
        assert list(tmp_path.iterdir()) == [target] and target.read_bytes() == whole
    with room_for(len(whole)):
        write(target, noise())
    assert target.read_bytes() == whole


def test_an_mp4_that_lacks_its_end_is_not_whole(tmp_path: Path) -> None:
    target = tmp_path / "a.mp4"
    write(target, noise())
    whole = target.read_bytes()
    assert mp4_is_whole(target)
    for kept in (0, 7, 40, len(whole) // 2, len(whole) - 700, len(whole) - 1):
        target.write_bytes(whole[:kept])
        assert not mp4_is_whole(target)


@pytest.mark.parametrize("suffix", SUFFIXES)
@pytest.mark.parametrize("error", [KeyboardInterrupt, MemoryError, OSError(28, "No space left on device")])
def test_an_interrupted_film_leaves_nothing(
    tmp_path: Path, suffix: str, error: BaseException | type[BaseException]
) -> None:
    def drawn() -> Iterator[np.ndarray]:
        yield from noise()[:5]
        raise error

    with pytest.raises((KeyboardInterrupt, MemoryError, TurnstillError)), new_file(str(tmp_path / "a")) as part:
        if suffix == MP4:
            write_mp4(part, drawn(), (WIDTH, HEIGHT), 25.0)
        else:
            write_pictures(part, suffix, drawn(), range(COUNT), 12.5)
    assert not list(tmp_path.iterdir())


def test_a_film_too_long_for_its_kind_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(film_file, "_HELD_BYTES", 10 * WIDTH * HEIGHT * 3)
    for suffix in (GIF, WEBP):
        with pytest.raises(TurnstillError, match=r"too much for \.(gif|webp).*\.mp4"):
            write(tmp_path / f"a{suffix}", frames())
    write(tmp_path / "a.mp4", frames())
    assert [file.name for file in tmp_path.iterdir()] == ["a.mp4"]


def test_names_say_the_kind() -> None:
    assert [suffix_of(name) for name in ("a.mp4", "A.MP4", "b.c/d.gif", "x.webp")] == [MP4, MP4, GIF, WEBP]
    for name in ("a", "", "-", ".mp4", "a.avi", "a.mp4.txt", "a.mp4 ", "a.\nmp4", "a." + "x" * 5000):
        with pytest.raises(TurnstillError, match=r"must end in \.mp4, \.gif or \.webp") as wrong:
            suffix_of(name)
        assert "\n" not in str(wrong.value) and len(str(wrong.value)) < 120


def test_a_missing_codec_is_said_before_anything_is_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    for suffix in SUFFIXES:
        check_codec(suffix)
    with monkeypatch.context() as patched:
        patched.setattr(film_file, "CODEC", "no-such-codec")
        with pytest.raises(TurnstillError, match=r"libx264.*pip install av.*\.gif or \.webp"):
            check_codec(MP4)
    with monkeypatch.context() as patched:
        patched.setitem(sys.modules, "av", None)
        with pytest.raises(TurnstillError, match="pip install av"):
            check_codec(MP4)
    monkeypatch.setattr(PIL.features, "check", lambda feature: feature != "webp")
    with pytest.raises(TurnstillError, match="without WebP"):
        check_codec(WEBP)
    check_codec(GIF)
