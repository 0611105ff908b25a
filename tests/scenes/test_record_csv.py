"""A record as CSV: there and back, as spreadsheets write it, and what is refused."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from turnstill.model.errors import TurnstillError
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.record.csv import csv_entries, csv_text
from turnstill.scenes.record.entry import FIELDS, Entry, checked

ONE_FOLDER = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
AMOUNTS = st.floats(-40, 40)
NOTES = st.text(st.characters(exclude_categories=["Cs", "Cc"]) | st.sampled_from("\n\r\t'=+-@\",;"), max_size=30)


@st.composite
def entry(draw) -> Entry:
    piece = draw(st.sampled_from([None, *DEPARTURES]))
    amount = st.none() | AMOUNTS
    got = draw(amount) if piece else None
    return checked(
        Entry(
            draw(st.dates(min_value=checked_day(1900), max_value=checked_day(2024))).isoformat(),
            piece,
            draw(amount) if piece else None,
            got,
            draw(st.floats(0.1, 20)) if got is not None else None,
            draw(amount),
            draw(amount),
            draw(AMOUNTS),
            draw(st.none() | st.floats(0.1, 20)),
            draw(amount),
            draw(NOTES),
        )
    )


def checked_day(year: int):
    import datetime

    return datetime.date(year, 1, 1)


@ONE_FOLDER
@given(entries=st.lists(entry(), max_size=5), mark=st.booleans())
def test_every_field_comes_back_exactly(tmp_path: Path, entries: list[Entry], mark: bool) -> None:
    file = tmp_path / "a.csv"
    file.write_bytes(csv_text(entries, mark=mark).encode())
    back, notes = csv_entries(str(file))
    assert notes == [] and back == entries
    assert [repr(one) for one in back] == [repr(one) for one in entries]  # A zero keeps its sign as well.


@ONE_FOLDER
@given(note=NOTES)
def test_no_cell_is_a_formula_to_a_spreadsheet(note: str) -> None:
    (row,) = list(
        csv.DictReader(csv_text([Entry("2025-03-01", head_up_cm=-1.0, note=note)], mark=False).splitlines(True))
    )
    assert not row["note"].startswith(("=", "+", "-", "@", "\t", "\r", "＝"))
    assert row["head_up_cm"] == "-1.0"  # A number stays a number.


@ONE_FOLDER
@given(note=NOTES | st.text("a=+-@;,\t\r\n\"' ", max_size=12))
@example(note="x;=1+1")
@example(note='x;"=1+1"')
@example(note="x\n@SUM(1)")
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_no_cell_is_one_to_a_spreadsheet_that_parts_them_otherwise(separator: str, note: str) -> None:
    text = csv_text([Entry("2025-03-01", head_up_cm=-1.0, note=note)], mark=False)
    cells = [cell for row in csv.reader(io.StringIO(text, newline=""), delimiter=separator) for cell in row]
    numbers = {"-1.0"} if separator == "," else set()
    running = [cell for cell in cells if cell.lstrip(' "').startswith(("=", "+", "-", "@"))]
    assert set(running) <= numbers, (text, cells)


def read(tmp_path: Path, data: str | bytes) -> list[Entry]:
    file = tmp_path / "in.csv"
    file.write_bytes(data if isinstance(data, bytes) else data.encode())
    return csv_entries(str(file))[0]


EUROPEAN = (
    "Date;Piece;Felt;Got;Head toward target cm;Note;;\r\n"
    "01.03.2025;Hip turn;15;6,5;-3,2;\"gut; weiter so\";;\r\n;;;;;;;\r\n2025-03-02;;;;−1,5;=1+1;;\r\n"
)  # fmt: skip


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("separator", [";", "\t"])
def test_as_european_spreadsheets_write_it(tmp_path: Path, encoding: str, separator: str) -> None:
    text = EUROPEAN if separator == ";" else EUROPEAN.replace("gut; weiter", "gut# weiter").replace(";", "\t")
    found = read(tmp_path, text.replace("#", ";").encode(encoding))
    assert found == [
        Entry("2025-03-01", "hip_turn", 15.0, 6.5, head_toward_target_cm=-3.2, note="gut; weiter so"),
        Entry("2025-03-02", head_toward_target_cm=-1.5, note="=1+1"),
    ]


def test_windows_letters_are_read_and_said(tmp_path: Path) -> None:
    file = tmp_path / "in.csv"
    file.write_bytes("date;head_up_cm;note\n2025-03-01;1;überzogen\n".encode("cp1252"))
    (found,), (note,) = csv_entries(str(file))
    assert found.note == "überzogen" and "Windows-1252" in note


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "date,piece,felt\n2025-03-01,tilt,3\n2025-03-01,tlit,3\n",
            'Row 3 .*nothing was written: piece was "tlit".*tilt',
        ),
        ("date,head_up_cm\n2025-03-01,much\n", 'Row 2 .*head_up_cm was "much"'),
        ("date,head_up_cm\n2025-03-01,nan\n", "Row 2 .*head_up_cm was nan"),
        ("date,head_up_cm\n2025-03-01,1e999\n", "Row 2 .*head_up_cm was inf"),
        ("date,head_up_cm\n2025-03-01,600\n", "Row 2 .*between -40 and 40 cm"),
        ('date,head_up_cm\n2025-03-01,"1,5"\n', 'Row 2 .*head_up_cm was "1,5"'),
        ("date;head_up_cm\n2025-03-01;1.234,5\n", 'Row 2 .*head_up_cm was "1.234,5"'),
        ("date,head_up_cm\n03/04/2025,1\n", 'Row 2 .*date was "03/04/2025".*year-month-day'),
        ("date,head_up_cm\n2025-02-30,1\n", 'Row 2 .*date was "2025-02-30"'),
        ("date,head_up_cm\n31.02.2025,1\n", 'Row 2 .*date was "2025-02-31"'),
        ("date,head_up_cm\n2999-01-01,1\n", "Row 2 .*still to come"),
        ("date,head_up_cm\n,1\n", 'Row 2 .*date was ""'),
        ("date,head_up_cm\n2025-03-01,1,2\n", "Row 2 .*has 3 cells where the heading has 2"),
        ("date,piece\n2025-03-01,tilt\n", "Row 2 .*must hold something"),
        ("date,head_upp_cm\n", 'Row 1 .*"head_upp_cm".*Did you mean head_up_cm'),
        ("date,date\n", "Row 1 .*date twice"),
        ("head_up_cm\n1\n", "Row 1 .*no column date"),
        ("", "Row 1 .*no column date"),
        ('date,note\n2025-03-01,"open\n', "Line 2 .*quotes that do not close"),
        (b"\xff\x00\x01\x81", "is not text"),
    ],
)
def test_one_bad_row_is_one_sentence(tmp_path: Path, text: str | bytes, sentence: str) -> None:
    with pytest.raises(TurnstillError, match=sentence) as told:
        read(tmp_path, text)
    assert "\n" not in str(told.value)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            'date,head_up_cm,note\n2025-01-01,1,ok\n2025-01-02,1,"open\n2025-01-03,1,x\n',
            r"Line \d of .* cannot be read as a row",
        ),
        ('date,head_up_cm,note\n2025-01-01,1,ok\n2025-01-02,1,"a"b\n', "Line 3 of .* cannot be read as a row"),
        ("date,head_up_cm,note\n2025-01-01,1," + "x" * 200_000 + "\n", "Line 2 of .* more than 131072 letters"),
        ("date,head_up_cm,note\n2025-01-01,1,a\x00b\n", "Row 2 of .* note holds characters that cannot be read"),
        ("date,head_up_cm\n2025-01-01,1\x00\n", "Row 2 of .* head_up_cm was"),
        ("da\x00te,head_up_cm\n2025-01-01,1\n", "Row 1 of .* has the column"),
        ("date,head_up_cm\n2025-01-01,1\n2025-01-01,1,2,3\n", "Row 3 of .* has 4 cells where the heading has 2"),
    ],
)
def test_a_damaged_table_is_one_sentence_with_its_line(tmp_path: Path, text: str, sentence: str) -> None:
    file = tmp_path / "in.csv"
    file.write_text(text, encoding="utf-8", newline="")
    with pytest.raises(TurnstillError, match=sentence) as told:
        csv_entries(str(file))
    # What Python says of it is advice to programmers.
    assert "nothing was written" in str(told.value) or "Row 1" in str(told.value)
    assert "newline=" not in str(told.value) and "\n" not in str(told.value) and len(str(told.value)) < 300


def test_a_table_of_more_than_a_record_holds_is_not_read_to_its_end(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr("turnstill.scenes.record.csv.MOST_ENTRIES", 3)
    file = tmp_path / "in.csv"
    file.write_text("date,head_up_cm\n" + "2025-01-01,1\n" * 3)
    assert len(csv_entries(str(file))[0]) == 3
    file.write_text("date,head_up_cm\n" + "2025-01-01,1\n" * 4 + '2025-01-01,"')
    with pytest.raises(TurnstillError, match="more than 3 entries, which no record holds, and nothing was written"):
        csv_entries(str(file))


def test_files_that_are_not_there(tmp_path: Path) -> None:
    for name, sentence in ((tmp_path, "is a folder"), (tmp_path / "none", "no file"), ("a\x00", "cannot be read")):
        with pytest.raises(TurnstillError, match=sentence):
            csv_entries(str(name))


def test_the_columns_are_the_fields() -> None:
    assert csv_text([], mark=True) == "\ufeff" + ",".join(FIELDS) + "\r\n"
