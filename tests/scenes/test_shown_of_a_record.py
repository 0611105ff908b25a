"""Every number of a record stands where its label says: reports with numbers that are all different."""

from __future__ import annotations

import re

import numpy as np
import pytest
from lxml import html as lxml_html
from record_reports import ENTRIES, NEXT, RESPONSES, SHOWN, entry
from shown import number, page, tables, words

from turnstill.render.palette import NOW, OVERSHOOT, SECOND_SWING, css
from turnstill.scenes.paper.styles import STYLES
from turnstill.scenes.record.page import LATEST, record_page
from turnstill.scenes.record.table import next_table, record_table

TOO_MUCH, OTHERS = css(OVERSHOOT), (css(NOW), css(SECOND_SWING))
"""The colour of what is too much, and those of what a record does not have."""


NUMBER, NOTE = "no.", "note"
COLUMNS = {
    "date": "date",
    "head toward target, cm": "head_toward_target_cm",
    "head toward ball, cm": "head_toward_ball_cm",
    "head up, cm": "head_up_cm",
    "incl. down line, °": "inclination_change_deg",
}
"""Heading to the field under it; felt and got have their own units, and piece its own words."""
PIECE_CELLS = {
    3: ("film only", "", ""),
    7: ("extension", "+15.5°", "+6.2°"),
    8: ("extension", "−9.5°", "~−2.6°"),
    9: ("sway", "−3.3 cm", "−1.6 cm"),
}


@pytest.fixture(scope="module")
def html() -> str:
    return record_page(SHOWN)


def test_every_cell_of_the_entries_is_what_its_row_and_column_say(html: str) -> None:
    (table,) = tables(html)
    assert {head for _, head in table} == {*COLUMNS, "piece", "felt", "got", NOTE}
    for one in ENTRIES:
        for head, field in COLUMNS.items():
            cell, value = table[str(one.id), head], getattr(one, field)
            if value is None:
                assert cell == ""
            elif field == "date":
                assert cell == value
            else:
                assert number(cell) == pytest.approx(value, abs=0.051)
        assert tuple(table[str(one.id), head] for head in ("piece", "felt", "got")) == PIECE_CELLS[one.id]
        assert table[str(one.id), NOTE] == one.note


def test_inches_are_lengths_over_two_point_five_four() -> None:
    text = record_page(SHOWN, inches=True)
    (table,) = tables(text)
    for head, field in COLUMNS.items():
        value = getattr(ENTRIES[3], field)
        if head.endswith(", cm"):
            assert number(table["9", head.replace(", cm", ", in")]) == pytest.approx(value / 2.54, abs=0.0051)
    assert number(table["9", "felt"]) == pytest.approx(-3.3 / 2.54, abs=0.0051) and table["9", "felt"].endswith(" in")
    assert table["7", "felt"] == "+15.5°" and number(table["9", "incl. down line, °"]) == -4.3
    drawn = figures(text)
    assert set(drawn) == {caption.replace(", cm", ", in") for caption in figures(record_page(SHOWN))}
    svg = drawn["Head toward target at the top since address, in (2025)"]
    seen = points(svg, {str(one.id): k for k, one in enumerate(ENTRIES)})
    assert [value for _, value, _ in seen["film"]] == pytest.approx([-6.1 / 2.54, -3.4 / 2.54, 1.1 / 2.54], abs=0.03)
    assert seen["film"][0][2] == pytest.approx(1.0 / 2.54, abs=0.03)
    assert band(svg) == pytest.approx(0.35 / 2.54, abs=0.03)
    svg = drawn["Sway: got against felt, in"]
    ((felt, got, sd),) = points(svg)["read"]
    assert (felt, got, sd) == pytest.approx((-3.3 / 2.54, -1.5 / 2.54, 0.8 / 2.54), abs=0.02)
    assert "within 0.14 in of its place at address" in words(page(text))


def figures(text: str) -> dict[str, lxml_html.HtmlElement]:
    return {
        words(figure.xpath(".//figcaption")[0]): figure.xpath(".//svg[@class='chart']")[0]
        for figure in page(text).iter("figure")
    }


def scale(svg: lxml_html.HtmlElement, kind: str, along: str, values: dict[str, float] | None = None) -> np.poly1d:
    """Place in pixels to value, as read off the marks beside an axis."""
    marks = [mark for mark in svg.iter("text") if mark.get("class") == kind]
    numbers = [number(words(m)) if values is None else values[words(m)] for m in marks]
    return np.poly1d(np.polyfit([float(m.getprevious().get(f"{along}1")) for m in marks], numbers, 1))


def points(
    svg: lxml_html.HtmlElement, places: dict[str, float] | None = None
) -> dict[str, list[tuple[float, float, float]]]:
    """Named points: x, y and half the length of the whisker."""
    x, y = scale(svg, "upright", "x", places), scale(svg, "level", "y")
    found: dict[str, list[tuple[float, float, float]]] = {}
    for group in svg.iter("g"):
        whisker, sign = group
        at, top, bottom = map(float, re.match(r"M(\S+) (\S+)V([^M]+)M", whisker.get("d")).groups())  # type: ignore[union-attr]
        if sign.tag == "circle":
            place = float(sign.get("cx")), float(sign.get("cy"))
        else:
            corners = np.array([[float(n) for n in pair.split(",")] for pair in sign.get("points").split()])
            place = tuple(corners.mean(axis=0))
        assert place == pytest.approx((at, (top + bottom) / 2), abs=0.11)
        found.setdefault(group.get("data-name"), []).append((x(place[0]), y(place[1]), (y(top) - y(bottom)) / 2))
    return found


def band(svg: lxml_html.HtmlElement) -> float:
    """Half the height of the still band, which must lie about zero."""
    (rect,) = (one for one in svg.iter("rect") if float(one.get("height")) and one.get("fill") == "#dfe4e8")
    y, top = scale(svg, "level", "y"), float(rect.get("y"))
    low, high = y(top + float(rect.get("height"))), y(top)
    assert low == pytest.approx(-high, abs=0.06)
    return float(high)


HEADS = {
    "Head toward target at the top since address, cm (2025)": "head_toward_target_cm",
    "Head up at the top since address, cm (2025)": "head_up_cm",
    "Head toward ball at the top since address, cm (2025)": "head_toward_ball_cm",
}
ENDS = {
    "head_toward_target_cm": ("toward target, cm", "away from target, cm"),
    "head_up_cm": ("up, cm", "down, cm"),
    "head_toward_ball_cm": ("toward ball, cm", "away from ball, cm"),
}


def test_films_stand_at_what_they_show_and_past_the_goal_has_its_own_mark(html: str) -> None:
    drawn = figures(html)
    assert set(drawn) == {*HEADS, "Extension: got against felt, °", "Sway: got against felt, cm"}
    for caption, field in HEADS.items():
        svg = drawn[caption]
        films = [one for one in ENTRIES if getattr(one, field) is not None]
        seen = points(svg, {str(one.id): k for k, one in enumerate(films)})
        past = [one for one in films if one.id == 8 and field != "head_toward_ball_cm"]
        for name, which in (("film", [one for one in films if one not in past]), ("past the goal", past)):
            told = seen.get(name, [])
            assert [round(at) for at, _, _ in told] == [films.index(one) for one in which]
            np.testing.assert_allclose([value for _, value, _ in told], [getattr(o, field) for o in which], atol=0.06)
            np.testing.assert_allclose([sd for _, _, sd in told], [o.head_sd_cm or 1.0 for o in which], atol=0.06)
        # The line goes through all of them.
        (line,) = (one for one in svg.iter("polyline") if one.get("data-name") == "film")
        y = scale(svg, "level", "y")
        heights = [float(pair.split(",")[1]) for pair in line.get("points").split()]
        np.testing.assert_allclose([y(at) for at in heights], [getattr(one, field) for one in films], atol=0.06)
        assert [words(text) for text in svg.iter("text") if text.get("class") == "end"] == list(ENDS[field])
        if field == "head_toward_ball_cm":
            assert not [one for one in svg.iter("rect") if one.get("fill") == "#dfe4e8"]
        else:
            assert band(svg) == pytest.approx(0.35, abs=0.06)
    colours = {
        g.get("data-name"): {g[1].get("fill"), g[1].get("stroke")} for svg in drawn.values() for g in svg.iter("g")
    }
    assert TOO_MUCH in colours["past the goal"] and STYLES[0].colour in colours["film"]
    assert not any(colour in html.split("</style>")[1] for colour in OTHERS)


def test_films_of_one_day_are_told_apart_by_the_number_of_their_entry(html: str) -> None:
    svg = figures(html)["Head toward target at the top since address, cm (2025)"]
    marks = [(words(text), float(text.get("x"))) for text in svg.iter("text") if text.get("class") == "upright"]
    days = [(words(text), float(text.get("x"))) for text in svg.iter("text") if text.get("class") == "day"]
    assert [mark for mark, _ in marks] == ["3", "7", "8", "9"]
    assert [day for day, _ in days] == ["1 Mar", "8 Mar", "8 Mar", "20 Apr"]
    np.testing.assert_allclose([x for _, x in marks], [x for _, x in days], atol=0.11)


def test_what_was_got_stands_against_what_was_felt(html: str) -> None:
    drawn = figures(html)
    for caption, response in (
        ("Extension: got against felt, °", RESPONSES[0]),
        ("Sway: got against felt, cm", RESPONSES[1]),
    ):
        svg, x, y = drawn[caption], *(scale(drawn[caption], k, a) for k, a in (("upright", "x"), ("level", "y")))
        seen = points(svg)
        for name, source in (("read", "read"), ("head", "head")):
            which = [one for one in ENTRIES if one.piece == response.piece and one.got_from == source]
            expected = [(one.felt, one.got_taken, one.got_taken_sd) for one in which]
            np.testing.assert_allclose(
                np.array(seen.get(name, [])).reshape(-1, 3), np.reshape(expected, (-1, 3)), atol=0.15
            )
        (line,) = (one for one in svg.iter("polyline") if one.get("data-name") == "response")
        ends = np.array([[float(n) for n in pair.split(",")] for pair in line.get("points").split()])
        np.testing.assert_allclose(y(ends[:, 1]), response.mean * x(ends[:, 0]), atol=0.12)
        for wedge in (one for one in svg.iter("path") if one.get("class") == "wedge"):
            (x0, y0, x1, low, high) = map(float, re.findall(r"[\d.]+", wedge.get("d")))
            assert x(x0) == pytest.approx(0.0, abs=0.1) and y(y0) == pytest.approx(0.0, abs=0.12)
            assert y(low) == pytest.approx(response.low * x(x1), abs=0.15)
            assert y(high) == pytest.approx(response.high * x(x1), abs=0.15)
            assert abs(x(x1)) > 3.2
    assert sum(path.get("class") == "wedge" for path in drawn["Extension: got against felt, °"].iter("path")) == 2
    assert sum(path.get("class") == "wedge" for path in drawn["Sway: got against felt, cm"].iter("path")) == 1
    assert "felt or asked for, °" in words(drawn["Extension: got against felt, °"])
    assert "got on film, °" in words(drawn["Extension: got against felt, °"])


def test_a_long_list_folds_and_loses_nothing() -> None:
    many = [entry(k, f"20{24 + k // 10}-01-{1 + k % 10:02}", head_up_cm=0.1 * k) for k in range(1, LATEST + 6)]
    text = record_page(SHOWN.replaced(entries=many, films=[]))
    latest, earlier = tables(text)
    assert {row for row, _ in latest} == {str(one.id) for one in many[-LATEST:]}
    assert {row for row, _ in earlier} == {str(one.id) for one in many[:-LATEST]}
    assert page(text).xpath("//details//table") and "The 5 entries before these" in text
    assert "Head up at the top since address, cm (2024 to 2025)" in figures(text)


@pytest.mark.parametrize("note", ["", "a note of some words"])
@pytest.mark.parametrize("inches", [False, True])
def test_eighty_columns_hold_every_heading(note: str, inches: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    full = [
        entry(number, "2025-03-08", piece=piece, unit="cm", felt=-12.3, got=-10.2, got_from="read", note=note,
              head_toward_target_cm=-13.4, head_toward_ball_cm=-11.9, head_up_cm=-10.2, inclination_change_deg=-14.3)
        for number, piece in ((8, "hips_toward_ball"), (9, "sway"))
    ]  # fmt: skip
    text = record_table(SHOWN.replaced(entries=full), inches)
    assert "…" not in text and max(map(len, text.splitlines())) <= 80
    lines = [" ".join(line.split()) for line in text.splitlines()]
    assert lines[2] == "no. date piece felt got head head head incl."
    assert ("note" in lines[5]) == bool(note)


def test_columns_of_the_terminal_stand_under_their_headings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    lines = record_table(SHOWN).splitlines()
    heads = [" ".join(line.split()) for line in lines[2:6]]
    assert heads == [
        "no. date piece felt got head head head incl.", "toward toward up down", "target ball line", "cm cm cm deg note"
    ]  # fmt: skip
    rows = {line.split()[0]: line.split()[1:] for line in lines if re.match(r" *[3789] +20", line)}
    assert rows["9"] == ["2025-04-20", "sway", "-3.3", "cm", "-1.6", "cm", "+1.1", "-0.4", "+2.3", "-4.3", "last"]
    assert rows["7"] == ["2025-03-08", "extension", "+15.5°", "+6.2°", "-3.4", "+1.9"]
    assert rows["8"] == ["2025-03-08", "extension", "-9.5°", "~-2.6°", "+2.8", "-1.2"]
    assert rows["3"] == ["2025-03-01", "film", "only", "-6.1", "+0.7", "first", "film"]
    text = " ".join(" ".join(lines).split())
    assert "~ as the head's movement since the film before tells" in text
    assert "Note: second warning." in text and "Assumptions: something taken." in text
    assert all(line in text for line in SHOWN.sentences + SHOWN.cautions)
    in_inches = " ".join(record_table(SHOWN, inches=True).split())
    assert "in in in deg" in in_inches and "-1.30 in -0.63 in +0.43 -0.16 +0.91 -4.3 last" in in_inches
    following = next_table(NEXT)
    assert following.startswith("anna.turnstill: the next feel of sway") and NEXT.sentences[0] in following
