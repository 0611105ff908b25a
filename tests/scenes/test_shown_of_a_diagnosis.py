"""Every number of a diagnosis stands where its label says: reports and diagnoses whose numbers are all different."""

from __future__ import annotations

import re
from types import SimpleNamespace

import numpy as np
import pytest
from distinct import filled
from shown import number, page, tables, words

from turnstill.model.films.after_diagnosis import HEAD
from turnstill.model.films.diagnose import Diagnosis
from turnstill.scenes.diagnose.feel import ChangeReport, FeelReport
from turnstill.scenes.diagnose.found import Apart, Diagnosed
from turnstill.scenes.diagnose.mend import Mend
from turnstill.scenes.diagnose.page import diagnose_page
from turnstill.scenes.diagnose.readings import Asked, Reading, Scale
from turnstill.scenes.diagnose.report import (
    CheckReport,
    DepartureReport,
    DiagnosisReport,
    HeadReport,
    PieceReport,
    ReadingReport,
)
from turnstill.scenes.diagnose.table import diagnose_table
from turnstill.scenes.diagnose.words import further, leading
from turnstill.scenes.paper.piece_styles import PIECE_STYLES

MINUS = "\N{MINUS SIGN}"
PIECES = {
    "hip_turn": ("hip turn", "deg"),
    "shoulder_turn": ("shoulder turn", "deg"),
    "tilt": ("tilt", "deg"),
    "extension": ("extension", "deg"),
    "lead_flex_change": ("lead knee", "deg"),
    "trail_flex_change": ("trail knee", "deg"),
    "sway": ("sway", "cm"),
    "hips_toward_ball": ("hips toward ball", "cm"),
}
READ = {
    "head_toward_target": ("head toward the target", "cm"),
    "head_up": ("head up", "cm"),
    "head_toward_ball": ("head toward the ball", "cm"),
    "pelvis_toward_target": ("pelvis toward the target", "cm"),
    "pelvis_toward_ball": ("pelvis toward the ball", "cm"),
    "inclination_change": ("change of inclination", "deg"),
    "lean_face_on": ("trunk lean face-on", "deg"),
    "shoulder_plane": ("shoulder plane", "deg"),
    "shoulder_turn": ("shoulder turn", "deg"),
    "hip_turn": ("hip turn", "deg"),
    "lead_knee_flex": ("lead knee flexion", "deg"),
    "trail_knee_flex": ("trail knee flexion", "deg"),
    "belt_line_tilt": ("belt line tilt", "deg"),
}
"""Names with what they are called and their units, written out by hand."""
EITHER_WAY = "trail_flex_change"


def made(**given: object) -> DiagnosisReport:
    """A report with a feel of sway, all pieces, all readings; the trail knee's sign is open."""
    each = [
        filled(
            PieceReport, start=40 * k, piece=name, unit=unit, probability=0.91 - 0.07 * k,
            low=-3.5 - 2.1 * k if name == EITHER_WAY else 1.3 + 2.1 * k, most_likely=3.4 + 2.1 * k, high=5.9 + 2.1 * k,
            not_at_fault_sd=0.61 + 0.13 * k,
            head_by_itself=HeadReport(
                head_toward_target_cm=-1.1 - 0.7 * k, head_up_cm=2.3 + 0.4 * k, head_toward_ball_cm=4.7 - 0.9 * k
            ),
        )
        for k, (name, (_, unit)) in enumerate(PIECES.items())
    ]  # fmt: skip
    read = [
        filled(ReadingReport, start=400 + 10 * k, reading=name, unit=unit, sd=0.45 + 0.17 * k)
        for k, (name, (_, unit)) in enumerate(READ.items())
    ]
    departed = [
        filled(DepartureReport, start=700 + 10 * k, piece=name, unit=unit)
        for k, (name, (_, unit)) in enumerate(PIECES.items())
    ]
    feel = filled(
        FeelReport, start=900, piece="sway", unit="cm", amount=-31.7, brings_head_back_cm=21.3,
        alone_it_would_change=filled(ChangeReport, start=1000), leaves_tilt_deg=-6.2, leaves_extension_deg=7.3,
        then=["tilt"],
    )  # fmt: skip
    usual = {
        "fits": True, "check": None, "head_still": False, "counted_from_centred": False, "preset": "mine",
        "each_piece": each, "readings": read, "departures": departed, "feel": feel, "withheld": [],
        "candidates": ["sway", "tilt", EITHER_WAY], "likeliest_at_fault": ["sway", "extension"], "told_apart_by": [],
        "cannot_tell_apart": [], "measure_next": "hip_turn", "nothing_at_fault": 0.04, "probability_before": 0.15,
        "largest": "sway",
    }  # fmt: skip
    report = filled(DiagnosisReport, start=1200, **(usual | given))
    body = report.body.replaced(handedness=given.get("hand", "right"))
    return report.replaced(body=body)


REPORT = made()


@pytest.fixture(scope="module")
def html() -> str:
    return diagnose_page(REPORT)


def test_every_cell_of_the_readings_is_what_its_row_and_column_say(html: str) -> None:
    read, _ = tables(html)
    columns = {
        "as read": "value",
        "give or take": "sd",
        "without a fault": "without_a_fault",
        "as explained": "most_probable",
    }
    rows = {row for row, _ in read}
    assert len(rows) == len(READ) and {column for _, column in read} == set(columns)
    for one in REPORT.readings:
        name, unit = READ[one.reading]
        (row,) = [row for row in rows if row.startswith(f"{name} ")]
        for column, field in columns.items():
            cell, value = read[row, column], getattr(one, field)
            assert number(cell) == pytest.approx(value, abs=0.051), (row, column)
            assert cell.endswith("°" if unit == "deg" else " cm")
            assert (cell[0] in "+-\N{MINUS SIGN}") == (field != "sd")


def test_every_cell_of_the_departures_is_what_its_row_and_column_say(html: str) -> None:
    _, departed = tables(html)
    columns = {
        "comes to": "made",
        "from what holds the head for the turn made": "from_what_holds_the_head",
        "from the centred turn": "from_centred",
    }
    assert set(departed) == {(name, column) for name, _ in PIECES.values() for column in columns}
    for one in REPORT.departures:
        name, unit = PIECES[one.piece]
        for column, field in columns.items():
            cell = departed[name, column]
            assert number(cell) == pytest.approx(getattr(one, field), abs=0.051), (name, column)
            assert cell.endswith("°" if unit == "deg" else " cm")


def test_in_inches_only_lengths_change() -> None:
    read, departed = tables(diagnose_page(REPORT, inches=True))
    for one in REPORT.readings:
        (row,) = [row for row, _ in read if row.startswith(f"{READ[one.reading][0]} ") and _ == "as read"]
        factor, mark = (2.54, " in") if one.unit == "cm" else (1.0, "°")
        assert number(read[row, "as read"]) == pytest.approx(one.value / factor, abs=0.051)
        assert read[row, "as read"].endswith(mark)
    sway = next(one for one in REPORT.departures if one.piece == "sway")
    assert number(departed["sway", "comes to"]) == pytest.approx(sway.made / 2.54, abs=0.0051)


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
    sideways = [one for one in REPORT.readings if one.reading in ("head_toward_target", "hip_turn")]
    text = diagnose_page(REPORT.replaced(readings=sideways))
    captions = [words(c) for c in page(text).xpath("//figcaption")]
    assert captions[0].startswith("Face-on, cm Not read: up.")
    assert captions[1].startswith("Down the line, cm Not read: toward ball, up.")
    face_on, line = svgs(text)[:2]
    x, _ = places(face_on)
    band, (one, _) = named(face_on, "rect")["as read"], sideways
    left, wide = float(band.get("x")), float(band.get("width"))
    assert x(left + wide / 2) == pytest.approx(one.value, abs=2.0)
    assert wide * x.coeffs[0] == pytest.approx(2.0 * one.sd, abs=2.0)
    assert not any("as read" in named(line, tag) for tag in ("rect", "ellipse"))
    height = [one for one in REPORT.readings if one.reading == "head_up"]
    face_on = svgs(diagnose_page(REPORT.replaced(readings=height)))[0]
    _, y = places(face_on)
    band = named(face_on, "rect")["as read"]
    assert y(float(band.get("y")) + float(band.get("height")) / 2) == pytest.approx(height[0].value, abs=2.0)


def test_the_page_leads_with_its_golfer_and_what_to_do_then_how_sure(html: str) -> None:
    document = page(html)
    body = REPORT.body
    who = words(document.xpath("//p[@class='who']")[0])
    golfer = f"{body.stature_cm:.0f} cm, {body.mass_kg:.0f} kg, {body.sex}, right-handed;"
    assert who.replace(MINUS, "-").startswith(golfer)
    lead = [words(p) for p in document.xpath("//section[@class='short']/p")]
    feel, change = REPORT.feel, REPORT.feel.alone_it_would_change
    assert len(lead) <= 4
    assert lead[0] == f"What to do: 31.7 cm {feel.what}: {feel.do}."
    parts = [
        (abs(change.head_toward_target_cm), "target", change.head_toward_target_cm > 0, "nearer to the", "farther from the"),
        (abs(change.head_toward_ball_cm), "ball", change.head_toward_ball_cm > 0, "nearer to the", "farther from the"),
    ]
    for size, what, positive, more, less in parts:
        assert f"{size:.1f} cm {more if positive else less} {what}" in lead[1]
    assert f"{abs(change.head_up_cm):.1f} cm {'higher' if change.head_up_cm > 0 else 'lower'}" in lead[1]
    assert "everything else as it was, tilt and extension in degrees included" in lead[1]
    assert lead[1].endswith("there would then be 6.2° less tilt and 7.3° more extension than holds the head.")
    sway = next(one for one in REPORT.each_piece if one.piece == "sway")
    assert lead[2] == (
        f"Sway is at fault with a probability of {sway.probability:.0%}; if so, by about {sway.most_likely:.1f} cm "
        f"farther from the target than in the turn of mine as it was set (90 % between {sway.low:.1f} cm farther from "
        f"the target and {sway.high:.1f} cm farther from the target)."
    )
    assert lead[3] == feel.caution
    order = [words(h) for h in document.xpath("//h2")]
    assert order[:6] == [
        "The head as read, and the candidates",
        "The feel on film",
        "If a piece is at fault, by how much",
        "How probable each piece is",
        "What was read",
        "Departures, counted in two ways",
    ]
    terms = [words(d) for d in document.xpath("//dl/dt | //dl/dd")]
    said = {"Face-on": feel.face_on, "Down the line": feel.down_the_line, "How to go on": feel.check}
    assert dict(zip(terms[::2], terms[1::2], strict=True)) == {
        term: (text[0].upper() + text[1:] if term == "How to go on" else f"{text[0].upper()}{text[1:]}.")
        for term, text in said.items()
    }


def test_a_feel_is_told_once(html: str) -> None:
    text, feel = words(page(html).xpath("//body")[0]), REPORT.feel
    for part in (feel.what, feel.do, feel.caution, feel.check, feel.face_on, feel.down_the_line):
        assert text.lower().count(part) == 1, part
    for sentence in (*leading(REPORT), *further(REPORT)):
        assert text.count(sentence.replace(" -", f" {MINUS}")) == 1, sentence


def test_no_trades_word_is_in_the_way_of_a_coach(html: str) -> None:
    text = words(page(html).xpath("//body")[0]) + diagnose_table(REPORT) + " ".join(REPORT.sentences)
    for word in ("most probable case", "chi-squared", " sd", "standard deviation", "_toward_", "hypothesis"):
        assert word not in text, word


def test_where_nothing_fits_no_piece_is_named() -> None:
    check = CheckReport(slip="tenfold", factor=0.1, readings=["head_up"], furthest="hip_turn", furthest_sd=7.7)
    report = made(fits=False, check=check, feel=None, measure_next=None)
    text = diagnose_page(report)
    lead = [words(p) for p in page(text).xpath("//section[@class='short']/p")]
    up = next(one for one in report.readings if one.reading == "head_up")
    assert lead[0].startswith("Nothing the body can do fits")
    assert lead[1].replace(MINUS, "-") == (
        f"They would fit with head up {0.1 * up.value:.1f} cm in place of {up.value:.1f} cm: was it read in "
        "millimetres, or the decimal point misplaced?"
    )
    assert lead[2].startswith("Check the unit") and len(lead) == 4
    assert not re.search("is at fault|What to do|The feel", words(page(text).xpath("//body")[0]))
    (read,) = tables(text)
    assert {column for _, column in read} == {"as read", "give or take", "without a fault"}
    assert [len(named(svg, "g")) for svg in svgs(text)] == [0, 0]
    unknown = made(fits=False, check=check.replaced(slip=None, factor=None, readings=[]), feel=None)
    turn = next(one for one in report.readings if one.reading == "hip_turn")
    said = words(page(diagnose_page(unknown)).xpath("//section[@class='short']/p")[1])
    assert said.replace(MINUS, "-") == (
        f"Look first at hip turn, {turn.value:.1f}°, which is furthest from what golfers show."
    )


def test_columns_of_the_terminal_stand_under_their_headings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    lines = diagnose_table(REPORT).splitlines()

    def under(heading: str, count: int) -> list[list[str]]:
        """Headings, then the rows of a table, cell by cell."""
        rule = [k for k, line in enumerate(lines) if set(line.strip()) == {"\N{BOX DRAWINGS LIGHT HORIZONTAL}"}]
        at = next(k for k in rule if lines[k - 1].strip().startswith(heading))
        tops = [re.split(r"\s{2,}", line.strip()) for line in lines[at - 2 : at]]
        return [*tops, *(re.split(r"\s{2,}", line.strip()) for line in lines[at + 1 : at + 1 + count])]

    above, below, *rows = under("read at the top", len(READ))
    assert above == ["give or", "without", "as ex-"]
    assert below == ["read at the top", "as read", "take", "a fault", "plained"]
    for one, row in zip(REPORT.readings, rows, strict=True):
        name, unit = READ[one.reading]
        mark = "°" if unit == "deg" else " cm"
        signed = [f"{value:+.1f}{mark}" for value in (one.value, one.without_a_fault, one.most_probable)]
        assert row == [name, signed[0], f"{one.sd:.1f}{mark}", *signed[1:]]
    above, below, *rows = under("piece", len(PIECES))
    assert above == ["at", "if so,", "90 %", "from", "from"]
    assert below == ["piece", "fault", "by about", "between", "and", "hold", "centred"]
    departures = {one.piece: one for one in REPORT.departures}
    for one, row in zip(REPORT.each_piece, rows, strict=True):
        name, unit = PIECES[one.piece]
        mark, departed = "°" if unit == "deg" else " cm", departures[one.piece]
        likely = "either way" if one.piece == EITHER_WAY else f"{one.most_likely:+.1f}{mark}"
        ends = [
            f"{value:+.1f}{mark}"
            for value in (one.low, one.high, departed.from_what_holds_the_head, departed.from_centred)
        ]
        assert row == [name, f"{one.probability:.0%}", likely, *ends]
    text = " ".join(" ".join(lines).split())
    assert "as explained: with sway and extension at fault" in text
    for line in (*REPORT.sentences, *(f"Note: {warning}" for warning in REPORT.warnings)):
        assert line in text
