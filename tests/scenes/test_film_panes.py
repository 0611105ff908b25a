"""Which swing, view and moment stands in which pane, under which words.

Nothing is drawn: a pane is filled with a colour that says what it was asked to show.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any, NamedTuple

import numpy as np
import pytest
from distinct_swings import distinct_swing
from recorded_marks import Recorded

from turnstill.render.figure import figure as figure_module
from turnstill.render.palette import INK
from turnstill.render.pictures import film as film_module
from turnstill.render.pictures import marks as marks_module
from turnstill.render.pictures.film_labels import CornerAngle
from turnstill.render.stage import stage as stage_module
from turnstill.scenes.delivery.progress import Progress
from turnstill.scenes.film import asked, reel, strip, work
from turnstill.scenes.film.layout import Pane, panes
from turnstill.scenes.film.reel import PATH_STEP, Reel, frames, legend
from turnstill.scenes.film.strip import GAP, HEIGHT, PAPER, ROOM, WIDTH, sheet
from turnstill.scenes.film.timing import DENSE, timing
from turnstill.scenes.views.names import ABOVE, VIEWS

MOMENTS = 40


class Stage:
    """Gives each swing a figure that is its body's stature."""

    def __enter__(self) -> Stage:
        return self

    def __exit__(self, *_: object) -> None:
        self.closed = True

    def figure(self, body: Any, address: Any, *, left_handed: bool) -> float:
        del address
        return float(body.stature) * (-1 if left_handed else 1)


class View:
    """A pane filled with 10 times the stature in decimetres, the view's number and the moment."""

    def __init__(self, stage: Any, camera: Any, address: Any, shown: Any, labels: Any) -> None:
        del stage
        self.camera, self.address, self.first, self.labels = camera, address, shown, labels
        self.shown: list[Any] = []

    def draw(self, posed: Any, shown: Any) -> np.ndarray:
        self.shown.append(shown)
        assert posed.of == self.address.of and np.array_equal(posed.pelvis, shown.top.joints["pelvis"])
        view = ["face-on", "down the line"].index(shown.view)
        return np.array([round(100 * abs(posed.of)), 100 + view, len(shown.head_path)], np.uint8)


@pytest.fixture(autouse=True)
def nothing_drawn(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(stage_module, "Stage", Stage)
    monkeypatch.setattr(film_module, "FilmView", View)

    def posed(figure: float, skeleton: Any) -> SimpleNamespace:
        return SimpleNamespace(of=figure, pelvis=skeleton.joints["pelvis"])

    monkeypatch.setattr(figure_module, "Posed", SimpleNamespace(of=posed))
    monkeypatch.setattr(
        reel,
        "cameras_for",
        lambda swings, width, height: [
            {view: (k, view, width, height) for view in VIEWS} for k, _ in enumerate(swings)
        ],
    )
    yield


def colour(swing: int, view: str, moment: int) -> list[int]:
    """Statures are 1.7 and 1.8 m; of a path every sixteenth moment is taken, and this one."""
    return [170 + 10 * swing, 100 + VIEWS.index(view), 1 + -(-moment // 16)]


def test_every_pane_has_its_swing_its_view_and_the_moment() -> None:
    swings = [distinct_swing(1, MOMENTS), distinct_swing(2, MOMENTS, left_handed=True)]
    layout = [Pane(1, VIEWS[0], 2, 0, 6, 8), Pane(0, VIEWS[1], 10, 3, 6, 8), Pane(0, VIEWS[0], 20, 1, 6, 8)]
    with Reel(swings, ["one", "other"], layout, (30, 12), labels=legend, paper=(9, 8, 7)) as film:
        for moment in (0, 37, 17):
            frame = film.draw(moment)
            assert frame.shape == (12, 30, 3)
            left = np.ones((12, 30), bool)
            for pane in layout:
                inside = frame[pane.top : pane.top + 8, pane.left : pane.left + 6]
                assert (inside == colour(pane.swing, pane.view, moment)).all(), (pane, moment)
                left[pane.top : pane.top + 8, pane.left : pane.left + 6] = False
            assert (frame[left] == (9, 8, 7)).all()
        views, stage = film._views, film._stage
    assert stage.closed and PATH_STEP == 16
    for view, pane, title in zip(views, layout, ["other", "one", "one"], strict=True):
        swing = swings[pane.swing]
        assert view.camera == (pane.swing, pane.view, 6, 8)
        assert view.first.title == view.labels.title == title
        assert view.address.of == pytest.approx([1.7, -1.8][pane.swing])
        assert np.array_equal(view.address.pelvis, swing.skeleton.joints["pelvis"][0])
        for shown, moment in zip(view.shown, (0, 37, 17), strict=True):
            assert shown.title == title
            assert np.array_equal(shown.head_path[-1], swing.skeleton.joints["head"][moment])


def test_a_stage_is_closed_where_no_view_can_be_made(monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[Stage] = []
    monkeypatch.setattr(stage_module, "Stage", lambda: made.append(Stage()) or made[0])

    def failing(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(film_module, "FilmView", failing)
    with (
        pytest.raises(KeyboardInterrupt),
        Reel([distinct_swing(1)], ["a"], [Pane(0, VIEWS[0], 0, 0, 4, 4)], (4, 4), labels=legend),
    ):
        pass
    assert made[0].closed


def test_frames_show_the_picks_in_order_and_keep_what_they_may() -> None:
    drawn: list[int] = []
    frame = np.zeros((2, 2, 3), np.uint8)

    def draw(moment: int) -> np.ndarray:
        drawn.append(moment)
        frame[:] = moment
        return frame

    film: Any = SimpleNamespace(draw=draw)
    picks, order = [3, 50, 90], [0, 1, 2, 2, 1, 0, 1]
    for kept, expected in (
        # Each frame is 12 bytes: none, one and all that come again are kept.
        (0, [3, 50, 90, 90, 50, 3, 50]), (12, [3, 50, 90, 90, 50, 50]), (36, [3, 50, 90]), (24, [3, 50, 90, 90])
    ):  # fmt: skip
        drawn.clear()
        seen = [int(one[0, 0, 0]) for one in frames(film, picks, order, kept_bytes=kept)]
        assert seen == [picks[k] for k in order]
        assert drawn == expected, kept


def test_a_sheets_cell_is_its_columns_moment_and_its_rows_swing_and_view(monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[Recorded] = []
    monkeypatch.setattr(marks_module, "Marks", lambda *given, **how: made.append(Recorded(*given, **how)) or made[-1])
    swings = [distinct_swing(1, DENSE), distinct_swing(2, DENSE)]
    picks = [0, 112, 400]
    with Progress(9) as progress:
        whole = sheet(swings, ["one", "other"], VIEWS, picks, progress)
    rows = [(0, VIEWS[0]), (1, VIEWS[0]), (0, VIEWS[1]), (1, VIEWS[1])]
    assert whole.shape == (ROOM + 4 * (ROOM + HEIGHT), 3 * WIDTH + 2 * GAP, 3)
    taken = np.zeros(whole.shape[:2], bool)
    for row, (swing, view) in enumerate(rows):
        for column, moment in enumerate(picks):
            place = (
                slice(2 * ROOM + row * (ROOM + HEIGHT), (row + 1) * (ROOM + HEIGHT) + ROOM),
                slice(column * (WIDTH + GAP), column * (WIDTH + GAP) + WIDTH),
            )
            taken[place] = True
            # Words of the bands may reach a pixel or two into a cell.
            inside = whole[place][8:-8]
            assert (inside == colour(swing, view, moment)).all(), (row, column)
    assert (whole[:, WIDTH : WIDTH + GAP][ROOM * 2 : ROOM * 2 + HEIGHT] == PAPER).all()
    # The words: moments over their columns, swing and view over their rows.
    marks = made[-1]
    for column, word in enumerate(("address", "28 %", "top")):
        text = marks.words(word)
        assert np.allclose(text.at, [column * (WIDTH + GAP) + WIDTH / 2, ROOM / 2])
        assert text.how["anchor"] == "mm" and text.how["bold"] and text.colour == INK
    for row, words in enumerate(("one, face-on", "other, face-on", "one, down the line", "other, down the line")):
        text = marks.words(words)
        assert np.allclose(text.at, [12, 1.5 * ROOM + row * (ROOM + HEIGHT)]) and text.colour == INK
    # All of one height, the angles in the pictures too: eleven pixels where five columns are 390 wide.
    assert len(marks.drawn) == 7 and {one.how["size"] for one in marks.drawn} == {strip.TEXT}
    five = 5 * (WIDTH + GAP) - GAP
    assert 10.5 < strip.TEXT * marks.unit * 390 / five < 11.5 and marks.unit == WIDTH / 720


def test_a_sheets_angle_stands_where_no_club_passes() -> None:
    for left_handed in (False, True):
        shown = strip.shown_at(distinct_swing(1, left_handed=left_handed), "a", VIEWS[0])
        assert strip._angle(shown) == CornerAngle(strip.TEXT, on_the_left=left_handed)


def test_words_too_long_for_a_narrow_sheet_take_lines_of_their_own() -> None:
    shown = distinct_swing(1)
    wide, narrow = (strip._heading(shown, "its name", ABOVE, room) for room in (1500.0, 420.0))
    assert len(wide) == 1 and ", ".join(narrow) == wide[0] and len(narrow) > 1
    (cut, *_) = strip._heading(shown, "a name without end " * 9, ABOVE, 420.0)
    assert cut.startswith("a name") and cut.endswith("…")


class Filming:
    """Stands for a reel and remembers what it was given."""

    made: list[Filming]

    def __init__(self, swings: Any, titles: Any, layout: Any, size: Any, *, labels: Any) -> None:
        self.swings, self.titles, self.layout, self.size, self.labels = swings, titles, layout, size, labels
        self.drawn: list[int] = []
        Filming.made.append(self)

    def __enter__(self) -> Filming:
        return self

    def __exit__(self, *_: object) -> None:
        return None

    def draw(self, moment: int) -> np.ndarray:
        self.drawn.append(moment)
        return np.full((4, 4, 3), moment % 251, np.uint8)


class Simulated(NamedTuple):
    """Stands for a swing to the top."""

    of: object
    name: str
    moments: int
    impact = None


@pytest.fixture
def filming(monkeypatch: pytest.MonkeyPatch) -> type[Filming]:
    Filming.made = []
    monkeypatch.setattr(work, "Reel", Filming)
    simulated = {name: object() for name in ("centred", "sway", "braced-knees")}
    monkeypatch.setattr(
        asked, "swing_of", lambda setup, moments, **_: Simulated(simulated[setup.name], setup.name, moments)
    )
    monkeypatch.setattr(asked, "warnings", lambda swing: [f"{swing[1]} would fall over."])
    return Filming


@pytest.mark.parametrize(
    ("out", "asked_size", "size", "rate"),
    [("a.mp4", None, (1280, 1440), 25.0), ("a.gif", None, (640, 720), 12.5), ("a.webp", None, (960, 1080), 12.5),
     ("a.mp4", "501x401", (500, 400), 25.0)],
)  # fmt: skip
def test_a_film_is_of_the_swings_named_in_their_order(
    filming: type[Filming], tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str], out: str, asked_size: str | None, size: tuple[int, int], rate: float,
) -> None:  # fmt: skip
    written: list[tuple[Any, ...]] = []

    def mp4(part: Path, shown: Any, *rest: Any) -> None:
        part.write_bytes(b"film")
        written.append(([int(one[0, 0, 0]) for one in shown], *rest))

    def pictures(part: Path, suffix: str, shown: Any, order: Any, at_rate: float) -> None:
        assert suffix == Path(out).suffix and order == timing(2.0, rate).order
        mp4(part, shown, size, at_rate)

    monkeypatch.setattr(work.film_file, "write_mp4", mp4)
    monkeypatch.setattr(work.film_file, "write_pictures", pictures)
    work.film_to(["sway", "centred"], [], out=str(tmp_path / out), seconds=2.0, size=asked_size)
    (made,) = filming.made
    assert list(made.titles) == ["sway", "centred"]
    assert [(name, moments) for _, name, moments in made.swings] == [("sway", DENSE), ("centred", DENSE)]
    assert made.size == size and made.layout == panes(2, VIEWS, size) and made.labels is legend
    when = timing(2.0, rate)
    ((seen, of, at_rate),) = written
    assert seen == [when.picks[k] % 251 for k in when.order] and (of, at_rate) == (size, rate)
    assert capsys.readouterr().out.splitlines() == [
        "Note on sway: sway would fall over.", "Note on centred: centred would fall over.",
        f"The film is {tmp_path / out}",
    ]  # fmt: skip


def test_a_sheets_moments_are_spread_evenly_from_address_to_the_top(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[Any] = []

    def noted(swings: Any, titles: Any, views: Any, picks: Any, progress: Any) -> np.ndarray:
        del progress
        told.append((swings, titles, views, picks))
        return np.zeros((4, 4, 3), np.uint8)

    monkeypatch.setattr(strip, "sheet", noted)
    monkeypatch.setattr(asked, "swing_of", lambda setup, moments, **_: Simulated(None, setup.name, moments))
    monkeypatch.setattr(asked, "warnings", lambda swing: [])
    for moments, picks in ((2, [0, 400]), (5, [0, 100, 200, 300, 400]), (4, [0, 133, 267, 400])):
        told.clear()
        strip.strip_to(["sway", "centred"], [], moments=moments, views="down-the-line", out=str(tmp_path / "a.png"))
        swings = [(None, "sway", DENSE), (None, "centred", DENSE)]
        assert told == [(swings, ["sway", "centred"], ("down-the-line",), picks)]


def test_a_sheets_panes_are_upright_as_a_golfer_is() -> None:
    assert HEIGHT == 1.25 * WIDTH
