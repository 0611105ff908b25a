"""Every mark on a diagnosis' charts and drawings is where its axes say, named as its label is."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from diagnosis_reports import EITHER_WAY, PIECES, made
from shown import number, page, words

from turnstill.scenes.diagnose.page import diagnose_page
from turnstill.scenes.diagnose.parts import HeadReport
from turnstill.scenes.paper.piece_styles import PIECE_STYLES

REPORT = made()


@pytest.fixture(scope="module")
def html() -> str:
    return diagnose_page(REPORT)


def svgs(text: str) -> list:
    """The charts: face-on, down the line, turns, lengths, probabilities."""
    return list(page(text).xpath("//svg[@class='chart']"))


def across(svg) -> np.poly1d:
    """The scale to the right, read off the marks beside the axis as a person reads it."""
    marks = [t for t in svg.iter("text") if t.get("class") == "upright"]
    return np.poly1d(
        np.polyfit([float(m.getprevious().get("x1")) for m in marks], [number(words(m)) for m in marks], 1)
    )


def named(svg, tag: str) -> dict:
    return {one.get("data-name"): one for one in svg.iter(tag) if one.get("data-name")}


def row_names(svg) -> dict[float, str]:
    return {float(t.get("y")): words(t) for t in svg.iter("text") if t.get("class") == "row"}


def test_bars_are_as_long_as_their_piece_is_probable(html: str) -> None:
    chart = svgs(html)[4]
    scale, bars = across(chart), named(chart, "rect")
    said = {PIECES[one.piece][0]: one.probability for one in REPORT.each_piece} | {"nothing": REPORT.nothing_at_fault}
    assert list(bars) == list(said)
    for name, share in said.items():
        bar = bars[name]
        left, wide = float(bar.get("x")), float(bar.get("width"))
        assert scale(left) == pytest.approx(0.0, abs=0.5)
        assert scale(left + wide) == pytest.approx(100.0 * share, abs=0.5)
        beside = {words(t): float(t.get("y")) for t in chart.iter("text")}
        assert beside[name] == pytest.approx(beside[f"{100 * share:.0f}%"], abs=0.2)
        assert 0.0 < beside[name] - float(bar.get("y")) < 28.0
        full = name in ("sway", "tilt", "trail knee")
        assert (bar.get("fill") != "#fff") == full
    before = named(chart, "line")["before any film"]
    assert scale(float(before.get("x1"))) == pytest.approx(15.0, abs=0.5)
    assert before.get("x1") == before.get("x2")


@pytest.mark.parametrize("inches", [False, True])
def test_intervals_are_drawn_to_scale_over_the_band_of_the_faultless(inches: bool) -> None:
    text = diagnose_page(REPORT, inches)
    captions = [words(c) for c in page(text).xpath("//figcaption")]
    assert captions[2:4] == ["Turns, bends and knees, °", f"Sway and hips toward ball, {'in' if inches else 'cm'}"]
    for chart, unit in zip(svgs(text)[2:4], ("deg", "cm"), strict=True):
        factor = 2.54 if inches and unit == "cm" else 1.0
        scale, lines, dots, bands = across(chart), *(named(chart, tag) for tag in ("polyline", "circle", "rect"))
        shown = [one for one in REPORT.each_piece if one.unit == unit]
        assert list(lines) == [PIECES[one.piece][0] for one in shown]
        rows = row_names(chart)
        for one in shown:
            name = PIECES[one.piece][0]
            (x1, y1), (x2, y2) = ([float(n) for n in p.split(",")] for p in lines[name].get("points").split())
            assert [scale(x1), scale(x2)] == pytest.approx([one.low / factor, one.high / factor], abs=0.2)
            assert y1 == y2 and rows[min(rows, key=lambda y, at=y1: abs(y - 4.5 - at))] == name
            assert (float(lines[name].get("stroke-width")) > 2.0) == (one.probability >= 0.3)
            assert (name in dots) == (one.piece != EITHER_WAY)
            if name in dots:
                assert scale(float(dots[name].get("cx"))) == pytest.approx(one.most_likely / factor, abs=0.2)
                assert float(dots[name].get("cy")) == y1
                assert (dots[name].get("fill") != "#fff") == (one.probability >= 0.3)
            band = bands[f"{name}, not at fault"]
            left, wide = float(band.get("x")), float(band.get("width"))
            # 90 % of a normal distribution are within 1.645 standard deviations.
            half = 1.6449 * one.not_at_fault_sd / factor
            assert [scale(left), scale(left + wide)] == pytest.approx([-half, half], abs=0.2)
            assert abs(float(band.get("y")) + 12.0 - y1) < 0.2


def test_a_colour_means_one_piece_on_the_whole_page(html: str) -> None:
    by_name = {PIECES[piece][0]: style.colour for piece, style in PIECE_STYLES.items()}
    assert len(set(by_name.values())) == len(by_name)
    for chart in svgs(html):
        for mark in (*chart.iter("rect"), *chart.iter("polyline"), *chart.iter("circle"), *chart.iter("g")):
            name = mark.get("data-name")
            if name in by_name:
                parts = [mark, *mark.iterdescendants()]
                used = {part.get(key) for part in parts for key in ("fill", "stroke")} - {None, "none", "#fff"}
                assert used == {by_name[name]}, name
            elif name:
                colours = {mark.get("fill"), mark.get("stroke")}
                assert not colours & set(by_name.values()), name


def places(svg) -> tuple[np.poly1d, np.poly1d]:
    """The scales of a view, read off the marks beside its grid."""
    found = []
    for same, along in (("x1", "x"), ("y1", "y")):
        lines = [
            line for line in svg.iter("line")
            if line.get("class") in ("grid", "zero") and line.get(same) == line.get(same.replace("1", "2"))
        ]  # fmt: skip
        found.append(np.poly1d(np.polyfit(
            [float(line.get(f"{along}1")) for line in lines], [number(words(line.getnext())) for line in lines], 1
        )))  # fmt: skip
    return found[0], found[1]


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("inches", [False, True])
def test_arrows_and_the_head_as_read_are_where_the_axes_say(hand: str, inches: bool) -> None:
    report = made()
    report = report.replaced(body=report.body.replaced(handedness=hand))
    text, factor = diagnose_page(report, inches), 2.54 if inches else 1.0
    read = {one.reading: one for one in report.readings}
    pieces = {one.piece: one for one in report.each_piece}
    captions = [words(c) for c in page(text).xpath("//figcaption")]
    unit = "in" if inches else "cm"
    for k, (view, way) in enumerate((("Face-on", "head_toward_target"), ("Down the line", "head_toward_ball"))):
        assert captions[k] == f"{view}, {unit} Either way, so not drawn: trail knee."
        svg = svgs(text)[k]
        x, y = places(svg)
        assert (x.coeffs[0] > 0) == (hand == "right")
        arrows = named(svg, "g")
        assert set(arrows) == {"sway", "tilt"}
        for piece in ("sway", "tilt"):
            head = arrows[piece].xpath("./polygon/@points")[0].split()[0]
            tip = [float(n) for n in head.split(",")]
            start = [x.r[0], y.r[0]]
            tie = [a + 0.8 * (b - a) for a, b in zip(start, tip, strict=True)]
            ties = [(float(c.get("cx")), float(c.get("cy"))) for c in svg.iter("circle") if c.get("r") == "1.8"]
            assert any(at == pytest.approx(tie, abs=0.3) for at in ties), "its name is tied to it"
            there = pieces[piece].head_by_itself
            want = [getattr(there, f"{way}_cm") / factor, there.head_up_cm / factor]
            # The head as read is hundreds of centimetres away, and a place is told to a tenth of a pixel.
            assert [x(tip[0]), y(tip[1])] == pytest.approx(want, abs=0.02 * abs(read[way].value)), piece
        patch = named(svg, "ellipse")["as read"]
        at = [x(float(patch.get("cx"))), y(float(patch.get("cy")))]
        assert at == pytest.approx([read[way].value / factor, read["head_up"].value / factor], rel=0.01)
        scale = abs(x.coeffs[0])
        radii = [float(patch.get(r)) * scale for r in ("rx", "ry")]
        assert radii == pytest.approx([read[way].sd / factor, read["head_up"].sd / factor], abs=0.06 * scale)
        left, right = [words(t) for t in svg.xpath(".//text[@class='end']")][1:]
        toward = way.removeprefix("head_").replace("_", " ")
        ends = [f"← away from {toward.removeprefix('toward ')}", f"{toward}, {unit} →"]
        if hand == "left":
            ends = [f"← {toward}", f"away from {toward.removeprefix('toward ')}, {unit} →"]
        assert [left, right] == ends


def test_what_was_not_read_is_said_and_drawn_as_a_band() -> None:
    sideways = [one.replaced(sd=141.0) for one in REPORT.readings if one.reading in ("head_toward_target", "hip_turn")]
    text = diagnose_page(REPORT.replaced(readings=sideways))
    captions = [words(c) for c in page(text).xpath("//figcaption")]
    assert captions[0].startswith("Face-on, cm Not read: up.")
    assert captions[1].startswith("Down the line, cm Not read: toward ball, up.")
    face_on, line = svgs(text)[:2]
    x, _ = places(face_on)
    band, (one, _) = named(face_on, "rect")["as read"], sideways
    left, wide = float(band.get("x")), float(band.get("width"))
    assert x(left + wide / 2) == pytest.approx(one.value, abs=2.0)
    assert wide * x.coeffs[0] == pytest.approx(2.0 * 141.0, abs=2.0)
    assert not any("as read" in named(line, tag) for tag in ("rect", "ellipse"))
    height = [one.replaced(sd=187.0) for one in REPORT.readings if one.reading == "head_up"]
    face_on = svgs(diagnose_page(REPORT.replaced(readings=height)))[0]
    _, y = places(face_on)
    band = named(face_on, "rect")["as read"]
    assert y(float(band.get("y")) + float(band.get("height")) / 2) == pytest.approx(height[0].value, abs=2.0)
    assert float(band.get("height")) * -y.coeffs[0] == pytest.approx(2.0 * 187.0, abs=2.0)


def test_where_nothing_fits_only_what_was_read_is_drawn() -> None:
    views = svgs(diagnose_page(made(fits=False, feel=None)))
    assert [(len(named(svg, "g")), len(named(svg, "ellipse"))) for svg in views] == [(0, 1), (0, 1)]


def test_an_arrow_too_short_to_draw_is_said_to_be() -> None:
    nowhere = HeadReport(head_toward_target_cm=0.04, head_up_cm=-0.04, head_toward_ball_cm=0.06)
    each = [one.replaced(head_by_itself=nowhere) if one.piece == "tilt" else one for one in REPORT.each_piece]
    near = [one.replaced(value=1.0) for one in REPORT.readings]
    text = diagnose_page(REPORT.replaced(each_piece=each, readings=near))
    captions = [words(c) for c in page(text).xpath("//figcaption")]
    assert captions[0] == "Face-on, cm Too short to draw: tilt. Either way, so not drawn: trail knee."
    assert captions[1] == "Down the line, cm Either way, so not drawn: trail knee."
    assert [set(named(svg, "g")) for svg in svgs(text)[:2]] == [{"sway"}, {"sway", "tilt"}]


def test_names_beside_a_drawing_are_a_row_apart_and_on_it() -> None:
    """Eight short arrows of one place."""
    each = [
        one.replaced(low=1.0, head_by_itself=HeadReport(
            head_toward_target_cm=0.2 + 0.01 * k, head_up_cm=0.1, head_toward_ball_cm=0.3 - 0.01 * k
        ))
        for k, one in enumerate(REPORT.each_piece)
    ]  # fmt: skip
    text = diagnose_page(REPORT.replaced(each_piece=each, candidates=list(PIECES)))
    for svg in svgs(text)[:2]:
        tall = float(svg.get("viewbox").split()[3])
        names = {name for name, _ in PIECES.values()} | {"as read"}
        column = sorted(float(t.get("y")) for t in svg.iter("text") if words(t) in names)
        assert len(column) == 9 and column[-1] < tall
        assert all(below - above >= 15.0 for above, below in pairwise(column))


@pytest.mark.parametrize("inches", [False, True])
def test_all_that_is_written_is_on_its_chart_and_said_of_the_end_it_stands_at(inches: bool) -> None:
    charts = svgs(diagnose_page(REPORT, inches))
    for svg in charts:
        wide, tall = (float(n) for n in svg.get("viewbox").split()[2:])
        for text in svg.iter("text"):
            assert 0.0 <= float(text.get("x")) <= wide and 0.0 < float(text.get("y")) <= tall, words(text)
    for svg, unit in zip(charts[2:4], ("°", "in" if inches else "cm"), strict=True):
        less, more = (text for text in svg.iter("text") if text.get("class") == "end")
        assert (words(less), words(more)) == ("← less", f"more, {unit} →")
        assert float(less.get("x")) < float(more.get("x")) and more.get("text-anchor") == "end"
        zero = next(line for line in svg.iter("line") if line.get("class") == "zero")
        assert across(svg)(float(zero.get("x1"))) == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize("inches", [False, True])
def test_who_cannot_see_a_chart_is_told_what_it_shows(inches: bool) -> None:
    factor, unit = (2.54, "in") if inches else (1.0, "cm")
    told = [svg.get("aria-label") for svg in svgs(diagnose_page(REPORT, inches))]
    read, pieces = {one.reading: one for one in REPORT.readings}, {one.piece: one for one in REPORT.each_piece}
    for k, (view, way) in enumerate((("Face-on", "toward_target"), ("Down the line", "toward_ball"))):
        own = "; ".join(
            f"{piece} by itself {getattr(there, f'head_{way}_cm') / factor:+.1f} across, "
            f"{there.head_up_cm / factor:+.1f} up"
            for piece, there in ((piece, pieces[piece].head_by_itself) for piece in ("sway", "tilt"))
        )
        assert sorted(told[k].removesuffix(".").split("; ")) == sorted(
            f"{view}, {unit}: the head was read {read[f'head_{way}'].value / factor:+.1f} across "
            f"({way.replace('_', ' ')} positive), {read['head_up'].value / factor:+.1f} up; {own}".split("; ")
        )
    for label, kind, title in (
        (told[2], "deg", "Turns, bends and knees"),
        (told[3], "cm", "Sway and hips toward ball"),
    ):
        scale, mark = (factor, unit) if kind == "cm" else (1.0, "°")
        assert (
            label
            == f"{title}: "
            + "; ".join(
                f"{PIECES[one.piece][0]} {one.low / scale:+.1f} to {one.high / scale:+.1f} {mark}, "
                + ("either way" if one.piece == EITHER_WAY else f"most likely {one.most_likely / scale:+.1f}")
                for one in REPORT.each_piece
                if one.unit == kind
            )
            + "."
        )
    assert told[4] == (
        "Probability that each piece is at fault: "
        + "; ".join(f"{PIECES[one.piece][0]} {one.probability:.0%}" for one in REPORT.each_piece)
        + f"; nothing {REPORT.nothing_at_fault:.0%}."
    )
    sideways = REPORT.replaced(readings=[read["head_toward_target"]], candidates=[])
    unread = [svg.get("aria-label") for svg in svgs(diagnose_page(sideways))[:2]]
    assert unread == [
        f"Face-on, cm: the head was read {read['head_toward_target'].value:+.1f} across (toward target positive), not "
        "read up.",
        "Down the line, cm: the head was not read across, not read up.",
    ]
