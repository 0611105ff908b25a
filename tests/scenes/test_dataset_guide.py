"""A researcher's first half hour, as docs/dataset.md has it: what is written there is done."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from typer.testing import CliRunner

from turnstill.render.stage.opengl import OpenGLMissing, require_opengl
from turnstill.scenes.cli import app

GUIDE = (Path(__file__).parents[2] / "docs" / "dataset.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", GUIDE, re.M | re.S)


def test_the_guides_commands_make_a_set_that_its_lines_of_python_load(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    try:
        require_opengl()
    except OpenGLMissing as missing:
        pytest.skip(f"docs/dataset.md makes pictures: {missing}")
    monkeypatch.chdir(tmp_path)
    text = "".join(blocks("sh"))
    # The recipe is written by the shell, as it stands there.
    (written,) = re.findall(r"^cat > .*?^END$", text, re.M | re.S)
    subprocess.run(["bash", "-euc", written], check=True, timeout=30)
    commands = re.findall(r"^turnstill (.*)$", text, re.M)
    assert [command.split()[1] for command in commands] == ["recipes", "recipes", "make", "check"]
    told = {}
    for command in commands:
        done = CliRunner().invoke(app, command.split())
        assert done.exit_code == 0, (command, done.output)
        told[command] = done.output
    assert all(f"{name}" in told["dataset recipes"] for name in ("plain", "phone", "hard"))
    assert "pictures: 4 test, 4 train" in " ".join(told["dataset make tiny.toml --out tiny"].split())
    listed = re.findall(r"^\| `(\w+\.\w+|\w+/\w+[^`]*)`", GUIDE, re.M)
    assert "checksums.txt" in listed and (tmp_path / "tiny" / "checksums.txt").is_file()
    (lines,) = blocks("python")
    loaded: dict[str, Any] = {}
    exec(lines, loaded)
    assert len(loaded["index"]) == 8 and len(loaded["truth"].imgs) == 4
    assert loaded["picture"].size == (160, 120) and loaded["label"]["split"] == "train"
    assert loaded["ids"].shape == loaded["depth"].shape == (120, 160) and np.any(loaded["ids"])
