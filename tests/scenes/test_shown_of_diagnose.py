"""Every number of a diagnosis in tables and sentences stands where its label says."""

from __future__ import annotations

import re

import pytest
from diagnosis_reports import EITHER_WAY, PIECES, READ, SHOWN, made
from shown import MINUS, number, page, tables, words

from turnstill.scenes.diagnose.page import diagnose_page
from turnstill.scenes.diagnose.parts import CheckReport
from turnstill.scenes.diagnose.table import diagnose_table
from turnstill.scenes.diagnose.words import further, leading

REPORT = made()
COUNTED = {"comes to": "made", "from what holds the head for the turn made": "from_what_holds_the_head",
           "from the centred turn": "from_centred"}  # fmt: skip
"""Column of the departures to what it shows, written out by hand."""


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
        (row,) = [row for row in rows if row == f"{name} {SHOWN[one.reading][1]}"]
        for column, field in columns.items():
            cell, value = read[row, column], getattr(one, field)
            assert number(cell) == pytest.approx(value, abs=0.051), (row, column)
            assert cell.endswith("°" if unit == "deg" else " cm")
            assert (cell[0] in "+-\N{MINUS SIGN}") == (field != "sd")


def test_every_cell_of_the_departures_is_what_its_row_and_column_say(html: str) -> None:
    _, departed = tables(html)
    assert set(departed) == {(name, column) for name, _ in PIECES.values() for column in COUNTED}
    for one in REPORT.departures:
        name, unit = PIECES[one.piece]
        for column, field in COUNTED.items():
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
        (
            abs(change.head_toward_target_cm),
            "target",
            change.head_toward_target_cm > 0,
            "nearer to the",
            "farther from the",
        ),
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
    assert order == [
        "The head as read, and the candidates",
        "The feel on film",
        "Notes",
        "Before you use this",
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


def test_each_table_is_told_by_its_own_caption(html: str) -> None:
    told = {
        words(one.xpath("./h2")[0]): words(one.xpath(".//caption")[0])
        for one in page(html).xpath("//section[.//table]")
    }
    assert set(told) == {"What was read", "Departures, counted in two ways"}
    assert "without a fault" in told["What was read"] and "Signs are as said under each name" in told["What was read"]
    assert "the centred preset" in told["Departures, counted in two ways"]
