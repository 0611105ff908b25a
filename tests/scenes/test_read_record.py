"""``turnstill read --record``: what films say is kept as if read by hand, and the next feel is asked of it."""

from __future__ import annotations

import json
import shlex
from pathlib import Path

import film_judge
import filmed_swings
import pytest
from refusals import refused_by
from typer.testing import CliRunner

from turnstill.scenes.cli import app
from turnstill.scenes.film.track_csv import track_csv
from turnstill.scenes.record.store import entries_of, keep_body

RUNNER = CliRunner()


def run(*arguments: str) -> str:
    result = RUNNER.invoke(app, list(arguments))
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.fixture(scope="module")
def tracks(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    filmed, folder = film_judge.filmed(1, 6, filmed_swings.Conditions(), 900), tmp_path_factory.mktemp("tracks")
    files = {folder / f"{view}.csv": getattr(filmed, view)[0] for view in ("face_on", "down_the_line")}
    for file, track in files.items():
        file.write_text(track_csv(track), encoding="utf-8")
    return [str(file) for file in files]


@pytest.fixture(scope="module")
def kept(tracks: list[str], tmp_path_factory: pytest.TempPathFactory) -> tuple[str, dict, str]:
    record = str(tmp_path_factory.mktemp("record") / "anna.turnstill")
    keep_body(record, {"stature_cm": 171.5, "sex": "female"})
    numbers = f"{record}.json"
    said = run("read", *tracks, "--record", record, "--date", "2025-03-01", "--note", "warm", "--json", numbers)
    return record, json.loads(Path(numbers).read_text(encoding="utf-8")), said


def test_an_entry_has_what_the_films_say_and_that_they_said_it(kept: tuple[str, dict, str]) -> None:
    record, found, _ = kept
    ((number, entry),) = entries_of(record)
    read = {one["reading"]: one for one in found["readings"]}
    assert (number, entry.date, entry.piece, entry.felt, entry.got) == (1, "2025-03-01", None, None, None)
    heads = ("head_toward_target", "head_toward_ball", "head_up")
    for name in heads:
        assert getattr(entry, f"{name}_cm") == pytest.approx(read[name]["value"], abs=0.006)
    assert entry.head_sd_cm == pytest.approx(max(read[name]["sd"] for name in heads), abs=0.006)
    assert entry.inclination_change_deg == pytest.approx(read["inclination_change"]["value"], abs=0.006)
    assert entry.note == "read from films: face_on.csv, down_the_line.csv; warm"


def test_the_body_that_the_record_keeps_is_the_films(kept: tuple[str, dict, str]) -> None:
    _, found, _ = kept
    assert found["stature_given"]
    assert found["body"]["stature_cm"] == pytest.approx(171.5, abs=3.0)
    assert found["body"]["sex"] == "female"


def test_the_command_that_is_told_asks_for_the_next_feel(
    kept: tuple[str, dict, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    record, found, said = kept
    (line,) = [line for line in said.splitlines() if line.startswith("For the next feel: ")]
    command = shlex.split(line.removeprefix("For the next feel: "))
    assert command[:4] == ["turnstill", "record", "next", record]
    if found["feel"] is not None:
        assert command[command.index("--piece") + 1] == found["feel"]["piece"]
        assert float(command[command.index("--missing") + 1]) == pytest.approx(found["feel"]["amount"], abs=0.051)
    assert "Ask next for this feel" in run(*command[1:])
    monkeypatch.setenv("COLUMNS", "200")  # A note wraps in a narrow terminal.
    assert "read from films" in run("record", "show", record)


def test_the_same_films_are_not_kept_twice_and_a_feel_is_kept_with_them(kept: tuple[str, dict, str], tracks) -> None:
    record, _, _ = kept
    again = ("read", *tracks, "--record", record, "--date", "2025-03-01", "--note", "warm")
    assert "Entry 1 of" in run(*again)
    result = RUNNER.invoke(app, ["read", tracks[0], "--record", record, "--date", "2025-03-08", "--piece", "hip turn",
                                 "--felt", "5", "--json", "-"])  # fmt: skip
    assert result.exit_code == 0, result.output
    assert json.loads(result.stdout)["moments"].keys() == {"face_on"}
    assert "Entry 2 is in" in result.stderr
    entry = entries_of(record)[1][1]
    assert (entry.piece, entry.felt, entry.head_toward_ball_cm) == ("hip_turn", 5.0, None)
    assert entry.note == "read from films: face_on.csv"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--felt", "3"), "--felt is for the entry of a record"),
        (("--record", "new.turnstill", "--felt", "3"), "--piece was not given with felt"),
        (("--record", "new.turnstill", "--piece", "hips"), '--piece was "hips"'),
        (("--record", "new.turnstill", "--date", "2125-03-01"), "still to come"),
        (("--record", "new.turnstill", "--json", "new.turnstill"), "that is the file of --json"),
        (("--record", "no/such/new.turnstill"), "no folder"),
    ],
)
def test_what_cannot_be_kept_is_told_before_anything_is_read(
    arguments: tuple[str, ...], words: str, tracks: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("turnstill.scenes.read.work.films_read", lambda *_, **__: pytest.fail("films are read"))
    assert words in refused_by("read", *tracks, *arguments)
    assert not list(tmp_path.iterdir())


def test_a_track_is_no_record(tracks: list[str]) -> None:
    before = Path(tracks[0]).read_bytes()
    assert "is not a record" in refused_by("read", *tracks, "--record", tracks[0])
    assert Path(tracks[0]).read_bytes() == before
