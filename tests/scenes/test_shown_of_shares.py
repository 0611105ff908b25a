"""Every number of shares stands where its label says: reports with numbers that are all different."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest
from diagnosis_reports import PIECES
from distinct import filled
from lxml import html
from shown import charts, number, page, tables, words

from turnstill.model.questions.shares import Shares
from turnstill.scenes.setups.perform import perform
from turnstill.scenes.setups.presets import load
from turnstill.scenes.shares.page import shares_page
from turnstill.scenes.shares.report import SharedOutcome, SharesReport, StoppedCombination
from turnstill.scenes.shares.table import shares_table
from turnstill.scenes.shares.work import Shared

COLUMNS = {
    "head toward target, cm": "head_toward_target_cm",
    "head toward ball, cm": "head_toward_ball_cm",
    "head up, cm": "head_up_cm",
    "incl., °": "inclination_deg",
}
OF_MODEL = {
    "head_toward_ball_cm": (0, 100.0),
    "head_toward_target_cm": (1, 100.0),
    "head_up_cm": (2, 100.0),
    "inclination_deg": (3, 180.0 / np.pi),
}
"""A key's place in what the model finds, and how much of its unit is one of the model's."""


def report(reference: str = "steady", handedness: str = "right") -> SharesReport:
    raw = filled(SharesReport, items=8, reference=reference, stopped=[], combinations=64)
    shares = [
        one.replaced(piece=piece, unit=unit) for one, (piece, (_, unit)) in zip(raw.shares, PIECES.items(), strict=True)
    ]
    slopes = [
        one.replaced(piece=piece, per=unit)
        for one, (piece, (_, unit)) in zip(raw.sensitivities, PIECES.items(), strict=True)
    ]
    moments = [
        moment.replaced(
            progress=k / 7, shares=[one.replaced(piece=p) for one, p in zip(moment.shares, PIECES, strict=True)]
        )
        for k, moment in enumerate(raw.moments)
    ]
    body = raw.body.replaced(handedness=handedness)
    return raw.replaced(shares=shares, sensitivities=slopes, moments=moments, body=body)


REPORT = report()


@pytest.mark.parametrize("inches", [False, True])
def test_every_cell_is_the_number_its_row_and_column_say(inches: bool) -> None:
    found, slopes = tables(shares_page(REPORT, inches))
    columns = {head.replace(" cm", " in") if inches else head: key for head, key in COLUMNS.items()}
    assert {head for _, head in found} == {head for _, head in slopes} == set(columns)
    for head, key in columns.items():
        scale = 2.54 if head.endswith(" in") else 1.0
        for one in REPORT.shares:
            mark, per = ("°", 1.0) if one.unit == "deg" else (" in", 2.54) if inches else (" cm", 1.0)
            digits = 2 if mark == " in" else 1
            asked, held = (
                f"{value / per:.{digits}f}{mark}".replace("-", "−") for value in (one.asked, one.in_reference)
            )
            row = f"{PIECES[one.piece][0]} {asked} against {held}".replace("-", "−")
            assert number(found[row, head]) == pytest.approx(getattr(one, key) / scale, abs=0.051 / scale), row
            assert found[row, head][0] in "+−"
        assert number(found["together", head]) == pytest.approx(getattr(REPORT.total, key) / scale, abs=0.051 / scale)
        for one in REPORT.sensitivities:
            row = f"{PIECES[one.piece][0]} one {'degree' if one.per == 'deg' else 'cm'} more"
            assert number(slopes[row, head]) == pytest.approx(getattr(one, key) / scale, abs=0.0051 / scale), row


def test_an_amount_that_is_the_references_is_said_once() -> None:
    first, *rest = REPORT.shares
    found, _ = tables(shares_page(REPORT.replaced(shares=[first.replaced(asked=7.0, in_reference=7.0), *rest])))
    assert ("hip turn 7.0°, the same", "head up, cm") in found


def arrow_charts(text: str) -> list[tuple[str, html.HtmlElement]]:
    return [
        (words(figure.xpath(".//figcaption")[0]), figure.xpath(".//svg[@class='chart']")[0])
        for figure in page(text).iter("figure")
        if figure.xpath(".//circle[@class='ring']")
    ]


def scale(svg: html.HtmlElement, kind: str, along: str) -> np.poly1d:
    """From pixels to what the marks beside an axis say."""
    marks = [text for text in svg.iter("text") if text.get("class") == kind]
    places = [float(mark.getprevious().get(f"{along}1")) for mark in marks]
    return np.poly1d(np.polyfit(places, [number(words(mark)) for mark in marks], 1))


def moved(arrow: html.HtmlElement, x: np.poly1d, y: np.poly1d) -> tuple[float, float]:
    line, head = arrow.xpath("./line")[0], arrow.xpath("./polygon")[0]
    tip = [float(n) for n in head.get("points").split()[0].split(",")]
    return x(tip[0]) - x(float(line.get("x1"))), y(tip[1]) - y(float(line.get("y1")))


@pytest.mark.parametrize("handedness", ["right", "left"])
@pytest.mark.parametrize("inches", [False, True])
def test_an_arrow_is_the_share_of_the_piece_it_is_named_after(handedness: str, inches: bool) -> None:
    shown, unit = report(handedness=handedness), "in" if inches else "cm"
    seen = dict(arrow_charts(shares_page(shown, inches)))
    assert list(seen) == [f"Face-on, {unit}", f"Down the line, {unit}"]
    for (_, svg), key, toward in zip(
        seen.items(), ("head_toward_target_cm", "head_toward_ball_cm"), ("toward target", "toward ball"), strict=True
    ):
        x, y = scale(svg, "upright", "x"), scale(svg, "level", "y")
        arrows = {arrow.get("data-name"): arrow for arrow in svg.xpath(".//g[@class='arrow']")}
        assert set(arrows) == {name for name, _ in PIECES.values()}
        for one in shown.shares:
            expected = np.array([getattr(one, key), one.head_up_cm]) / (2.54 if inches else 1.0)
            # A place is told to a tenth of a pixel.
            near = 0.3 * max(abs(x(1) - x(0)), abs(y(1) - y(0)))
            np.testing.assert_allclose(moved(arrows[PIECES[one.piece][0]], x, y), expected, atol=near)
        assert (x(1) > x(0)) == (handedness == "right")
        right_end = [words(text) for text in svg.iter("text") if words(text).endswith("→")]
        assert (toward in right_end[0]) == (handedness == "right")


def test_what_is_too_short_to_draw_is_named() -> None:
    tiny = {"head_toward_target_cm": 0.02, "head_toward_ball_cm": -0.06, "head_up_cm": 0.01}
    nothing = dict.fromkeys(tiny, 0.0)
    first, second, *rest = (one.replaced(**dict.fromkeys(tiny, 0.1 * k)) for k, one in enumerate(REPORT.shares))
    html_ = shares_page(REPORT.replaced(shares=[first.replaced(**tiny), second.replaced(**nothing), *rest]))
    (face_on, front), (down_line, side) = arrow_charts(html_)
    assert face_on == "Face-on, cm. Too short to draw: hip turn." and down_line == "Down the line, cm"
    names = [{arrow.get("data-name") for arrow in svg.xpath(".//g[@class='arrow']")} for svg in (front, side)]
    assert "hip turn" not in names[0] and "hip turn" in names[1]
    assert not any("shoulder turn" in drawn for drawn in names)


@pytest.mark.parametrize("inches", [False, True])
def test_lines_of_charts_are_what_the_axes_say(inches: bool) -> None:
    shown = [(caption, lines) for caption, lines in charts(shares_page(REPORT, inches)) if lines]
    assert len(shown) == 4
    heads = ("Head toward target", "Head toward ball", "Head up", "Inclination in space")
    for (caption, lines), head, key in zip(shown, heads, COLUMNS.values(), strict=True):
        length = key.endswith("_cm")
        unit, by = ("°", 1.0) if not length else ("in", 2.54) if inches else ("cm", 1.0)
        assert caption == f"{head}, {unit}"
        assert set(lines) == {*(name for name, _ in PIECES.values()), "together"}
        for k, (name, _) in enumerate(PIECES.values()):
            np.testing.assert_allclose(lines[name][:, 0], np.arange(8) / 0.07, atol=0.1)
            values = [getattr(moment.shares[k], key) / by for moment in REPORT.moments]
            np.testing.assert_allclose(lines[name][:, 1], values, atol=0.8 / by)
        totals = [getattr(moment.total, key) / by for moment in REPORT.moments]
        np.testing.assert_allclose(lines["together"][:, 1], totals, atol=0.8 / by)


def test_a_piece_that_never_moves_the_head_has_no_line_and_no_place_in_the_legend() -> None:
    still = SharedOutcome(head_toward_target_cm=0, head_toward_ball_cm=0, head_up_cm=0, inclination_deg=0).model_dump()
    moments = [
        moment.replaced(shares=[moment.shares[0].replaced(**still), *moment.shares[1:]]) for moment in REPORT.moments
    ]
    text = shares_page(REPORT.replaced(moments=moments))
    assert all("hip turn" not in lines for _, lines in charts(text))
    (legend,) = page(text).xpath("//section[@class='together']/ul")
    items = [words(item) for item in legend.iter("li")]
    assert items == [*(name for name, _ in list(PIECES.values())[1:]), "together"]


def test_a_style_in_the_legend_is_that_of_the_line() -> None:
    document = page(shares_page(REPORT))
    keys = {
        words(item): item.xpath(".//svg/line/@stroke")[0]
        for item in document.xpath("//section[@class='together']/ul/li")
    }
    for svg in document.xpath("//section[@class='together']//svg[@class='chart']"):
        assert {line.get("data-name"): line.get("stroke") for line in svg.xpath(".//polyline[@data-name]")} == keys
    for arrow in document.xpath("//g[@class='arrow']"):
        assert arrow.xpath("./line/@stroke")[0] == keys[arrow.get("data-name")]


HEADINGS = "piece at the top|this swing|refer- ence|head toward target {0}|head toward ball {0}|head up {0}|incl. deg"


@pytest.mark.parametrize("inches", [False, True])
def test_columns_of_the_terminal_stand_under_their_headings(monkeypatch: pytest.MonkeyPatch, inches: bool) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    text, unit = shares_table(REPORT, inches), "in" if inches else "cm"
    lines = text.splitlines()
    flat = re.sub(r"\s+", " ", text)
    start = next(k for k, line in enumerate(lines) if line.strip().startswith("piece at the top"))
    ends = [match.end() for match in re.finditer(r"\S+(?: \S+)*", lines[start])]
    said = [
        " ".join(" ".join(line[a:b] for line in lines[start - 3 : start + 1]).split())
        for a, b in zip([0, *ends[:-1]], ends, strict=True)
    ]
    assert said == HEADINGS.format(unit).split("|")

    def cells(row: Any, digits: int) -> list[str]:
        out = []
        for key in COLUMNS.values():
            inch = inches and key.endswith("_cm")
            out.append(f"{getattr(row, key) / (2.54 if inch else 1.0):+.{digits + inch}f}")
        return out

    def told(value: float, unit_: str) -> str:
        return f"{value:.1f}°" if unit_ == "deg" else f"{value / 2.54:.2f} in" if inches else f"{value:.1f} cm"

    for one in REPORT.shares:
        row = [PIECES[one.piece][0], told(one.asked, one.unit), told(one.in_reference, one.unit), *cells(one, 1)]
        assert f" {' '.join(row)} " in flat, row
    assert f" together {' '.join(cells(REPORT.total, 1))} " in flat
    at = flat.index("one more of")
    assert flat.index(f"head head head incl. toward toward up target ball one more of {unit} {unit} {unit} deg") < at
    for one in REPORT.sensitivities:
        row = ["degree" if one.per == "deg" else "cm", PIECES[one.piece][0], *cells(one, 2)]
        assert f" {' '.join(row)} " in flat[at:], row


def shared() -> Shared:
    """Numbers that are all different, for a swing of two moments."""
    pieces = list(PIECES)
    stops = Shares.stop_names.fget(None)  # type: ignore[attr-defined]
    stopped = np.zeros((2, 4, len(stops)), bool)
    stopped[-1, 1, [0, 3]] = stopped[0, 2, 1] = stopped[-1, 3, 2] = True
    found = Shares(
        against="turn",
        share=0.001 + 0.0137 * np.arange(64.0).reshape(2, 8, 4),
        total=1.0 + 0.0171 * np.arange(8.0).reshape(2, 4),
        reference=2.0 + 0.0193 * np.arange(8.0).reshape(2, 4),
        present={name: 0.3 + 0.01 * k + np.array([0.0, 0.005]) for k, name in enumerate(pieces)},
        absent={name: -0.2 + 0.01 * k + np.array([0.0, 0.005]) for k, name in enumerate(pieces)},
        combinations=((), ("tilt",), ("sway",), ("tilt", "sway")),
        stopped=stopped,
        converged=np.array([True, False]),
    )
    return Shared(perform(load("sway"), 2), found, 3.0 + 0.0211 * np.arange(32.0).reshape(8, 4))


def test_a_key_of_the_json_is_the_models_number() -> None:
    given = shared()
    found, made = given.found, SharesReport.of(given)
    angle, length = 180.0 / np.pi, 100.0
    for key, (at, by) in OF_MODEL.items():
        assert getattr(made.total, key) == pytest.approx(found.total[-1, at] * by, abs=1e-6)
        assert getattr(made.reference_at_top, key) == pytest.approx(found.reference[-1, at] * by, abs=1e-6)
        ends = found.reference[-1, at] + found.total[-1, at]
        assert getattr(made.swing_at_top, key) == pytest.approx(ends * by, abs=1e-6)
        for k, (piece, (_, unit)) in enumerate(PIECES.items()):
            share, slope = made.shares[k], made.sensitivities[k]
            assert (share.piece, share.unit, slope.piece, slope.per) == (piece, unit, piece, unit)
            assert getattr(share, key) == pytest.approx(found.share[-1, k, at] * by, abs=1e-6)
            one = 1.0 / (angle if unit == "deg" else length)
            assert getattr(slope, key) == pytest.approx(given.slopes[k, at] * by * one, abs=1e-6)
            for m, moment in enumerate(made.moments):
                assert moment.shares[k].piece == piece
                assert getattr(moment.shares[k], key) == pytest.approx(found.share[m, k, at] * by, abs=1e-6)
                assert getattr(moment.total, key) == pytest.approx(found.total[m, at] * by, abs=1e-6)
    for share in made.shares:
        by = angle if share.unit == "deg" else length
        assert share.asked == pytest.approx(found.present[share.piece][-1] * by, abs=1e-6)
        assert share.in_reference == pytest.approx(found.absent[share.piece][-1] * by, abs=1e-6)
    stops = found.stop_names
    assert made.stopped == [
        StoppedCombination(of=["tilt"], ranges=[stops[0], stops[3]]),
        StoppedCombination(of=["tilt", "sway"], ranges=[stops[2]]),
    ]
    assert made.reference == "turn" and made.combinations == 4
    assert [moment.progress for moment in made.moments] == [0.0, 1.0]
    assert any("did not converge for every combination" in line for line in made.warnings)
    inches = SharesReport.of(given, inches=True)
    assert made == SharesReport.of(given, inches=False) == inches.replaced(sentences=made.sentences)
    assert " cm" in " ".join(made.sentences) and " in " in " ".join(inches.sentences) != " ".join(made.sentences)


def test_combinations_on_the_page_are_the_reports() -> None:
    stopped = [
        StoppedCombination(of=["tilt", "sway"], ranges=["trunk"]),
        StoppedCombination(of=["lead_flex_change"], ranges=["lead_hip_flexion", "trail_knee_flexion"]),
        StoppedCombination(of=[], ranges=["lead_ankle_eversion"]),
    ]
    document = page(shares_page(REPORT.replaced(stopped=stopped)))
    (folded,) = document.xpath("//details")
    assert words(folded.xpath("./summary")[0]) == "All 3 combinations that a range stops"
    assert [words(item) for item in folded.iter("li")] == [
        "the reference: lead ankle eversion",
        "lead knee: lead hip flexion and trail knee flexion",
        "tilt, sway: the trunk's range",
    ]


def test_the_page_says_what_it_counts_from_and_few_sentences_come_before_the_first_chart() -> None:
    off = REPORT.replaced(reference_at_top=REPORT.total.replaced(head_toward_target_cm=0.4, head_up_cm=-0.4))
    held = REPORT.replaced(reference_at_top=REPORT.total.replaced(head_toward_target_cm=0.3, head_up_cm=-0.3))
    for shown, counted in (
        (held, "the centred turn that holds this golfer's head"),
        (off, "the centred turn, which leaves this golfer's head nearest to its place"),
        (REPORT.replaced(reference="address"), "address, every piece counted as it stands"),
        (
            REPORT.replaced(reference="turn"),
            "address, the shoulder turn counted as one about the trunk's own inclined axis",
        ),
    ):
        text = shares_page(shown)
        assert f"Counted from {counted}." in words(page(text).xpath("//p[@class='who']")[0])
        assert f"against {counted}." in " ".join(shares_table(shown).split())
        start = (
            "where the centred turn leaves the head" if shown.reference == "steady" else "where the head was at address"
        )
        assert f"Ring: {start}. Dot:" in words(page(text))


def test_empty_notes_say_that_nothing_stops() -> None:
    quiet = REPORT.replaced(warnings=[])
    assert "No range of this body stops anything that was asked, in any combination." in shares_page(quiet)
    text = shares_page(REPORT)
    assert "No range of this body" not in text and all(line in text for line in REPORT.warnings)
    assert all(f"Note: {line}" in shares_table(REPORT) for line in REPORT.warnings)


def test_the_golfer_is_named() -> None:
    body = REPORT.body.replaced(stature_cm=181.0, mass_kg=77.0, sex="female", handedness="left")
    for inches, tall in ((False, "181 cm"), (True, "71.3 in")):
        told = f"{tall}, 77 kg, female, left-handed"
        assert told in shares_page(REPORT.replaced(body=body), inches)
        assert told in " ".join(shares_table(REPORT.replaced(body=body), inches).split())
