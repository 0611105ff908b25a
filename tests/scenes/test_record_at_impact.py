"""A record keeps what films show at impact, and tells it; records without are as they were."""

from __future__ import annotations

import json
import re
import shlex
import sqlite3
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from records_on_disk import OLD_BODY, OLD_RECORD, made, refused_untouched
from refusals import refused_by
from shown import page, words
from typer.testing import CliRunner

from turnstill.model.errors import TurnstillError
from turnstill.scenes.cli import app
from turnstill.scenes.diagnose import found
from turnstill.scenes.record.csv import csv_entries, csv_text
from turnstill.scenes.record.entry import FIELDS, FROM_FILMS, Entry, ImpactReading, checked
from turnstill.scenes.record.store import add, add_missing, add_once, entries_of, keep_body
from turnstill.scenes.words.at_impact import CAUTION, TWO_FEELS

READ = (ImpactReading("head_up", -3.0, 1.27), ImpactReading("hip_turn", -15.0), ImpactReading("lead_knee_flex", 12.5))
LESSON = Entry("2025-03-08", head_up_cm=0.5, at_impact=READ, note="on to the ball")


def run(*arguments: str) -> str:
    done = CliRunner().invoke(app, list(arguments))
    assert done.exit_code == 0, done.output
    return done.stdout


def version(path: Path) -> int:
    return int.from_bytes(path.read_bytes()[60:64], "big")


@pytest.mark.parametrize("script", [OLD_RECORD, OLD_RECORD + OLD_BODY])
def test_an_old_record_stays_one_until_a_reading_at_impact_is_kept(tmp_path: Path, script: str) -> None:
    path = tmp_path / "old.turnstill"
    made(path, script)
    add(str(path), [Entry("2025-03-02", head_up_cm=1.0)])
    assert version(path) == 1 and not any(entry.at_impact for _, entry in entries_of(str(path)))
    assert add(str(path), [LESSON]) == [3]
    assert version(path) == 2 and entries_of(str(path))[-1] == (3, LESSON)
    assert [entry.note for _, entry in entries_of(str(path))] == ["of before", "", "on to the ball"]
    keep_body(str(path), {"stature_cm": 170.0})
    assert entries_of(str(path))[-1] == (3, LESSON), "a body beside it"


def test_an_entry_that_differs_at_impact_alone_is_another(tmp_path: Path) -> None:
    name, less = str(tmp_path / "a.turnstill"), Entry("2025-03-08", at_impact=READ[:1])
    assert add_once(name, less) == (1, False) and add_once(name, less) == (1, True)
    assert add_once(name, Entry("2025-03-08", at_impact=READ[:2])) == (2, False)
    assert add_missing(name, [less, LESSON]) == ([3], 1)


def test_csv_has_columns_of_impact_where_some_entry_has_them_and_comes_back(tmp_path: Path) -> None:
    entries = [Entry("2025-03-01", head_up_cm=-1.0), LESSON, Entry("2025-03-09", at_impact=READ[1:2])]
    file = tmp_path / "a.csv"
    file.write_text(csv_text(entries, mark=True), encoding="utf-8")
    heading = file.read_text(encoding="utf-8-sig").splitlines()[0].split(",")
    own = ["impact_head_up_cm", "impact_head_up_sd_cm", "impact_hip_turn_deg", "impact_lead_knee_flex_deg"]
    assert heading == [*FIELDS, *own]
    assert csv_entries(str(file)) == (entries, [])
    assert csv_text(entries[:1], mark=False).splitlines()[0] == ",".join(FIELDS)
    file.write_text("date;impact_head_up_cm\n2025-03-01;-1,2in\n", encoding="utf-8")
    assert csv_entries(str(file))[0][0].at_impact[0].value == pytest.approx(-3.048)


@pytest.mark.parametrize(
    ("table", "says"),
    [
        ("date,impact_head_up_sd_cm\n2025-03-01,1", "impact_head_up_sd_cm was given without impact_head_up_cm"),
        ("date,impact_head_up_cm\n2025-03-01,999", "The value of impact.head_up was 999"),
        ("date,impact_hed_up_cm\n2025-03-01,1", "Did you mean impact_head_up_cm"),
    ],
)
def test_tables_that_are_wrong_at_impact_are_refused(tmp_path: Path, table: str, says: str) -> None:
    (tmp_path / "a.csv").write_text(table, encoding="utf-8")
    with pytest.raises(TurnstillError, match=says):
        csv_entries(str(tmp_path / "a.csv"))


@pytest.mark.parametrize(
    "spoil",
    [
        "INSERT INTO impact VALUES (9, 'head_up', 1.0, NULL)", "INSERT INTO impact VALUES (1, 'wings', 1.0, NULL)",
        "INSERT INTO impact VALUES (1, 'head_toward_ball', 'far', NULL)",
        "INSERT INTO impact VALUES (1, 'head_toward_ball', 1.0, x'00')",
        "INSERT INTO impact VALUES (1, 'head_toward_ball', 9e99, NULL)",
        "INSERT INTO impact VALUES (1, 'head_toward_ball', 1.0, -1.0)", "PRAGMA user_version = 1",
    ],
)  # fmt: skip
def test_what_is_no_reading_at_impact_is_a_damaged_record(tmp_path: Path, spoil: str) -> None:
    path = tmp_path / "a.turnstill"
    add(str(path), [LESSON])
    base = sqlite3.connect(path, isolation_level=None)
    base.execute(spoil)
    base.close()
    if "9e99" in spoil or "-1.0" in spoil:  # What only reading finds.
        with pytest.raises(TurnstillError, match="damaged"):
            entries_of(str(path))
        return
    with pytest.raises(TurnstillError, match=r"damaged|not laid out"):
        entries_of(str(path))
    with pytest.raises(TurnstillError, match=r"damaged|not laid out"):
        add(str(path), [LESSON])


def test_a_version_without_its_table_is_no_record(tmp_path: Path) -> None:
    path = tmp_path / "a.turnstill"
    made(path, OLD_RECORD.replace("user_version = 1", "user_version = 2"))
    refused_untouched(path, "not laid out as a record is")


@pytest.fixture(scope="module")
def lesson(tmp_path_factory: pytest.TempPathFactory) -> str:
    name = str(tmp_path_factory.mktemp("lesson") / "anna.turnstill")
    run("record", "body", name, "--stature", "168", "--sex", "female")
    run("record", "add", name, "--date", "2025-03-01", "--head-toward-target-cm", "-6")
    run("record", "add", name, "--date", "2025-03-02", "--piece", "extension", "--felt", "15", "--got", "6",
        "--head-toward-target-cm", "-3")  # fmt: skip
    given = ("--read", "impact.head_up=-3", "--read", "impact.hip_turn=-15", "--sd", "impact.head_up=0.5in")
    run("record", "add", name, "--date", "2025-03-08", *given)
    return name


def told(text: str) -> str:
    return " ".join(text.split())


def test_what_was_typed_is_kept(lesson: str) -> None:
    assert entries_of(lesson)[-1] == (3, Entry("2025-03-08", at_impact=(*READ[:1], ImpactReading("hip_turn", -15.0))))


def test_show_and_next_tell_impact_what_to_do_and_what_to_take_care_of(lesson: str, tmp_path: Path) -> None:
    out = tmp_path / "page"
    shown, following = (
        told(run("record", *words_)) for words_ in (("show", lesson, "--out", str(out)), ("next", lesson))
    )
    kept: dict[str, Any] = json.loads((out / "record.json").read_text())
    there = kept["impact"]
    assert (there["id"], there["date"], there["piece"]) == (3, "2025-03-08", "hip_turn")
    assert kept["entries"][-1]["at_impact"][0] == {"reading": "head_up", "unit": "cm", "value": -3.0, "sd": 1.27}
    on_page = words(page((out / "index.html").read_text())).replace("−", "-")
    for line in there["sentences"]:
        assert told(line) in shown and told(line) in following and told(line) in on_page
    every = " ".join(there["sentences"])
    assert "head up -3.0 cm (give or take 1.3 cm) and hip turn -15.0°" in every and "more opening of the hips" in every
    assert CAUTION in every and TWO_FEELS in following and TWO_FEELS not in shown
    # It is the diagnosis of the record's own golfer, and its command says all of it.
    (line,) = (
        one for one in run("record", "next", lesson).splitlines() if one.startswith("For all that impact says: ")
    )
    command = shlex.split(line.removeprefix("For all that impact says: "))
    assert command[1:4] == ["diagnose", "--student", lesson]
    assert told(there["sentences"][2]) in told(run(*command[1:]))
    inches = told(run("record", "show", lesson, "--inches"))
    assert "head up -1.18 in (give or take 0.50 in) and hip turn -15.0°" in inches


def test_impact_is_told_for_the_records_own_golfer_and_says_so(lesson: str, tmp_path: Path) -> None:
    def of(name: str) -> list[str]:
        return list(json.loads(run("record", "show", name, "--json", "-"))["impact"]["sentences"])

    assert of(lesson)[1] == "Told for the body and usual address that this record keeps."
    name = str(tmp_path / "a.turnstill")
    add(name, [LESSON])
    assert of(name)[1] == "Told for the body and usual address of centred, as this record keeps none."
    # Films told their own golfer, whose feel may be another.
    keep_body(name, {"stature_cm": 168.0})
    by_films = Entry("2025-03-09", at_impact=READ, note=f"{FROM_FILMS}: face_on.mov; warm")
    add(name, [by_films])
    assert of(name)[1] == (
        "Told for the body and usual address that this record keeps; turnstill read told it for the golfer as its "
        "films showed."
    )


def test_the_last_film_by_its_date_is_told_and_not_the_last_one_written(tmp_path: Path) -> None:
    name, out = str(tmp_path / "a.turnstill"), tmp_path / "page"
    before = Entry("2025-03-01", at_impact=(ImpactReading("head_up", -7.0), ImpactReading("hip_turn", -40.0)))
    add(name, [Entry("2025-02-01", head_toward_target_cm=-6.0), LESSON, before])
    there = json.loads(run("record", "show", name, "--json", "-"))["impact"]
    assert (there["id"], there["date"]) == (2, LESSON.date) and "head up -3.0 cm" in there["sentences"][0]
    line = run("record", "show", name, "--out", str(out)).split("For all that impact says: ")[1]
    assert "impact.head_up=-3cm" in line and "impact.head_up=-7" not in line


def test_a_command_diagnoses_impact_once(lesson: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked, own = [], found.diagnosed

    def counted(*given: Any, **named: Any) -> Any:
        asked.append(named["read"])
        return own(*given, **named)

    monkeypatch.setattr(found, "diagnosed", counted)
    run("record", "show", lesson, "--inches", "--out", str(tmp_path / "page"))
    assert len(asked) == 1
    run("record", "next", lesson, "--inches")
    assert len(asked) == 2


def test_a_record_of_impact_alone_has_no_piece_to_dose(tmp_path: Path) -> None:
    name = str(tmp_path / "a.turnstill")
    add(name, [LESSON])
    assert "Of impact turnstill record show tells." in refused_by("record", "next", name)


@pytest.mark.parametrize(
    ("given", "says"),
    [
        (("--read", "head_up=-3"), "is of the top; here it is of impact alone"),
        (("--sd", "impact.head_up=1"), "is of a reading that was not given"),
        (("--read", "impact.head_up=-3", "--sd", "impact.hip_turn=1"), "--sd impact.hip_turn is of a reading"),
        (("--read", "impact.wings=-3"), "there is no reading"),
        (("--read", "impact.head_up=-3", "--csv", "a.csv"), "--csv brings whole entries"),
    ],
)
def test_mistakes_get_one_sentence_and_nothing_is_written(tmp_path: Path, given: tuple[str, ...], says: str) -> None:
    file = tmp_path / "a.turnstill"
    assert says in refused_by("record", "add", str(file), *given) and not file.exists()


@pytest.mark.parametrize(("option", "before"), [("--read", ()), ("--sd", ("--read", "impact.hip_turn=-20"))])
def test_the_example_of_a_reading_without_a_value_is_one_that_is_taken(
    tmp_path: Path, option: str, before: tuple[str, ...]
) -> None:
    file = str(tmp_path / "a.turnstill")
    said = refused_by("record", "add", file, *before, option, "impact.head_up")
    examples = re.findall(r"(impact\.\w+=[-\w.]+\w)", said)
    assert len(examples) == 2
    run("record", "add", file, *(("--read", "impact.head_toward_target=1") if before else ()), *before,
        *(word for one in examples for word in (option, one)))  # fmt: skip


def test_numbers_at_impact_are_held_to_what_diagnose_takes() -> None:
    for reading, says in (
        (ImpactReading("hip_turn", 181.0), "-180 and 180 deg"), (ImpactReading("head_up", np.nan), "-200 and 200"),
        (ImpactReading("head_up", 1.0, 0.0), "The sd of impact.head_up"), (ImpactReading("wings", 1.0), "no reading"),
    ):  # fmt: skip
        with pytest.raises(TurnstillError, match=says):
            checked(Entry("2025-03-01", at_impact=(reading,)))
