"""docs/phone_films.md from end to end: films are made, read, kept, and the next feel is asked for."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Iterable
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from typer.testing import CliRunner

from turnstill.scenes.cli import app
from turnstill.scenes.film import film_file
from turnstill.scenes.film.plain_reel import PlainReel
from turnstill.scenes.film.plain_tempo import Tempo
from turnstill.scenes.record.store import entries_of

GUIDE = Path(__file__).parents[2] / "docs" / "phone_films.md"
TEXT = GUIDE.read_text(encoding="utf-8")
RUNNER = CliRunner()


def commands() -> list[list[str]]:
    """Those of the guide's blocks, in order."""
    blocks = re.findall(r"^```sh\n(.*?)^```$", TEXT, re.M | re.S)
    lines = "".join(blocks).replace("\\\n", " ").splitlines()
    return [shlex.split(line)[1:] for line in lines]


@pytest.fixture(scope="module")
def followed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[str]]:
    """The folder in which the guide was followed, and what each command said; films are drawn and written elsewhere."""
    folder = tmp_path_factory.mktemp("guide")

    def blank(_: PlainReel, camera) -> SimpleNamespace:
        return SimpleNamespace(draw=lambda _: np.zeros((camera.height, camera.width, 3), np.uint8))

    def counted(part: Path, pictures: Iterable[np.ndarray], size: tuple[int, int], fps: float) -> None:
        part.write_text(f"{len(list(pictures))} pictures of {size} at {fps:g}", encoding="utf-8")

    said = []
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        patch.setattr(PlainReel, "seen_by", blank)
        patch.setattr(film_file, "write_mp4", counted)
        for command in commands():
            done = RUNNER.invoke(app, command)
            assert done.exit_code == 0, (command, done.output)
            said.append(" ".join(done.stdout.split()))
    return folder, said


def test_the_fault_that_was_put_in_is_read_off_at_its_moments(followed: tuple[Path, list[str]]) -> None:
    folder, said = followed
    found = json.loads((folder / "lesson" / "read.json").read_text(encoding="utf-8"))
    assert found["largest"] == "extension" and found["each_piece"][0]["probability"] > 0.7
    extension = next(one for one in found["departures"] if one["piece"] == "extension")
    assert extension["from_what_holds_the_head"] == pytest.approx(-10.0, abs=2.0)  # The preset's.
    tempo = Tempo.drawn(np.random.default_rng([3, 0]), 60.0)
    for moment in found["moments"].values():
        assert moment["top_frame"] == pytest.approx(tempo.top, abs=1.0)
        assert moment["address_window"][1] <= tempo.takeaway + 1
    for view, camera in found["cameras"].items():
        words = "face-on" if view == "face_on" else "down the line"
        away, off = re.search(rf"film {words} is .*?: from ([\d.]+) m away, .*?(\d+)° off", said[0]).groups()
        assert camera["distance_cm"] == pytest.approx(100.0 * float(away), rel=0.1)
        assert abs(camera["off_square_deg"]) == pytest.approx(float(off), abs=3.0)


def test_what_the_guide_quotes_is_what_is_said(followed: tuple[Path, list[str]]) -> None:
    _, said = followed
    (quoted,) = re.findall(r"^> (What to do: .*?)\n\n", TEXT, re.M | re.S)
    assert quoted.replace("\n> ", " ") in said[1]


def test_the_record_goes_on_from_film_to_film(followed: tuple[Path, list[str]]) -> None:
    folder, said = followed
    (_, first), (_, second) = entries_of(str(folder / "anna.turnstill"))
    assert first.head_toward_target_cm == pytest.approx(-5.5, abs=0.05)
    assert second.head_toward_target_cm == pytest.approx(-0.8, abs=0.05)
    assert (second.piece, second.felt) == ("extension", 15.0)
    assert "The head is 0.8 cm off where it was 5.5" in " ".join(TEXT.split())
    assert "an assumption" in said[2]
    assert "this golfer gets about 0.4" in said[-1] and "film a few more swings first" in said[-1]


def test_what_the_guide_says_is_refused_is_a_sentence_of_the_program() -> None:
    rows = re.findall(r"^\| (\*.*?) \|", TEXT, re.M)
    folders = [GUIDE.parents[1] / "scenes" / "read", GUIDE.parents[1] / "model" / "films"]
    # Texts stand in pieces in the code.
    source = " ".join(path.read_text(encoding="utf-8") for folder in folders for path in folder.glob("*.py"))
    plain = re.sub(r'"\s*f?"', "", source).lower()
    told = [words for row in rows for words in re.findall(r"\*(.*?)\*", row)]
    assert len(told) == 10
    for words in told:
        assert words.removesuffix(" ...").lower() in plain, words
