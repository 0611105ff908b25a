from __future__ import annotations

from functools import partial
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from refusals import refused_by
from typer.testing import CliRunner

from turnstill.model.films.camera import Camera
from turnstill.render.palette import NOW
from turnstill.scenes.cli import app
from turnstill.scenes.delivery.progress import Progress
from turnstill.scenes.film import strip as strip_module
from turnstill.scenes.film.reel import Reel
from turnstill.scenes.film.strip import FEWEST_MOMENTS, GAP, HEIGHT, MOST_MOMENTS, PAPER, ROOM, WIDTH, picked, sheet
from turnstill.scenes.film.timing import DENSE, TO_IMPACT
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.views.framing import cameras_for
from turnstill.scenes.views.names import VIEWS

RUNNER = CliRunner()
refused = partial(refused_by, "strip")


def cell(whole: np.ndarray, row: int, column: int) -> np.ndarray:
    """The picture of one row of pictures and one moment."""
    top, left = ROOM + row * (ROOM + HEIGHT) + ROOM, column * (WIDTH + GAP)
    return whole[top : top + HEIGHT, left : left + WIDTH].astype(int)


def marked(picture: np.ndarray, camera: Camera, point: np.ndarray) -> bool:
    u, v = np.round(camera.project(point)).astype(int)
    patch = picture[v - 2 : v + 3, u - 2 : u + 3]
    return bool((np.abs(patch - np.array(NOW)).max(axis=-1) < 40).any())


@pytest.mark.parametrize("moments", range(FEWEST_MOMENTS, MOST_MOMENTS + 1))
def test_top_and_impact_are_on_every_sheet_through_impact(moments: int) -> None:
    """Nobody asks for a swing past the ball to be shown all but the ball; of two columns it is address and impact."""
    top = DENSE - 1
    ball, end = top + TO_IMPACT, top + 2 * TO_IMPACT
    picks = picked(moments, through_impact=True)
    assert len(picks) == moments and picks == sorted(set(picks)) and picks[0] == 0
    assert ball in picks and (top in picks or moments == 2) and (picks[-1] == end or moments < 4)
    assert np.abs(np.diff(picks) - end / (moments - 1)).max() <= end / (moments - 1), "nearly evenly"
    up = picked(moments, through_impact=False)
    assert up[0] == 0 and up[-1] == top and np.ptp(np.diff(up)) <= 1


def test_a_sheet_has_a_column_for_each_moment_and_a_row_for_each_view_of_each_swing() -> None:
    swings = [swing_of(load(name), DENSE) for name in ("centred", "sway")]
    picks = [0, 200, DENSE - 1]
    with Progress(9) as progress:
        whole = sheet(swings, ["a", "b"], VIEWS, picks, progress)
    assert whole.dtype == np.uint8
    assert whole.shape == (ROOM + 4 * (ROOM + HEIGHT), 3 * (WIDTH + GAP) - GAP, 3)
    cameras = cameras_for(swings, WIDTH, HEIGHT)
    # The rows of a view stand together, and in each cell the trunk's line is where that swing's is at that moment.
    for row, (swing, view) in enumerate([(0, VIEWS[0]), (1, VIEWS[0]), (0, VIEWS[1]), (1, VIEWS[1])]):
        for column, moment in enumerate(picks):
            joints = swings[swing].skeleton.joints
            places = np.linspace(joints["pelvis"][moment], joints["neck_base"][moment], 24)
            # At address the dashes of the address lie over the line.
            seen = [marked(cell(whole, row, column), cameras[swing][view], place) for place in places]
            assert np.mean(seen) > (0.3 if moment == 0 else 0.6), (view, moment)
    # Between the columns there is paper, and words stand in every band.
    paper = np.array(PAPER)
    assert (whole[2 * ROOM : 2 * ROOM + HEIGHT, WIDTH : WIDTH + GAP] == paper).all()
    for band in range(4):
        top = ROOM + band * (ROOM + HEIGHT)
        assert (np.abs(whole[top : top + ROOM, :WIDTH].astype(int) - paper).max(axis=-1) > 100).sum() > 50
    for column in range(3):
        left = column * (WIDTH + GAP)
        assert (np.abs(whole[:ROOM, left : left + WIDTH].astype(int) - paper).max(axis=-1) > 100).sum() > 50


def test_the_command_writes_a_picture(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    arguments = ["strip", "sway", "--moments", "2", "--views", "face-on", "--left-handed"]
    result = RUNNER.invoke(app, arguments)
    assert result.exit_code == 0 and result.stdout == "The sheet is turnstill-sway-strip.png\n"
    assert [file.name for file in tmp_path.iterdir()] == ["turnstill-sway-strip.png"]
    with Image.open("turnstill-sway-strip.png") as picture:
        assert picture.mode == "RGB" and picture.size == (2 * WIDTH + GAP, 2 * ROOM + HEIGHT)
        drawn = np.asarray(picture).astype(int)
    changed = np.abs(cell(drawn, 0, 0) - cell(drawn, 0, 1)).max(axis=-1) > 40
    assert 0.01 < changed.mean() < 0.3
    # A left-hander's angle is written in the corner that the club passes far from.
    orange = np.abs(cell(drawn, 0, 1)[:80] - NOW).max(axis=-1) < 30
    columns = np.nonzero(orange.any(axis=0))[0]
    assert columns.min() < 0.05 * WIDTH and columns.max() < 0.85 * WIDTH


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("centred", "sway", "centred"), "3 swings, but takes one or two"),
        (("centrd",), "Did you mean centred?"),
        *((("centred", "--moments", many), f"--moments was {many}") for many in ("1", "10", "-3")),
        (("centred", "--views", "over"), "--views was 'over'"),
        *((("centred", "--out", name), "ends in .png") for name in ("a.jpg", "-")),
        *((("centred", "--out", name), "cannot be written") for name in ("/proc/a.png", "\0.png")),
        (("centred", "--out", "no/such/folder/a.png"), "no folder"),
    ],
)
def test_mistakes_end_in_a_sentence_before_anything_is_drawn(
    arguments: tuple[str, ...], words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(Reel, "__enter__", lambda _: pytest.fail("something is drawn"))
    assert words in refused(*arguments)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("arguments", [(), ("centred", "--moments", "many"), ("centred", "--moments", "2.5")])
def test_what_the_command_line_cannot_read_ends_with_status_two(arguments: tuple[str, ...]) -> None:
    result = RUNNER.invoke(app, ["strip", *arguments])
    assert result.exit_code == 2 and result.stderr.strip() and result.stdout == ""


def test_a_failure_while_drawing_leaves_the_earlier_sheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "a.png"
    target.write_bytes(b"an earlier sheet")
    for error, words, status in (
        (KeyboardInterrupt(), "nothing was left half-written", 130),
        (OSError(28, "No space left on device"), "cannot be written: no space left on device", 2),
    ):

        def failing(*_: object, wrong: BaseException = error) -> np.ndarray:
            raise wrong

        monkeypatch.setattr(strip_module, "sheet", failing)
        assert words in refused("centred", "--out", str(target), status=status)
        assert target.read_bytes() == b"an earlier sheet" and list(tmp_path.iterdir()) == [target]
