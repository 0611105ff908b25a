"""The comparison's page, pictures, film and numbers: each beside the swing it belongs to, without a simulation."""

from __future__ import annotations

import json
from base64 import b64decode
from io import BytesIO
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from distinct import filled
from PIL import Image
from shown import charts, figures, page, tables, words

from turnstill.model.errors import TurnstillError
from turnstill.model.films.camera import Camera
from turnstill.scenes.compare import film_section, work
from turnstill.scenes.compare.film_section import PageFilm
from turnstill.scenes.compare.hip_room import HipRoomReport
from turnstill.scenes.compare.page import caption, comparison_page
from turnstill.scenes.compare.report import ComparisonReport, Picture
from turnstill.scenes.setups.presets import Setup
from turnstill.scenes.simulate.report import SwingReport

FILM = PageFilm(
    mp4=b"the film", still=b"the still", order=(0, 1, 2, 1), progress=(0.0, 0.4, 1.0), rate=12.5, width=1216,
    height=888, columns=3,
)  # fmt: skip


def swing(name: str, start: int, **changed: Any) -> SwingReport:
    report = filled(SwingReport, preset=name, start=start, shows=f"what {name} shows")
    first, last = report.moments
    report = report.replaced(moments=[first.replaced(progress=0.0), last.replaced(progress=1.0)], warnings=[])
    return report.replaced(**changed)


SWINGS = [swing("one", 0, warnings=["one is stopped", "and again"]), swing("two", 300), swing("three", 600)]
ROOMS = [HipRoomReport(swing="three", most_hip_turn_deg=51.0, stopped_by=["trunk"])]


def drawn(index: int, view: str) -> Picture:
    k = 10.0 * index + len(view)
    camera = Camera(K=np.diag([k, k + 1, 1.0]), R=np.eye(3) * (k + 2), t=np.array([k, k + 3, k + 4]),
                    width=int(k) + 5, height=int(k) + 6)  # fmt: skip
    return Picture(index, view, f"{view} of {index}".encode(), f"{index}-{view}.png", camera)


PICTURES = [drawn(k, view) for k in range(3) for view in ("face-on", "down-the-line")]


def html(swings: list[SwingReport] = SWINGS, film: PageFilm | None = None, inches: bool = False) -> str:
    lines = [[f"{report.preset} sentence {k}" for k in range(3)] for report in swings[1:]]
    return comparison_page(swings, lines, PICTURES[: 2 * len(swings)], ROOMS, film=film, inches=inches)


def test_title_golfer_and_names_stand_at_the_top() -> None:
    root = page(html())
    assert words(root.xpath("//h1")[0]) == "one vs two vs three"
    names = root.xpath("//header/ul/li")
    assert [words(one) for one in names] == [f"{n}: what {n} shows" for n in ("one", "two", "three")]
    body = SWINGS[0].body.replaced(measured=["thigh"])
    same = [report.replaced(body=body, shows="") for report in SWINGS]
    golfer = f"{body.stature_cm:.0f} cm, {body.mass_kg:.0f} kg, {body.sex}, {body.handedness}-handed".replace(
        "-5", "−5"
    )
    assert words(page(html(same)).xpath("//p[@class='who']")[0]) == f"Simulated golfer: {golfer}, 1 measured value"
    assert [words(one) for one in page(html(same)).xpath("//header/ul/li")] == ["one", "two", "three"]
    own = [
        report.replaced(body=body.replaced(mass_kg=50.0 + k, measured=["a"] * 2 * k)) for k, report in enumerate(SWINGS)
    ]
    told = words(page(html(own, inches=True)).xpath("//p[@class='who']")[0]).split("; ")
    for k, (name, one) in enumerate(zip(("one", "two", "three"), told, strict=True)):
        assert one.startswith(f"{name}: Simulated golfer: ") and f" in, {50 + k} kg, " in one
        assert one.endswith(("-handed", ", 2 measured values", ", 4 measured values")[k])


def test_colours_and_marks_of_a_legend_are_those_of_its_line() -> None:
    root = page(html())
    for names in root.xpath("//ul[@class='names']"):
        colours = [one.xpath(".//svg//line/@stroke")[0] for one in names.xpath("./li")]
        for chart in root.xpath("//svg[@class='chart']"):
            lines = {line.get("data-name"): line.get("stroke") for line in chart.xpath(".//polyline")}
            assert [lines[name] for name in ("one", "two", "three")] == colours
    together = root.xpath("//section[@class='together']")[0]
    assert [words(one) for one in together.xpath("./ul/li")] == ["one", "two", "three"]


def test_sentences_stand_under_the_swing_they_are_about_and_the_rest_is_folded() -> None:
    def told(root: Any) -> list[str]:
        return [words(one) for one in root.xpath("./h3|./p")]

    (short,) = page(html()).xpath("//section[@class='short']")
    (more,) = short.xpath("./details")
    assert told(short) == ["two against one", "two sentence 0", "two sentence 1", "three against one",
                           "three sentence 0", "three sentence 1"]  # fmt: skip
    assert told(more) == ["two against one", "two sentence 2", "three against one", "three sentence 2"]
    (pair,) = page(html(SWINGS[:2])).xpath("//section[@class='short']")
    assert told(pair) == ["two sentence 0", "two sentence 1", "two sentence 2"] and not pair.xpath("./details")
    quiet = comparison_page(SWINGS, [[], ["x"]], [])
    assert told(page(quiet).xpath("//section[@class='short']")[0]) == ["three against one", "x"]
    many = [swing(str(k), 300 * k) for k in range(6)]
    lines = [[f"{k} a", f"{k} b"] for k in range(1, 6)]
    (long,) = page(comparison_page(many, lines, [])).xpath("//section[@class='short']")
    assert [one for one in told(long) if "against" not in one] == ["1 a", "2 a", "3 a", "4 a"]
    (folded,) = long.xpath("./details")
    assert [one for one in told(folded) if "against" not in one] == ["1 b", "2 b", "3 b", "4 b", "5 a", "5 b"]


def test_views_stand_face_on_first_each_with_what_its_marks_mean() -> None:
    root = page(html())
    heads = [words(one) for one in root.xpath("//h2")]
    assert heads == ["Face-on", "Down the line", "The head on its way to the top", "The numbers",
                     "What was limited by what", "Before you use this"]  # fmt: skip
    for section, way in zip(root.xpath("//section[div[@class='views']]"), ("away from the target", "toward the ball"),
                            strict=True):  # fmt: skip
        assert f"from the vertical in this view, {way} positive" in words(section.xpath("./p")[0])
    assert root.xpath("//section[div[@class='views']]/@class") == ["sheet"]
    counts = [root.xpath("//div[@class='views']/@style")[0] for root in (page(html()), page(html(SWINGS[:2])))]
    assert counts == ["--count: 3; --print-count: 3", "--count: 2; --print-count: 2"]
    five = [swing(str(k), 300 * k) for k in range(5)]
    assert "--count: 3; --print-count: 3" in comparison_page(five, [["a"]] * 4, PICTURES)
    assert "--count: 4; --print-count: 2" in comparison_page(
        five[:4], [["a"]] * 3, [drawn(k, "face-on") for k in range(4)]
    )
    alts = [one.alt for one in figures(html())]
    assert alts[0].startswith("one, face-on: a golfer at address") and alts[3].startswith("one, down the line: ")


def test_a_caption_is_of_the_top_and_in_the_unit_asked() -> None:
    report = SWINGS[0]
    for inches, size, unit, digits in ((False, 1.0, "cm", 1), (True, 2.54, "in", 2)):
        told = caption("face-on", report, inches)
        assert f"{abs(report.moments[-1].head_up_cm) / size:.{digits}f} {unit} " in told
    assert f"{abs(SWINGS[1].moments[-1].head_up_cm) / 2.54:.2f} in" in figures(html(inches=True))[1].caption


def test_charts_are_in_the_unit_asked() -> None:
    for inches, unit, size in ((False, "cm", 1.0), (True, "in", 2.54)):
        shown = charts(html(inches=inches))
        assert [one for one, _ in shown] == [
            f"Head up since address, {unit}",
            f"Head toward target since address, {unit}",
        ]
        for (_, lines), key in zip(shown, ("head_up_cm", "head_toward_target_cm"), strict=True):
            for report in SWINGS:
                expected = [getattr(moment, key) / size for moment in report.moments]
                np.testing.assert_allclose(lines[report.preset][:, 1], expected, atol=5.0)
    still = swing("a", 0)
    still = still.replaced(moments=[one.replaced(head_up_cm=0.0, head_toward_target_cm=0.0) for one in still.moments])
    for inches, end in ((False, "+1"), (True, "+0.6")):
        root = page(html([still, still.replaced(preset="b")], inches=inches))
        assert root.xpath("(//svg[@class='chart'])[1]//text[@class='level']/text()")[-1] == end
        assert (
            words(root.xpath("(//svg[@class='chart'])[1]//text[@class='end']")[0]) == f"up, {'in' if inches else 'cm'}"
        )
        assert words(root.xpath("(//svg[@class='chart'])[2]//text[@class='end']")[0]).startswith("toward target, ")


def test_what_stopped_each_swing_is_told_under_its_name() -> None:
    told = [words(one) for one in page(html()).xpath("//section[h2='What was limited by what']//li")]
    nothing = "No range of this body stops anything that was asked."
    assert told == ["one: one is stopped", "one: and again", f"two: {nothing}", f"three: {nothing}",
                    "three: Asked for more hip turn, knees and place of the pelvis as they are, trunk would stop the "
                    "hips at 51°."]  # fmt: skip


def test_the_film_its_still_and_its_way_are_in_the_page() -> None:
    assert not page(html()).xpath("//video|//script")
    root = page(html(film=FILM))
    (video,) = root.xpath("//video")
    assert (video.get("width"), video.get("height"), video.get("style")) == ("1216", "888", "min-width: 510px")
    for name, kind, data in (("src", "video/mp4", b"the film"), ("poster", "image/jpeg", b"the still")):
        head, _, body = video.get(name).partition(";base64,")
        assert head == f"data:{kind}" and b64decode(body) == data
    assert video.get("aria-label").startswith("one and two and three moving in step")
    (way,) = root.xpath("//input")
    assert (way.get("min"), way.get("max"), way.get("value")) == ("0", "2", "0")
    assert json.loads(root.xpath("//script[@id='film-data']/text()")[0]) == {
        "order": [0, 1, 2, 1], "progress": [0.0, 0.4, 1.0], "rate": 12.5,
    }  # fmt: skip
    folder = Path(work.__file__).parent
    assert (folder / "film.js").read_text().strip() in root.xpath("//script")[1].text_content()
    assert (folder / "film.css").read_text().strip() in root.xpath("//style")[0].text_content()
    assert "film-bar" not in page(html()).xpath("//style")[0].text_content()


def test_cells_differ_from_the_first_column_where_that_is_noticeable() -> None:
    """0.3 cm, a degree and two per cent, or as much in inches, of the numbers as they are shown."""
    base = swing("one", 0)
    last = base.moments[-1].replaced(head_up_cm=1.0, tilt_deg=40.0, trail_weight_share=0.60)

    def cells(inches: bool = False, **changed: float) -> list[str]:
        other = base.replaced(preset="two", moments=[base.moments[0], last.replaced(**changed)])
        first = base.replaced(moments=[base.moments[0], last])
        (table,) = tables(comparison_page([first, other], [["x"]], [], inches=inches))
        return [cell for (_, name), cell in table.items() if name == "two" and "(" in cell]

    assert cells(head_up_cm=1.29) == ["+1.3 (+0.3)"] and cells(head_up_cm=1.24) == []
    assert cells(tilt_deg=41.0) == ["41.0 (+1.0)"] and cells(tilt_deg=39.1) == []
    assert cells(trail_weight_share=0.58) == ["58 (−2)"] and cells(trail_weight_share=0.61) == []
    assert cells(inches=True, head_up_cm=1.33) == ["+0.52 (+0.13)"] and cells(inches=True, head_up_cm=1.27) == []
    marked = page(comparison_page([base, swing("two", 300)], [["x"]], []))
    differs = marked.xpath("//td[@class='differs']")
    assert differs and all("(" in words(one) for one in differs)
    assert not any("(" in words(one) for one in marked.xpath("//td[not(@class)]"))
    assert marked.xpath("//tr[@class='group']/th/@colspan") == ["3"] * 4
    assert marked.xpath("//div[@class='scroll']/@style") == ["--count: 2"]


def test_the_numbers_of_a_comparison_name_each_swing_and_picture() -> None:
    lines = [["two differs"], ["three differs", "so"]]
    report = ComparisonReport.of(["a", "b"], SWINGS, lines, PICTURES, ROOMS)
    assert report.files == ["a", "b"] and report.swings == SWINGS and report.hip_room == ROOMS
    assert [one.model_dump() for one in report.differences] == [
        {"of": "two", "against": "one", "sentences": ["two differs"]},
        {"of": "three", "against": "one", "sentences": ["three differs", "so"]},
    ]
    for told, picture in zip(report.pictures, PICTURES, strict=True):
        camera = picture.camera
        assert told.model_dump() == {
            "file": picture.file, "swing": ("one", "two", "three")[picture.index], "view": picture.view,
            "width": camera.width, "height": camera.height, "K": camera.K.tolist(), "R": camera.R.tolist(),
            "t_m": camera.t.tolist(),
        }  # fmt: skip
    assert ComparisonReport.of([], SWINGS[:1], [], []).hip_room == []


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
            return swing(one.setup.name, 7, warnings=[f"careful with {one.setup.name}{' in inches' * inches}"])

        monkeypatch.setattr(work, "load", lambda name: Setup(name))
        monkeypatch.setattr(work, "apply", lambda setup, _: setup)
        monkeypatch.setattr(work, "Progress", Steps)
        monkeypatch.setattr(
            work, "perform", lambda setup, frames: SimpleNamespace(setup=setup, frames=frames, swing=setup)
        )
        monkeypatch.setattr(work, "cameras", lambda swings: [
            {view: drawn_camera(s.name, view) for view in ("face-on", "down-the-line")} for s in swings
        ])  # fmt: skip
        monkeypatch.setattr(work, "draw", lambda one, view, camera, stage: f"{one.setup.name} {view}".encode())
        monkeypatch.setattr("turnstill.render.stage.stage.Stage", lambda: SimpleNamespaceContext())
        monkeypatch.setattr(SwingReport, "of", classmethod(of))
        monkeypatch.setattr(work, "_can_film", lambda: True)
        monkeypatch.setattr(work, "causes", lambda first, one: [(first.setup.name, one.setup.name)])
        monkeypatch.setattr(work.words, "matters_to_hips", lambda found: found[0][1] != "b")
        monkeypatch.setattr(HipRoomReport, "of", classmethod(lambda _, one: room_of(one.setup.name)))
        monkeypatch.setattr(work.words, "sentences", lambda first, one, names, found, rooms, inches, both: [
            f"{names} {found} {[room.swing for room in rooms]} {inches} {both}"
        ])  # fmt: skip
        monkeypatch.setattr(work, "page_film", self.page_film)

    @staticmethod
    def page_film(setups: list[Setup], folder: Path, _: object) -> PageFilm:
        (folder / "film.mp4").write_bytes(b"film of " + " ".join(one.name for one in setups).encode())
        return FILM


class SimpleNamespaceContext:
    """A stage on which nothing is drawn."""

    def __enter__(self) -> str:
        return "stage"

    def __exit__(self, *_: object) -> None: ...


def drawn_camera(name: str, view: str) -> Camera:
    k = float(len(name + view))
    return Camera(K=np.eye(3) * k, R=np.eye(3), t=np.zeros(3), width=400, height=440)


def room_of(name: str) -> HipRoomReport | None:
    return None if name == "d" else HipRoomReport(swing=name, most_hip_turn_deg=40.0 + len(name), stopped_by=[])


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
    lines = [f"{('a', name)} {[('a', name)]} {found} True {name == 'b'}" for name, found in rooms.items()]
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


def test_the_film_shows_every_swing_in_both_views_and_rests_at_the_top(
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
    film = film_section.page_film([Setup("a"), Setup("b"), Setup("c")], tmp_path, Steps())  # type: ignore[arg-type]
    (swings, names, layout, size), named = made[0].asked, made[0].named
    dense = film_section.DENSE
    assert swings == [f"{name}, {dense} moments" for name in "abc"] and names == ["a", "b", "c"]
    gap = film_section.GAP
    assert size == written["size"] == (film.width, film.height) == (3 * 400 + 2 * gap, 2 * 440 + gap)
    assert named == {"labels": film_section.legend}
    panes = [(pane.swing, pane.view) for pane in layout]
    assert panes == [(k, view) for view in ("face-on", "down-the-line") for k in range(3)]
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
