"""What the map and experiment commands share: files left whole, and guides that say what the model does."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from turnstill.model import Address, Pieces
from turnstill.model.questions.available import most_hip_turn
from turnstill.scenes.cli import app
from turnstill.scenes.experiment.tried import try_out
from turnstill.scenes.setups.perform import body_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply

RUNNER = CliRunner()
GOLFER = Path(__file__).parents[2] / "docs" / "golfer.md"


@pytest.mark.parametrize(
    "arguments", [["map", "centred", "--size", "5"], ["experiment", "flare", "--from", "0", "--to", "9"]]
)
def test_a_folder_that_cannot_be_written_leaves_nothing(arguments: list[str], tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.mkdir()
    (taken / "mine.txt").write_text("keep me")
    for out in (str(taken), str(taken / "mine.txt"), str(tmp_path / "no" / "such")):
        done = RUNNER.invoke(app, [*arguments, "--out", out])
        assert done.exit_code == 2 and done.stdout == "" and len(done.stderr.splitlines()) == 1
    assert [p.name for p in tmp_path.iterdir()] == ["taken"] and [p.name for p in taken.iterdir()] == ["mine.txt"]


def test_the_golfers_table_is_what_the_model_says() -> None:
    text = GOLFER.read_text(encoding="utf-8")
    rows = re.findall(r"^\| (\d+)° \| (\d+)° \| (\d+)° \| (\d+)° \|$", text, re.M)
    assert len(rows) >= 5
    flare, lead, trail, both = np.array(rows, dtype=float).T
    flares, square, body = np.radians(flare), np.radians(20.0), body_of(load("centred"))
    for stance, written in (
        (Address(lead_flare=flares, trail_flare=square), lead),
        (Address(lead_flare=square, trail_flare=flares), trail),
        (Address(lead_flare=flares, trail_flare=flares), both),
    ):
        turns = np.degrees(most_hip_turn(body, stance, Pieces()).hip_turn)
        np.testing.assert_allclose(turns, written, atol=0.51)


def test_the_golfers_numbers_are_what_the_model_says() -> None:
    """Whole degrees in the guide's text, besides its table."""
    text = " ".join(GOLFER.read_text(encoding="utf-8").split())

    def most(name: str, first: float, last: float, *settings: str) -> tuple[float, float]:
        steps = try_out(apply(load("centred"), settings), name, str(first), str(last), 2).found.available.hip_turn
        return float(np.degrees(steps[0])), float(np.degrees(steps[1]))

    for (first, last), told in (
        (
            most("trail_flare", 0, 20, "trail_hip_internal_rotation=15"),
            r"has (\d+)° of hip turn with a square trail foot and (\d+)° with the foot at 20°",
        ),
        (most("knee_flex_change", 0, 5), r"(\d+)° without, (\d+)° with 5° of it"),
        (most("lead_heel_rise", 4, 0, "lead_flex_change=25"), r"and 4 cm there are (\d+)°"),
    ):
        (written,) = re.findall(told, text)
        for value, number in zip((first, last), written if isinstance(written, tuple) else (written,), strict=False):
            assert float(number) == pytest.approx(value, abs=0.51)
