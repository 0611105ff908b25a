"""Answers of a fault classifier as a file: what is read of it, what is refused, and what the command makes of it."""

from __future__ import annotations

import json
import math
import shutil
from pathlib import Path

import jsonschema
import pytest
from made_sets import made_by_hand
from refusals import refused_by
from typer.testing import CliRunner

from turnstill import score_faults
from turnstill.model.errors import TurnstillError
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.cli import app
from turnstill.scenes.dataset.layout.archive import ArchiveWriter
from turnstill.scenes.dataset.layout.reading import open_dataset
from turnstill.scenes.dataset.layout.sample import KEYPOINTS


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("faults") / "set"
    made_by_hand(folder)
    return folder


HEADING = ",".join(("swing", *DEPARTURES))
NAUGHT = ",0" * 8
TRUE = f"{HEADING}\ns00002-w01,0,0,1,0,0,0,1,0\ns00000-w00{NAUGHT}\n"


def written(tmp_path: Path, text: str, name: str = "said.csv") -> str:
    (tmp_path / name).write_text(text, "utf-8")
    return str(tmp_path / name)


def test_true_answers_of_a_data_set_are_right(made: Path, tmp_path: Path) -> None:
    report = score_faults(made, written(tmp_path, TRUE), split="train")
    assert (report.swings, report.golfers, report.answered, report.dataset) == (2, 2, 2, "by-hand")
    assert report.log_loss == report.brier == 0.0 and report.accuracy.right_share == 1.0
    assert [one.right_share for one in report.several] == [1.0, 1.0, 1.0]
    less = score_faults(made, written(tmp_path, f"\ufeff{HEADING}\ns00000-w00{NAUGHT}\n"), split="train")
    assert less.left_out == ["s00002-w01"] and "1 of 2 swings of train have an answer; the others" in less.sentences[0]
    assert less.several[2].right_share == 0.5 and less.several[0].right_share == 0.0


ONE = HEADING + ",none"


def test_nine_probabilities_are_scaled_to_one(made: Path, tmp_path: Path) -> None:
    text = f"{ONE}\ns00000-w00,0.1,0.1,0,0,0,0,0,0,0.795\n"
    report = score_faults(made, written(tmp_path, text), split="train")
    assert report.one_of_nine and report.log_loss == pytest.approx(-math.log(0.795 / 0.995), abs=1e-6)


def test_a_label_with_a_fault_that_is_none_is_told(made: Path, tmp_path: Path) -> None:
    folder, first = tmp_path / "damaged", "s00001-w00-faceon-m00"
    shutil.copytree(made, folder)
    was = open_dataset(made)
    for faults in (["slice"], ["tilt", "tilt"]):
        with (folder / "shards" / "test-00000.tar").open("wb") as file, ArchiveWriter(file) as archive:
            label = was.label(first) | {"faults": faults}
            archive.add(first, {"png": was.stored(first, "png"), "json": json.dumps(label).encode()})
        with pytest.raises(TurnstillError, match=f"the label of {first} is damaged: a fault is none of hip_turn"):
            score_faults(folder, written(tmp_path, f"{HEADING}\ns00001-w00{NAUGHT}\n"))


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", r"is empty; it must have the columns swing, hip_turn"),
        (HEADING + "\n", r"no row below its heading; write one for each swing of train"),
        (HEADING.replace("swing,", "") + "\n", r"row 1 has no column swing"),
        (HEADING.replace("tilt", "tlit") + "\n", r'column "tlit", but columns may be .* Did you mean tilt'),
        (HEADING.replace("tilt,", "") + "\n", r"no column tilt; a classifier that does not know a fault gives it"),
        (HEADING + ",sway\n", r"the column sway twice"),
        ("," + HEADING + "\n", r"a column without a name; leave it out \(pandas: index=False\)"),
        (f"{HEADING}\ns00000-w00,0,0\n", r"row 2 has 3 cells, but the heading has 9"),
        (f"{HEADING}\ns00000-w00,nan{',0' * 7}\n", r'"nan" under hip_turn, but a probability is a number from 0'),
        (f"{HEADING}\ns00000-w00,1.2{',0' * 7}\n", r'has "1.2" under hip_turn'),
        (f"{HEADING}\ns00000-w00,-0.1{',0' * 7}\n", r'has "-0.1" under hip_turn'),
        (f"{HEADING}\ns00000-w00,{',0' * 7}\n", r"has nothing under hip_turn"),
        (f"{HEADING}\ns00000-w00,likely{',0' * 7}\n", r'has "likely" under hip_turn'),
        (f"{ONE}\ns00000-w00{NAUGHT},0.5\n", r"row 2 adds up to 0.5, but with a column none a row must add up to 1"),
        (f"{TRUE}s00002-w01{NAUGHT}\n", r"row 4 has the swing s00002-w01, which row 2 has already"),
        (f"{HEADING}\ns00001-w00{NAUGHT}\n", r"s00001-w00 of another split than train"),
        (f"{HEADING}\ns00009-w00{NAUGHT}\n", r's00009-w00", which the data set has not; they are called as s00000-w00'),
        (f"{HEADING}\ns00000-w00-line-m00{NAUGHT}\n", r"has not; write s00000-w00, without view and moment"),
        (f'{HEADING}\n"s00000-w00{NAUGHT}\n', r"cannot be read as cells parted by commas"),
    ],
)  # fmt: skip
def test_what_is_no_answer_is_told_in_a_sentence(made: Path, tmp_path: Path, text: str, sentence: str) -> None:
    with pytest.raises(TurnstillError, match=sentence) as told:
        score_faults(made, written(tmp_path, text), split="train")
    assert len(str(told.value)) < 300 + len(str(tmp_path)) and "\n" not in str(told.value)


def test_the_command_knows_a_table_by_its_ending_or_its_content(made: Path, tmp_path: Path) -> None:
    for name in ("said.csv", "said.CSV", "said.txt", "said"):
        file, out = written(tmp_path, TRUE, name), tmp_path / f"of {name}"
        done = CliRunner().invoke(app, ["dataset", "score", str(made), file, "--split", "train", "--out", str(out)])
        assert done.exit_code == 0 and "2 of 2 swings of train have an answer." in done.stdout, done.output
        numbers = json.loads((out / "score.json").read_text("utf-8"))
        assert numbers["files"] == ["index.html", "score.json"] and numbers["accuracy"]["right"] == 1
        assert "what the classifier said" in (out / "index.html").read_text("utf-8")
    told = refused_by("dataset", "score", str(made), written(tmp_path, TRUE, "said.json"), "--split", "train")
    assert "said.json is no JSON" in told
    told = refused_by("dataset", "score", str(made), file, "--sigmas", "sigmas.json")
    assert "--sigmas belongs to keypoints, but RESULTS is a table of faults" in told
    assert "There is no file none.csv" in refused_by("dataset", "score", str(made), "none.csv")


def test_its_json_is_as_the_schema_has_it(made: Path, tmp_path: Path) -> None:
    for name, text, schema in (("said.csv", TRUE, "faults"), ("found.json", "[]", "keypoints")):
        results = written(tmp_path, text, name)
        done = CliRunner().invoke(app, ["dataset", "score", str(made), results, "--split", "train", "--json", "-"])
        assert done.exit_code == 0, done.output
        file = Path(__file__).parents[2] / "docs" / "schemas" / f"dataset-score-{schema}.json"
        jsonschema.validate(json.loads(done.stdout), json.loads(file.read_text("utf-8")))


@pytest.mark.parametrize("kind", ["faults", "keypoints"])
def test_no_score_is_written_on_what_it_is_made_from(made: Path, tmp_path: Path, kind: str) -> None:
    results = written(tmp_path, TRUE) if kind == "faults" else written(tmp_path, "[]", "found.json")
    sigmas = written(tmp_path, json.dumps(dict.fromkeys(KEYPOINTS, 0.1)), "sigmas.json")
    own = [results, *(str(path) for path in made.rglob("*") if path.is_file())]
    before = [Path(file).read_bytes() for file in own]
    for file in own:
        told = refused_by("dataset", "score", str(made), results, "--split", "train", "--json", file)
        assert "but that is what this command reads; name another file" in told
    if kind == "keypoints":
        told = refused_by("dataset", "score", str(made), results, "--sigmas", sigmas, "--json", sigmas)
        assert "but that is what this command reads; name another file" in told
    refused_by("dataset", "score", str(made), results, "--split", "train", "--out", str(made))
    assert [Path(file).read_bytes() for file in own] == before
