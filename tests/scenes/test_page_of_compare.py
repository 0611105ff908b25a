"""The comparison's page, pictures, figures and numbers: each beside the swing it belongs to, without a simulation."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
from compare_pages import arcs_of, comparison_page
from distinct import whole_swing
from shown import charts, figures, page, tables, words

from turnstill.model.films.camera import Camera
from turnstill.scenes.compare.figure_section import PageFigure
from turnstill.scenes.compare.hip_room import HipRoomReport
from turnstill.scenes.compare.report import ComparisonReport, Picture
from turnstill.scenes.compare.stills import caption
from turnstill.scenes.simulate.report import SwingReport
from turnstill.scenes.views.web_figure import WebFigure

FIGURE = PageFigure(
    web=WebFigure(
        ("figure one", "figure two"), ("first", "second", "third"), {"swings": [{"figure": 1}], "settings": 7.5}
    ),
    names=("one", "two", "three"),
    views=("down-the-line",),
)


SWINGS = [
    whole_swing("one", 0, warnings=["one is stopped", "and again"]),
    whole_swing("two", 300),
    whole_swing("three", 600),
]
ROOMS = [HipRoomReport(swing="three", most_hip_turn_deg=51.0, stopped_by=["trunk"], trunk_bend_deg=33.3)]


def drawn(index: int, view: str) -> Picture:
    k = 10.0 * index + len(view)
    camera = Camera(K=np.diag([k, k + 1, 1.0]), R=np.eye(3) * (k + 2), t=np.array([k, k + 3, k + 4]),
                    width=int(k) + 5, height=int(k) + 6)  # fmt: skip
    return Picture(index, view, f"{view} of {index}".encode(), f"{index}-{view}.png", camera)


PICTURES = [drawn(k, view) for k in range(3) for view in ("face-on", "down-the-line")]


def html(swings: list[SwingReport] = SWINGS, figure: PageFigure | None = None, inches: bool = False) -> str:
    lines = [[f"{report.preset} sentence {k}" for k in range(3)] for report in swings[1:]]
    return comparison_page(swings, lines, PICTURES[: 2 * len(swings)], ROOMS, figure=figure, inches=inches)


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
    many = [whole_swing(str(k), 300 * k) for k in range(6)]
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
    five = [whole_swing(str(k), 300 * k) for k in range(5)]
    assert "--count: 3; --print-count: 3" in comparison_page(five, [["a"]] * 4, PICTURES)
    assert "--count: 4; --print-count: 2" in comparison_page(
        five[:4], [["a"]] * 3, [drawn(k, "face-on") for k in range(4)]
    )
    alts = [one.alt for one in figures(html())]
    assert alts[0].startswith("one, face-on: a golfer at address") and alts[3].startswith("one, down the line: ")


def test_from_above_a_caption_has_turns_and_flares_each_of_its_own() -> None:
    report = SWINGS[1]
    top = report.moments[-1]
    flares = {"lead_flare_deg": 20.7, "trail_flare_deg": -4.2}
    told = caption("above", report.replaced(address={**report.address, **flares}), False)
    where, angles = told.split("; ")
    turns = (f"hip turn {top.hip_turn_deg:.0f}°, shoulder turn {top.shoulder_turn_deg:.0f}°").replace("-", "−")
    assert angles.replace("-", "−") == f"{turns}, lead flare 21°, trail flare −4°."
    # Seen are the ways toward the ball and the target, not up.
    for seen, key in ((True, "head_toward_target_cm"), (True, "head_toward_ball_cm"), (False, "head_up_cm")):
        assert (f"{abs(getattr(top, key)):.1f} cm" in where) == seen, key


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
            f"Head toward ball since address, {unit}",
        ]
        for (_, lines), key in zip(shown, ("head_up_cm", "head_toward_target_cm", "head_toward_ball_cm"), strict=True):
            for report in SWINGS:
                expected = [getattr(moment, key) / size for moment in report.moments]
                np.testing.assert_allclose(lines[report.preset][:, 1], expected, atol=5.0)
    still = whole_swing("a", 0)
    still = still.replaced(moments=[one.replaced(head_up_cm=0.0, head_toward_target_cm=0.0) for one in still.moments])
    for inches, end in ((False, "+1"), (True, "+0.6")):
        root = page(html([still, still.replaced(preset="b")], inches=inches))
        assert root.xpath("(//svg[@class='chart'])[1]//text[@class='level']/text()")[-1] == end
        assert (
            words(root.xpath("(//svg[@class='chart'])[1]//text[@class='end']")[0]) == f"up, {'in' if inches else 'cm'}"
        )
        assert words(root.xpath("(//svg[@class='chart'])[2]//text[@class='end']")[0]).startswith("toward target, ")
        assert words(root.xpath("(//svg[@class='chart'])[3]//text[@class='end']")[0]).startswith("toward ball, ")


def test_what_stopped_each_swing_is_told_under_its_name() -> None:
    told = [words(one) for one in page(html()).xpath("//section[h2='What was limited by what']//li")]
    nothing = "No range of this body stops anything that was asked."
    # What is said of several swings is said once.
    assert told == ["one: one is stopped", "one: and again", f"two and three: {nothing}",
                    "three: Asked for more hip turn, knees and place of the pelvis as they are, trunk would stop the "
                    "hips at 51°.",
                    "three: Take that as a ceiling, not as what people reach: 20 men (feet and knees not told) "
                    "turned the pelvis at most about 64° standing upright and 38° with the trunk bent 45° (Montgomery "
                    "et al. 2011); here it is bent 33° at address."]  # fmt: skip


def test_the_golfers_that_move_are_in_the_page() -> None:
    assert not page(html()).xpath("//script|//section[@id='turning']")
    root = page(html(figure=FIGURE))
    (section,) = root.xpath("//section[@id='turning']")
    # Nothing is seen of it until its script has found that the browser can draw it.
    assert section.get("hidden") is not None
    rows = section.xpath(".//div[@class='row']")
    assert [(row.get("data-view"), row.get("hidden") is None) for row in rows] == [
        ("down-the-line", True), ("face-on", False), ("above", False),
    ]  # fmt: skip
    for row, title in zip(rows, ("Down the line", "Face-on", "From above"), strict=True):
        assert words(row.xpath("./h3")[0]).startswith(title)
        assert [words(one) for one in row.xpath(".//figcaption/strong")] == ["one", "two", "three"]
        assert row.xpath(".//*[@role='img']/@aria-label") == [f"{n}, {title.lower()}" for n in ("one", "two", "three")]
    boxes = section.xpath(".//input[@type='checkbox']")
    assert [(box.get("value"), box.get("checked") is not None) for box in boxes] == [
        ("down-the-line", True), ("face-on", False), ("above", False),
    ]  # fmt: skip
    assert json.loads(section.xpath(".//script[@id='turning-data']/text()")[0]) == FIGURE.web.data
    assert section.xpath(".//script[@class='turning-figure']/text()") == ["figure one", "figure two"]
    assert section.xpath(".//script[@class='turning-motion']/text()") == ["first", "second", "third"]
    (own,) = section.xpath(".//script[@type='module']/text()")
    assert "import " not in own and own.index("class Figure") < own.index("class Show") < own.index("turning-play")
    assert ".turning" in root.xpath("//style")[0].text_content()
    assert ".turning" not in page(html()).xpath("//style")[0].text_content()


def test_cells_differ_from_the_first_column_where_that_is_noticeable() -> None:
    """0.3 cm, a degree and two per cent, or as much in inches, of the numbers as they are shown."""
    base = whole_swing("one", 0)
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
    marked = page(comparison_page([base, whole_swing("two", 300)], [["x"]], []))
    differs = marked.xpath("//td[@class='differs']")
    assert differs and all("(" in words(one) for one in differs)
    assert not any("(" in words(one) for one in marked.xpath("//td[not(@class)]"))
    assert marked.xpath("//tr[@class='group']/th/@colspan") == ["3"] * 4
    assert marked.xpath("//div[@class='scroll']/@style") == ["--count: 2"]


def test_the_numbers_of_a_comparison_name_each_swing_and_picture() -> None:
    lines = [["two differs"], ["three differs", "so"]]
    report = ComparisonReport.of(["a", "b"], SWINGS, lines, PICTURES, arcs_of(3), ROOMS)
    assert report.files == ["a", "b"] and report.swings == SWINGS and report.hip_room == ROOMS
    assert report.arcs == arcs_of(3), "in the order of the swings"
    assert [one.model_dump() for one in report.differences] == [
        {"of": "two", "against": "one", "sentences": ["two differs"]},
        {"of": "three", "against": "one", "sentences": ["three differs", "so"]},
    ]
    for told, picture in zip(report.pictures, PICTURES, strict=True):
        camera = picture.camera
        assert told.model_dump() == {
            "file": picture.file, "swing": ("one", "two", "three")[picture.index], "view": picture.view,
            "moment": picture.moment, "width": camera.width, "height": camera.height, "K": camera.K.tolist(),
            "R": camera.R.tolist(), "t_m": camera.t.tolist(),
        }  # fmt: skip
    # What people were measured to turn stands beside every most hip turn, and only there.
    measured = {one.trunk_bend_deg: round(one.hip_turn_deg) for one in report.measured_hip_turn}
    assert measured == {0.0: 64, 45.0: 38}
    alone = ComparisonReport.of([], SWINGS[:1], [], [], arcs_of(1))
    assert alone.hip_room == [] and alone.measured_hip_turn == []
