"""The film command from end to end, on films as small as they can be."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

import av
import numpy as np
import pytest
from PIL import Image
from refusals import refused_by
from typer.testing import CliRunner

from turnstill.render.stage import stage as stage_module
from turnstill.render.stage.opengl import OpenGLMissing
from turnstill.scenes.cli import app
from turnstill.scenes.film import film_file
from turnstill.scenes.film import reel as film_reel
from turnstill.scenes.film.layout import panes
from turnstill.scenes.film.reel import Reel, frames, legend
from turnstill.scenes.film.timing import DENSE, timing
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.views.names import VIEWS
from turnstill.scenes.views.shown_swing import shown_at

RUNNER = CliRunner()
refused = partial(refused_by, "film")
SMALL = ("--size", "240x160", "--seconds", "1")
COMMAND = [sys.executable, "-c", "from turnstill.scenes.cli import main; main()"]


def run(*arguments: str) -> str:
    result = RUNNER.invoke(app, ["film", *arguments])
    assert result.exit_code == 0, result.output
    return result.stdout


def read_mp4(path: Path) -> list[np.ndarray]:
    with av.open(str(path)) as film:
        assert film.streams.video[0].average_rate == 25
        return [frame.to_ndarray(format="rgb24") for frame in film.decode(video=0)]


def apart(one: np.ndarray, other: np.ndarray) -> float:
    """Share of pixels that look different."""
    return float(np.mean(np.abs(one.astype(int) - other).max(axis=-1) > 30))


def test_two_swings_from_both_views_as_an_mp4_that_loops(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("centred", "sway", *SMALL) == "The film is turnstill-centred-vs-sway.mp4\n"
    assert [file.name for file in tmp_path.iterdir()] == ["turnstill-centred-vs-sway.mp4"]
    film = read_mp4(tmp_path / "turnstill-centred-vs-sway.mp4")
    assert len(film) == 25 and film[0].shape == (160, 240, 3)
    top = timing(1.0, 25.0).order.index(max(timing(1.0, 25.0).order))
    for pane in panes(2, VIEWS, (240, 160)):
        first, last, there = (film[k][pane.place] for k in (0, -1, top))
        assert apart(first, there) > 0.02 and 4 * apart(first, last) < apart(first, there)
        steps = [apart(film[k][pane.place], film[k + 1][pane.place]) for k in range(len(film) - 1)]
        assert max(steps) < apart(first, there)


@pytest.mark.parametrize(("suffix", "most"), [(".gif", 60_000), (".webp", 40_000)])
def test_one_swing_as_an_endless_picture(tmp_path: Path, suffix: str, most: int) -> None:
    target = tmp_path / f"a{suffix}"
    run("sway", "--views", "face-on", "--left-handed", "--out", str(target), *SMALL)
    order = timing(1.0, 12.5).order
    with Image.open(target) as film:
        assert film.size == (240, 160) and film.info["loop"] == 0
        times, pictures = [], []
        for place in range(film.n_frames):
            film.seek(place)
            film.load()
            times.append(film.info["duration"])
            pictures.append(np.asarray(film.convert("RGB")))
    assert sum(times) == 80 * len(order) and len(times) == 1 + sum(np.diff(order) != 0)
    assert apart(pictures[0], pictures[-1]) < 0.01 < apart(pictures[0], pictures[len(pictures) // 2])
    assert target.stat().st_size < most


def test_frames_that_are_drawn_again_are_those_that_were_kept() -> None:
    """A film may keep what it shows twice, or draw it twice."""
    size, when = (240, 160), timing(1.0, 12.5)
    with Reel([swing_of(load("sway"), DENSE)], ["a"], panes(1, VIEWS[:1], size), size, labels=legend) as reel:
        kept = [frame.copy() for frame in frames(reel, when.picks, when.order)]
        again = [frame.copy() for frame in frames(reel, when.picks, when.order, kept_bytes=0)]
    assert len(kept) == len(when.order)
    assert all(np.array_equal(one, other) for one, other in zip(kept, again, strict=True))
    assert apart(kept[0], kept[len(kept) // 2]) > 0.01


def test_every_pane_shows_its_swing_from_its_view() -> None:
    swings, names, size = [swing_of(load(name), DENSE) for name in ("centred", "sway")], ["a", "b"], (240, 160)
    layout = panes(2, VIEWS, size)
    with Reel(swings, names, layout, size, labels=legend) as reel:
        reel.draw(200)
        whole = reel.draw(DENSE - 1).copy()
    pane = layout[1]
    with Reel(swings, names, [replace(pane, left=0, top=0)], (pane.width, pane.height), labels=legend) as alone:
        assert np.array_equal(alone.draw(DENSE - 1), whole[pane.place])
    assert apart(whole[layout[1].place], whole[layout[2].place]) > 0.05


def test_the_angle_shown_is_the_one_measured() -> None:
    swing = swing_of(load("too-much-tilt"), 21)
    for view, lean in zip(VIEWS, ("lean_face_on", "inclination_down_the_line"), strict=True):
        measured = np.degrees(getattr(swing.measures, lean))
        for moment in (0, 7, 20, -1):
            shown = shown_at(swing, "a", view, moment, path_step=4)
            (angle,) = shown.angles.values()
            assert angle.top_deg == pytest.approx(measured[moment], abs=0.5)
            assert angle.address_deg == pytest.approx(measured[0], abs=0.5)
            # The path runs from address to here, whatever it leaves out between.
            assert np.array_equal(shown.head_path[0], swing.skeleton.joints["head"][0])
            assert np.array_equal(shown.head_path[-1], swing.skeleton.joints["head"][moment])
            assert np.array_equal(shown.top.joints["pelvis"], swing.skeleton.joints["pelvis"][moment])


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("centred", "sway", "centred"), "3 swings, but takes one or two"),
        (("centrd",), "Did you mean centred?"),
        (("centred", "--out", "a.avi"), r"ends in '.avi'"),
        (("centred", "--out", "film"), "has no ending"),
        (("centred", "--out", "-"), "has no ending"),
        (("centred", "--out", "no/such/folder/a.mp4"), "no folder"),
        (("centred", "--out", "/proc/a.mp4"), "cannot be written"),
        (("centred", "--out", "folder.mp4"), "is a folder"),
        (("centred", "--out", "a.gif\0"), "must end in"),
        (("centred", "--out", "\0.gif"), "cannot be written"),
        (("centred", "--views", "over"), "--views was 'over'"),
        (("centred", "--views", "face-on,face-on"), "--views was"),
        (("centred", "--size", "99x99"), "--size was '99x99'"),
        (("centred", "--size", "big"), "--size was 'big'"),
        *((("centred", "--seconds", many), f"--seconds was {many}") for many in ("nan", "0", "-2", "inf")),
        (("centred", "--seconds", "1e9"), "--seconds was 1e+09"),
        (("centred", "--set", "hip_turn=nan"), "hip_turn"),
        (("centred", "--sex", "other"), "sex"),
    ],
)
def test_mistakes_end_in_a_sentence_before_anything_is_drawn(
    arguments: tuple[str, ...], words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "folder.mp4").mkdir()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(Reel, "__enter__", lambda _: pytest.fail("something is drawn"))
    assert words in refused(*arguments)
    assert [file.name for file in tmp_path.iterdir()] == ["folder.mp4"]


@pytest.mark.parametrize("arguments", [(), ("centred", "--seconds", "soon"), ("centred", "--nothing")])
def test_what_the_command_line_cannot_read_ends_with_status_two(arguments: tuple[str, ...]) -> None:
    result = RUNNER.invoke(app, ["film", *arguments])
    assert result.exit_code == 2 and result.stderr.strip() and result.stdout == ""


def test_a_device_is_no_film(tmp_path: Path) -> None:
    link = tmp_path / "a.mp4"
    link.symlink_to("/dev/null")
    assert "no plain file" in refused("centred", "--out", str(link), *SMALL)
    assert link.is_symlink() and not Path("/dev/null").is_file()


def test_without_a_codec_or_opengl_nothing_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = str(tmp_path / "a.mp4")
    with monkeypatch.context() as patched:
        patched.setattr(film_file, "CODEC", "no-such-codec")
        assert "codec libx264" in refused("centred", "--out", target, *SMALL)

    def missing(**_: object) -> None:
        raise OpenGLMissing

    monkeypatch.setattr(stage_module, "require_opengl", missing)
    assert "libegl1" in refused("centred", "--out", target, *SMALL)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("suffix", [".mp4", ".gif", ".webp"])
def test_a_failure_while_drawing_leaves_the_earlier_film(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, suffix: str
) -> None:
    target = tmp_path / f"a{suffix}"
    target.write_bytes(b"an earlier film")
    drawn: list[int] = []

    def then(error: BaseException) -> None:
        def draw(reel: Reel, moment: int) -> np.ndarray:
            drawn.append(moment)
            if len(drawn) > 2:
                raise error
            return np.full((160, 240, 3), 9 * len(drawn), np.uint8)

        drawn.clear()
        monkeypatch.setattr(film_reel.Reel, "draw", draw)
        monkeypatch.setattr(film_reel.Reel, "__enter__", lambda reel: reel)
        monkeypatch.setattr(film_reel.Reel, "__exit__", lambda *_: None)

    then(KeyboardInterrupt())
    assert "Interrupted; nothing was left half-written" in refused("centred", "--out", str(target), *SMALL, status=130)
    then(OSError(28, "No space left on device"))
    assert "cannot be written: no space left on device" in refused("centred", "--out", str(target), *SMALL)
    assert target.read_bytes() == b"an earlier film" and list(tmp_path.iterdir()) == [target]


def parts(folder: Path) -> Iterator[Path]:
    return folder.glob(".turnstill-*.part")


def test_an_interruption_from_the_keyboard_leaves_nothing(tmp_path: Path) -> None:
    """A process of its own, stopped in the middle of its encoding."""
    with subprocess.Popen(
        [*COMMAND, "film", "centred", "--seconds", "30", "--size", "240x160", "--out", "a.mp4"],
        cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    ) as process:  # fmt: skip
        deadline = time.monotonic() + 60
        while not any(part.stat().st_size for part in parts(tmp_path)) and time.monotonic() < deadline:
            assert process.poll() is None
            time.sleep(0.05)
        process.send_signal(signal.SIGINT)
        out, told = process.communicate(timeout=60)
    assert process.returncode == 130 and out == ""
    assert told == "turnstill: Interrupted; nothing was left half-written.\n"
    assert not list(tmp_path.iterdir())
