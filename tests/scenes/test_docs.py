"""What the README and the guides say can be done is done here as it is written there."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from turnstill.model import Address, Pieces
from turnstill.model.questions.available import most_hip_turn
from turnstill.render.stage.opengl import OpenGLMissing, require_opengl
from turnstill.scenes.cli import app
from turnstill.scenes.compare import work as compare_work
from turnstill.scenes.experiment import pictures as experiment_pictures
from turnstill.scenes.setups.perform import body_of
from turnstill.scenes.setups.presets import load, preset_names
from turnstill.scenes.views.cameras import cameras

RUNNER = CliRunner()
ROOT = Path(__file__).parents[2]
README, COACH = ROOT / "README.md", ROOT / "docs" / "coach.md"
GUIDES = [README, ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]


def blocks(document: Path, language: str) -> list[str]:
    """The fenced blocks of one language, in order."""
    return re.findall(rf"^```{language}\n(.*?)^```$", document.read_text(encoding="utf-8"), re.M | re.S)


def anchors(document: Path) -> set[str]:
    """Places in a document that a link can point to: headings in lower case, words joined by hyphens."""
    headings = re.findall(r"^#+ (.+)$", document.read_text(encoding="utf-8"), re.M)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


def steps(guide: str) -> list[str]:
    """A guide's commands in order, one each, with the files written for it."""
    text = "".join(blocks(ROOT / "docs" / f"{guide}.md", "sh"))
    return [step for step in re.split(r"(?<=\n)(?<!\\\n)(?=turnstill )", text) if step.strip()]


STEPS = [(guide, k) for guide in ("coach", "film_to_feel", "golfer", "map") for k in range(len(steps(guide)))]
ALL_STEPS = {guide: steps(guide) for guide, _ in STEPS}


@pytest.fixture(scope="module")
def guide_folders(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Path, list[int]]]:
    """Where each guide is followed, and the steps done there."""
    return {guide: (tmp_path_factory.mktemp(guide), []) for guide in ALL_STEPS}


def follow(command: str, folder: Path) -> None:
    """Do one step of a guide in its folder."""
    own, files = re.fullmatch(r"(turnstill (?:.*\\\n)*.*\n)(.*)", command, re.S).groups()  # type: ignore[union-attr]
    words = shlex.split(own.replace("\\\n", " "))[1:]
    # What the shell has a part in is done by the shell, with the command that is installed.
    if ">" in words:
        in_shell(own, folder)
    else:
        done = RUNNER.invoke(app, words)
        assert done.exit_code == 0, (own, done.output)
    if files:
        in_shell(files, folder)


def draw_small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pictures a third as wide: what they show, at their size, is judged where they are made."""
    for drawing in (compare_work, experiment_pictures):
        monkeypatch.setattr(drawing, "cameras", lambda swings, *_: cameras(swings, 240, 300))


def in_shell(text: str, folder: Path) -> None:
    scripts = Path(sys.executable).parent
    assert any(scripts.glob("turnstill*")), "the console command is not installed beside this Python"
    environment = {**os.environ, "PATH": os.pathsep.join([str(scripts), os.environ["PATH"]])}
    done = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", text],
        cwd=folder, env=environment, capture_output=True, text=True, timeout=180, check=False,
    )  # fmt: skip
    assert done.returncode == 0, (text, done.stdout, done.stderr)


@pytest.mark.parametrize(("guide", "step"), STEPS)
def test_a_guides_commands_work_as_written(
    guide: str, step: int, guide_folders: dict[str, tuple[Path, list[int]]], monkeypatch: pytest.MonkeyPatch
) -> None:
    try:
        require_opengl()
    except OpenGLMissing as missing:
        pytest.skip(f"docs/{guide}.md draws pictures: {missing}")
    folder, finished = guide_folders[guide]
    monkeypatch.chdir(folder)
    draw_small(monkeypatch)
    # A step rests on those before it, so they are done first where only it was asked for.
    for k in range(len(finished), step + 1):
        follow(ALL_STEPS[guide][k], folder)
        finished.append(k)
    for made in re.findall(r"--out (\S+)", ALL_STEPS[guide][step]):
        assert (folder / made / "index.html").is_file()
    for made in re.findall(r"--(?:csv|json) (\S+)", ALL_STEPS[guide][step]):
        assert (folder / made).stat().st_size > 0


def test_every_command_of_the_guides_is_a_step() -> None:
    for guide, found in ALL_STEPS.items():
        text = "".join(blocks(ROOT / "docs" / f"{guide}.md", "sh"))
        assert "".join(found) == text and len(found) == len(re.findall(r"^turnstill ", text, re.M))


def test_tables_and_schemas_of_the_json_are_those_of_the_reports() -> None:
    script = ROOT / "docs" / "write_json.py"
    done = subprocess.run([sys.executable, script, "--check"], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_coachs_flare_table_is_what_the_model_says() -> None:
    rows = re.findall(r"^\| (\d+)° \| (\d+)° \| (\d+)° \|$", COACH.read_text(encoding="utf-8"), re.M)
    assert len(rows) >= 6
    lead, trail, written = np.array(rows, dtype=float).T
    stances = Address(lead_flare=np.radians(lead), trail_flare=np.radians(trail))
    turns = np.degrees(most_hip_turn(body_of(load("centred")), stances, Pieces()).hip_turn)
    np.testing.assert_allclose(turns, written, atol=0.51)  # Written as whole degrees.


def test_the_readmes_python_runs() -> None:
    written = blocks(README, "python")
    assert written
    for block in written:
        done = subprocess.run([sys.executable, "-c", block], capture_output=True, text=True, timeout=60, check=False)
        assert done.returncode == 0, done.stderr
        assert "(4, 41, 3)" in done.stdout


@pytest.mark.parametrize("document", GUIDES, ids=lambda path: path.name)
def test_links_lead_somewhere(document: Path) -> None:
    text = re.sub(r"^```.*?^```$", "", document.read_text(encoding="utf-8"), flags=re.M | re.S)
    for link in re.findall(r"\]\(([^)\s]+)\)", text):
        if re.match(r"[a-z]+:", link):
            continue
        file, _, place = link.partition("#")
        target = document.parent / file if file else document
        assert target.exists(), f"{document.name} links to {link}"
        if place:
            assert place in anchors(target), f"{document.name} links to {link}"


@pytest.mark.parametrize("document", [README, COACH], ids=lambda path: path.name)
def test_presets_that_are_named_exist(document: Path) -> None:
    text = document.read_text(encoding="utf-8")
    own = set(re.findall(r"cat > (\S+)\.toml", text))
    commands = re.findall(r"turnstill (?:compare|simulate|presets show) ([^\n`&>]+)", text)
    named = {word for command in commands for word in re.split(r" (?=--)", command)[0].split()}
    named = {word for word in named if re.fullmatch(r"[a-z][a-z-]+", word)}
    named |= set(re.findall(r"^extends = \"([a-z-]+)\"$", text, re.M))
    listed = re.search(r"lists the swings that come with it: ([^…|]+)", text)
    named |= set(re.findall(r"`([a-z-]+)`", listed[1])) if listed else set()
    assert len(named) >= 2 and named - own <= set(preset_names())
