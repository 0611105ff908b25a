"""A diagnosis' folder: the page needs nothing else; and the guide names every reading."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path

from typer.testing import CliRunner

from turnstill.model.films.readings import READINGS
from turnstill.scenes.cli import app

RUNNER = CliRunner()
GUIDE = Path(__file__).parents[2] / "docs" / "film_to_feel.md"
A_FILM = (
    "--head-toward-target-cm",
    "-8",
    "--head-up-cm",
    "-4",
    "--head-toward-ball-cm",
    "1",
    "--lean-face-on-deg",
    "8",
)


def test_the_page_needs_nothing_else(tmp_path: Path) -> None:
    folder = tmp_path / "page"
    for _ in range(2):  # An earlier result is replaced.
        done = RUNNER.invoke(app, ["diagnose", *A_FILM, "--out", str(folder)])
        assert done.exit_code == 0, done.output
    numbers = json.loads((folder / "diagnosis.json").read_text(encoding="utf-8"))
    assert sorted(file.name for file in folder.iterdir()) == sorted(numbers["files"])
    page = (folder / "index.html").read_text(encoding="utf-8")
    assert not re.search(r"https?:|//", page) and "<script" not in page
    assert page.count('<svg class="chart"') == 5
    for said in (page, done.stdout):
        assert " ".join(said.split()).count(numbers["feel"]["do"]) == 1, "a feel is told once"
    # What to type next stands there letter by letter, hyphens as hyphens.
    commands = [line.partition(": ")[2] for line in done.stdout.splitlines() if ": turnstill " in line]
    assert [command.split()[1] for command in commands] == ["sheet", "live"] and any("-" in one for one in commands)
    told = [re.sub("<[^>]+>", "", one) for one in re.findall(r"<code>(.*?)</code>", page)]
    assert [unescape(one) for one in told] == commands


def test_the_guide_names_every_reading() -> None:
    text = GUIDE.read_text(encoding="utf-8")
    for name, unit in READINGS.items():
        assert f"`--{name.replace('_', '-')}-{unit}`" in text
