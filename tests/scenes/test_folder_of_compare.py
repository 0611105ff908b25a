"""What a comparison writes: pictures, numbers and a page with moving golfers, each where it says."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any, NamedTuple

import numpy as np
import pytest
from compare_pages import arcs_of
from distinct import whole_swing
from distinct_swings import distinct_swing
from lxml import html as lxml_html
from shown import charts, figures, page, words

from turnstill.model.errors import TurnstillError
from turnstill.model.films.camera import Camera
from turnstill.scenes.compare import figure_section, work
from turnstill.scenes.compare.figure_section import PageFigure
from turnstill.scenes.compare.hip_room import HipRoomReport
from turnstill.scenes.setups.presets import Setup
from turnstill.scenes.simulate.report import SwingReport
from turnstill.scenes.views.web_figure import WebFigure
from turnstill.scenes.words.pieces import head_words


class Drawn:
    """Stands in for simulating and drawing: keeps what was asked, gives swings told apart by name."""

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
        monkeypatch.setattr(work, "perform", lambda setup, frames, _, through_impact: Simulated(setup, frames, setup))
        monkeypatch.setattr(work, "cameras", lambda swings: [
            {view: drawn_camera(s.name, view) for view in ("face-on", "down-the-line", "above")} for s in swings
        ])  # fmt: skip
        monkeypatch.setattr(work, "draw", lambda one, view, camera, stage, at: f"{one.setup.name} {view}".encode())
        monkeypatch.setattr("turnstill.render.stage.stage.Stage", lambda: SimpleNamespaceContext())
        monkeypatch.setattr(SwingReport, "of", classmethod(of))
        monkeypatch.setattr(work, "causes", lambda first, one, _: [(first.setup.name, one.setup.name)])
        monkeypatch.setattr(work.words, "matters_to_hips", lambda found: found[0][1] != "b")
        monkeypatch.setattr(HipRoomReport, "of", classmethod(lambda _, one, __: room_of(one.setup.name)))
        monkeypatch.setattr(work.words, "sentences", lambda first, one, names, found, rooms, inches, both: [
            f"{first.setup.name}, then {one.setup.name}: "
            f"{names} {found} {[room.swing for room in rooms]} {inches} {both}"
        ])  # fmt: skip
        monkeypatch.setattr(work, "page_figure", self.page_figure)
        monkeypatch.setattr(work, "taken_along", lambda performed, _: arcs_of(len(performed)))

    @staticmethod
    def page_figure(
        performed: list[Any], views: tuple[str, ...], cameras: list[Any], stage: str, *, inches: bool,
        through_impact: bool, opens_at_impact: bool,
    ) -> PageFigure:  # fmt: skip
        assert stage == "stage" and not through_impact and not opens_at_impact and len(cameras) == len(performed)
        names = tuple(one.setup.name for one in performed)
        motions = tuple(f"motion of {name}{' in inches' * inches}" for name in names)
        return PageFigure(WebFigure(("figure",), motions, {}), names, views)


class Simulated(NamedTuple):
    """A swing up to its top."""

    setup: Setup
    frames: int
    swing: Setup

    def until_top(self) -> Simulated:
        return self


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


def test_a_comparison_writes_pictures_numbers_and_page_and_tells_what_differs(
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
    assert contents["files"] == sorted([*files, "index.html", "comparison.json"])
    assert sorted(one.name for one in out.iterdir()) == contents["files"]
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
    assert recorder.steps[-1] == "writing the page" and recorder.total == len(recorder.steps)
    html = (out / "index.html").read_text()
    assert [one.picture.decode() for one in figures(html)] == [f"{name} {view}" for view in views for name in names]
    told = page(html).xpath("//script[@class='turning-motion']/text()")
    assert told == [f"motion of {name} in inches" for name in names]
    assert charts(html)[0][0].endswith(", in")


def test_a_folder_is_named_after_the_swings(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    recorder = Drawn(monkeypatch)
    monkeypatch.chdir(tmp_path)
    work.compare_to(["a", "b"], [])
    out = tmp_path / "turnstill-a-vs-b"
    assert (out / "index.html").exists() and recorder.total == len(recorder.steps) == 7
    assert capsys.readouterr().out.endswith("The page is turnstill-a-vs-b/index.html\n")


@pytest.mark.parametrize(
    ("views", "seen", "heads"),
    [("above", ["above"], ["From above"]),
     ("above,face-on", ["above", "face-on"], ["From above", "Face-on"]),
     ("face-on,down-the-line,above", ["face-on", "down-the-line", "above"],
      ["Face-on", "Down the line", "From above"])],
)  # fmt: skip
def test_the_views_asked_for_are_drawn_and_listed_in_their_order(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, views: str, seen: list[str], heads: list[str]
) -> None:
    recorder, out = Drawn(monkeypatch), tmp_path / "out"
    work.compare_to(["a", "b"], [], 7, out=str(out), views=views)
    contents = json.loads((out / "comparison.json").read_text())
    assert [(one["swing"], one["view"], one["K"][0][0]) for one in contents["pictures"]] == [
        (name, view, float(len(name + view))) for name in "ab" for view in seen
    ]
    files = [f"{k + 1}-{name}-{view}.png" for k, name in enumerate("ab") for view in seen]
    assert contents["files"] == sorted([*files, "index.html", "comparison.json"])
    assert recorder.total == len(recorder.steps) == 2 * (1 + len(seen)) + 1
    root = page((out / "index.html").read_text())
    sections = root.xpath("//section[div[@class='views']]")
    assert [words(one.xpath("./h2")[0]) for one in sections] == heads
    assert [
        [one.picture.decode() for one in figures(lxml_html.tostring(section, encoding="unicode"))]
        for section in sections
    ] == [[f"{name} {view}" for name in "ab"] for view in seen]
    rows = [row.get("data-view") for row in root.xpath("//section[@id='turning']/div[@class='row'][not(@hidden)]")]
    assert rows == seen


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
    work.compare_to(["a"] * 6, [], out=str(tmp_path / "out"))


def test_golfers_that_move_have_enough_moments_and_say_where_the_head_is(monkeypatch: pytest.MonkeyPatch) -> None:
    sent: list[Any] = []

    def web(swings: Any, figures: Any, cameras: Any, words: Any) -> WebFigure:
        sent.append((swings, figures, cameras, words))
        return WebFigure((), (), {})

    monkeypatch.setattr(figure_section, "web_figure", web)
    monkeypatch.setattr(figure_section, "swing_of", lambda setup, moments, **_: distinct_swing(9, moments))
    stage: Any = SimpleNamespace(figure=lambda body, address, left_handed: (float(body.stature), left_handed))
    for moments, shown in ((9, 41), (30, 41), (31, 31), (81, 81), (82, 41)):
        swing = distinct_swing(3, moments, left_handed=True)
        one: Any = SimpleNamespace(setup=Setup("one"), swing=swing)
        made = figure_section.page_figure([one], ("above",), [{"a": "camera"}], stage, inches=True)  # type: ignore[dict-item]
        assert made.names == ("one",) and made.views == ("above",)
        (swings, figures, cameras, (words,)) = sent.pop()
        assert [len(s.progress) for s in swings] == [shown] and cameras == [{"a": "camera"}]
        assert figures == [(float(swings[0].body.stature), swings[0].left_handed)]
        for view, axes in (("face-on", (1, 2)), ("down-the-line", (0, 2)), ("above", (0, 1))):
            places = np.asarray(swings[0].measures.head_moved) * 100
            assert words[view] == [f"Head {head_words(place, True, axes)}".replace(" -", " −") for place in places]
