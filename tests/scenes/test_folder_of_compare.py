"""What a comparison writes: pictures, film, numbers and page, each where it says."""

from __future__ import annotations

import json
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from distinct import whole_swing
from lxml import html as lxml_html
from PIL import Image
from shown import charts, figures, page, words

from turnstill.model.errors import TurnstillError
from turnstill.model.films.camera import Camera
from turnstill.scenes.compare import film_section, work
from turnstill.scenes.compare.film_section import PageFilm
from turnstill.scenes.compare.hip_room import HipRoomReport
from turnstill.scenes.setups.presets import Setup
from turnstill.scenes.simulate.report import SwingReport

FILM = PageFilm(
    mp4=b"the film", still=b"the still", order=(0, 1, 2, 1), progress=(0.0, 0.4, 1.0), rate=12.5, width=1216,
    height=888, columns=3, views=("face-on", "down-the-line"),
)  # fmt: skip


class Drawn:
    """Stands in for simulating, drawing and filming: keeps what was asked, gives swings told apart by name."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.steps: list[str] = []
        self.total = 0
        drawn = self

        class Steps:
            def __init__(self, total: int) -> None:
                drawn.total = total

            def __enter__(self) -> Any:
                return self

            def __exit__(self, *_: object) -> None: ...

            def step(self, doing: str) -> None:
                drawn.steps.append(doing)

        def of(_: object, one: Any, inches: bool = False) -> SwingReport:
            flares = {"lead_flare_deg": 20.0, "trail_flare_deg": 5.0}
            careful = [f"careful with {one.setup.name}{' in inches' * inches}"]
            return whole_swing(one.setup.name, 7, warnings=careful, address=flares)

        monkeypatch.setattr(work, "load", lambda name: Setup(name))
        monkeypatch.setattr(work, "apply", lambda setup, _: setup)
        monkeypatch.setattr(work, "Progress", Steps)
        monkeypatch.setattr(
            work, "perform", lambda setup, frames: SimpleNamespace(setup=setup, frames=frames, swing=setup)
        )
        monkeypatch.setattr(work, "cameras", lambda swings: [
            {view: drawn_camera(s.name, view) for view in ("face-on", "down-the-line", "above")} for s in swings
        ])  # fmt: skip
        monkeypatch.setattr(work, "draw", lambda one, view, camera, stage: f"{one.setup.name} {view}".encode())
        monkeypatch.setattr("turnstill.render.stage.stage.Stage", lambda: SimpleNamespaceContext())
        monkeypatch.setattr(SwingReport, "of", classmethod(of))
        monkeypatch.setattr(work, "_can_film", lambda: True)
        monkeypatch.setattr(work, "causes", lambda first, one: [(first.setup.name, one.setup.name)])
        monkeypatch.setattr(work.words, "matters_to_hips", lambda found: found[0][1] != "b")
        monkeypatch.setattr(HipRoomReport, "of", classmethod(lambda _, one: room_of(one.setup.name)))
        monkeypatch.setattr(work.words, "sentences", lambda first, one, names, found, rooms, inches, both: [
            f"{first.setup.name}, then {one.setup.name}: "
            f"{names} {found} {[room.swing for room in rooms]} {inches} {both}"
        ])  # fmt: skip
        monkeypatch.setattr(work, "page_film", self.page_film)

    @staticmethod
    def page_film(setups: list[Setup], views: tuple[str, ...], folder: Path, _: object) -> PageFilm:
        (folder / "film.mp4").write_bytes(b"film of " + " ".join(one.name for one in setups).encode())
        return replace(FILM, views=views)


class SimpleNamespaceContext:
    """A stage on which nothing is drawn."""

    def __enter__(self) -> str:
        return "stage"

    def __exit__(self, *_: object) -> None: ...


def drawn_camera(name: str, view: str) -> Camera:
    k = float(len(name + view))
    return Camera(K=np.eye(3) * k, R=np.eye(3), t=np.zeros(3), width=400, height=440)


def room_of(name: str) -> HipRoomReport | None:
    made = HipRoomReport(swing=name, most_hip_turn_deg=40.0 + len(name), stopped_by=[], trunk_bend_deg=30.0)
    return None if name == "d" else made


def test_a_comparison_writes_pictures_film_numbers_and_page_and_tells_what_differs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    recorder, out = Drawn(monkeypatch), tmp_path / "out"
    work.compare_to(["a", "b", "c", "d", "a"], [], 7, out=str(out), inches=True)
    names = ["a", "b", "c", "d", "a (2)"]
    views = ("face-on", "down-the-line")
    slugs = ["a", "b", "c", "d", "a-2"]
    files = {f"{k + 1}-{slugs[k]}-{view}.png": f"{name} {view}" for k, name in enumerate(names) for view in views}
    for file, content in files.items():
        assert (out / file).read_bytes() == content.encode()
    contents = json.loads((out / "comparison.json").read_text())
    assert contents["files"] == sorted([*files, "index.html", "comparison.json", "film.mp4"])
    assert sorted(one.name for one in out.iterdir()) == contents["files"]
    assert (out / "film.mp4").read_bytes() == b"film of a b c d a (2)"
    assert [one["preset"] for one in contents["swings"]] == names
    assert [(one["swing"], one["view"], one["K"][0][0]) for one in contents["pictures"]] == [
        (name, view, float(len(name + view))) for name in names for view in views
    ]
    # Swings whose hips may differ are told by the turn there is, if it was found of both.
    rooms = {"b": [], "c": ["a", "c"], "d": [], "a (2)": ["a", "a (2)"]}
    lines = [
        f"a, then {name}: {('a', name)} {[('a', name)]} {found} True {name == 'b'}" for name, found in rooms.items()
    ]
    assert [one["sentences"] for one in contents["differences"]] == [[line] for line in lines]
    assert [one["swing"] for one in contents["hip_room"]] == ["a", "c", "a (2)"]
    told = [f"Note on {name}: careful with {name} in inches\n" for name in names]
    assert capsys.readouterr().out == (
        "".join(f"{line}\n\n" for line in lines) + "".join(told) + f"The page is {out / 'index.html'}\n"
    )
    assert [one["warnings"] for one in contents["swings"]] == [[f"careful with {name}"] for name in names]
    assert recorder.steps[:5] == [f"simulating {name}" for name in names]
    assert recorder.steps[5:-1] == [f"drawing {name}, {view.replace('-', ' ')}" for name in names for view in views]
    assert recorder.steps[-1] == "writing the page" and recorder.total == len(recorder.steps) + 36
    html = (out / "index.html").read_text()
    assert [one.picture.decode() for one in figures(html)] == [f"{name} {view}" for view in views for name in names]
    assert page(html).xpath("//video") and charts(html)[0][0].endswith(", in")


def test_without_a_film_there_is_none_and_the_folder_is_named_after_the_swings(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    recorder = Drawn(monkeypatch)
    monkeypatch.chdir(tmp_path)
    work.compare_to(["a", "b"], [], film=False)
    out = tmp_path / "turnstill-a-vs-b"
    assert "film.mp4" not in json.loads((out / "comparison.json").read_text())["files"]
    assert not (out / "film.mp4").exists() and recorder.total == len(recorder.steps) == 7
    assert capsys.readouterr().out.endswith("The page is turnstill-a-vs-b/index.html\n")


@pytest.mark.parametrize(
    ("views", "seen", "heads", "rows"),
    [("above", ["above"], ["From above"], "and back, from above"),
     ("above,face-on", ["above", "face-on"], ["From above", "Face-on"], "and back, row by row from above, face-on"),
     ("face-on,down-the-line,above", ["face-on", "down-the-line", "above"], ["Face-on", "Down the line", "From above"],
      "and back, row by row face-on, down the line, from above")],
)  # fmt: skip
def test_the_views_asked_for_are_drawn_filmed_and_listed_in_their_order(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, views: str, seen: list[str], heads: list[str], rows: str
) -> None:
    recorder, out = Drawn(monkeypatch), tmp_path / "out"
    work.compare_to(["a", "b"], [], 7, out=str(out), views=views)
    contents = json.loads((out / "comparison.json").read_text())
    assert [(one["swing"], one["view"], one["K"][0][0]) for one in contents["pictures"]] == [
        (name, view, float(len(name + view))) for name in "ab" for view in seen
    ]
    files = [f"{k + 1}-{name}-{view}.png" for k, name in enumerate("ab") for view in seen]
    assert contents["files"] == sorted([*files, "index.html", "comparison.json", "film.mp4"])
    assert recorder.total == len(recorder.steps) + 36 == 2 * (1 + len(seen)) + 36 + 1
    root = page((out / "index.html").read_text())
    sections = root.xpath("//section[div[@class='views']]")
    assert [words(one.xpath("./h2")[0]) for one in sections] == heads
    assert [
        [one.picture.decode() for one in figures(lxml_html.tostring(section, encoding="unicode"))]
        for section in sections
    ] == [[f"{name} {view}" for name in "ab"] for view in seen]
    assert root.xpath("//video/@aria-label")[0].endswith(rows)
    told = words(root.xpath("//section[@class='film']/p")[0])
    assert ("From above, the angles are the turns" in told) and ("lean face-on" in told) == ("face-on" in seen)


@pytest.mark.parametrize("views", ["over", "", "above,above"])
def test_other_views_are_refused_before_anything_is_done(
    views: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    recorder = Drawn(monkeypatch)
    with pytest.raises(TurnstillError, match="face-on, down-the-line or above") as wrong:
        work.compare_to(["a", "b"], [], 7, out=str(tmp_path / "out"), views=views)
    assert repr(views) in str(wrong.value) and not recorder.steps and not list(tmp_path.iterdir())


def test_how_many_swings_and_which_frames_can_be_compared(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    Drawn(monkeypatch)
    for names, told in ((["a"], "1 swing, "), (["a"] * 7, "7 swings, "), ([], "0 swings, ")):
        with pytest.raises(TurnstillError, match=f"compare was given {told}but takes 2 to 6"):
            work.compare_to(names, [], out=str(tmp_path / "out"))
    with pytest.raises(TurnstillError, match="--frames was 1"):
        work.compare_to(["a", "b"], [], 1, out=str(tmp_path / "out"))
    work.compare_to(["a"] * 6, [], out=str(tmp_path / "out"), film=False)


def test_a_missing_codec_leaves_the_film_out_and_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    asked: list[str] = []
    monkeypatch.setattr(work.film_file, "check_codec", asked.append)
    assert work._can_film() and asked == [".mp4"] and capsys.readouterr().err == ""

    def missing(_: str) -> None:
        raise TurnstillError("The codec is not there.")

    monkeypatch.setattr(work.film_file, "check_codec", missing)
    assert not work._can_film()
    assert capsys.readouterr() == ("", "turnstill: The page has no film. The codec is not there.\n")


class Reel:
    """Stands in for drawing: every picture is of the colour of its moment."""

    def __init__(self, *asked: Any, **named: Any) -> None:
        self.asked, self.named = asked, named

    def __enter__(self) -> Reel:
        return self

    def __exit__(self, *_: object) -> None: ...

    def draw(self, moment: int) -> np.ndarray:
        return np.full((8, 8, 3), moment // 4, np.uint8)


def test_the_film_shows_every_swing_in_every_view_and_rests_at_the_top(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[Reel] = []
    written: dict[str, Any] = {}
    steps: list[str] = []

    def reel(*asked: Any, **named: Any) -> Reel:
        made.append(Reel(*asked, **named))
        return made[-1]

    def write(file: Path, shown: Any, size: tuple[int, int], rate: float, encoding: dict[str, str]) -> None:
        written.update(shown=list(shown), size=size, rate=rate, encoding=encoding)
        file.write_bytes(b"encoded")

    class Steps:
        def over(self, items: Any, doing: str) -> Any:
            for item in items:
                steps.append(doing)
                yield item

    monkeypatch.setattr(film_section, "Reel", reel)
    monkeypatch.setattr(film_section, "frames", lambda _, picks, order: [picks[k] for k in order])
    monkeypatch.setattr(film_section, "swing_of", lambda setup, frames: f"{setup.name}, {frames} moments")
    monkeypatch.setattr(film_section.film_file, "write_mp4", write)
    film = film_section.page_film([Setup("a"), Setup("b"), Setup("c")], ("above", "face-on"), tmp_path, Steps())  # type: ignore[arg-type]
    (swings, names, layout, size), named = made[0].asked, made[0].named
    dense = film_section.DENSE
    assert swings == [f"{name}, {dense} moments" for name in "abc"] and names == ["a", "b", "c"]
    gap = film_section.GAP
    assert size == written["size"] == (film.width, film.height) == (3 * 400 + 2 * gap, 2 * 440 + gap)
    assert named == {"labels": film_section.legend}
    panes = [(pane.swing, pane.view) for pane in layout]
    assert panes == [(k, view) for view in ("above", "face-on") for k in range(3)] and film.views == (
        "above",
        "face-on",
    )
    assert (written["rate"], film.rate, film.columns, film.least_column) == (12.0, 12.0, 3, 170)
    # Constant quality and a whole picture at least every second, so that moving it by hand never waits.
    assert written["encoding"] == {"crf": "25", "g": "12"}
    assert film.mp4 == b"encoded" == (tmp_path / "film.mp4").read_bytes()
    assert len(written["shown"]) == len(film.order) == len(steps) == film_section.FILM_FRAMES == 36
    assert set(steps) == {"filming"}
    top = len(film.progress) - 1
    assert written["shown"][0] == 0 and max(written["shown"]) == dense - 1 == written["shown"][top]
    assert film.order[: top + 1] == tuple(range(top + 1))
    assert (film.progress[0], film.progress[-1]) == (0.0, 1.0) and list(film.progress) == sorted(film.progress)
    assert all(share == round(share, 4) for share in film.progress)
    still = np.asarray(Image.open(BytesIO(film.still)))
    assert Image.open(BytesIO(film.still)).format == "JPEG" and abs(int(still[4, 4, 0]) - (dense - 1) // 4) <= 2
