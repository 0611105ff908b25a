"""What ``simulate --through impact`` tells of impact: in the terminal and in the JSON the same numbers."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from turnstill.model.swing.phases import Phases
from turnstill.scenes.cli import app
from turnstill.scenes.setups.perform import perform
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.setups.top_alone import TOP_ALONE
from turnstill.scenes.simulate.report import SwingReport
from turnstill.scenes.simulate.table import swing_table
from turnstill.scenes.words.at_impact import BACK
from turnstill.scenes.words.cautions import CAUTIONS
from turnstill.scenes.words.pieces import signed_amount

RUNNER = CliRunner()
SETTINGS = ["impact.extension=steady+4", "impact.hip_turn=-31.5", "impact.head_toward_target=-2", "impact.sway=-3"]


def told(*arguments: str) -> str:
    done = RUNNER.invoke(app, ["simulate", *arguments])
    assert done.exit_code == 0, done.stderr
    return done.output


@pytest.fixture(autouse=True)
def wide(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "300")


@pytest.fixture(scope="module")
def report() -> SwingReport:
    return SwingReport.of(perform(apply(load("centred"), SETTINGS), 21, through_impact=True))


def test_impact_has_a_table_of_its_own(report: SwingReport) -> None:
    lines = swing_table(report).splitlines()
    rows = {}
    for title, side in (("top", report), ("impact", report.at_impact)):
        words = ["at", *(["the"] if title == "top" else []), title, "asked", "achieved"]
        start = next(k for k, line in enumerate(lines) if line.split() == words) + 2
        rows[title] = [line.split("  ") for line in lines[start : start + len(side.asked)]]
    cells = {row[0].strip(): [cell.strip() for cell in row[1:] if cell.strip()] for row in rows["impact"]}
    there = report.at_impact
    assert cells["hip turn"] == ["-31.5°", signed_amount(there.achieved["hip_turn_deg"], "deg", inches=False)]
    assert cells["sway"][0] == "-3.0 cm"
    asked = there.asked["extension_deg"]
    assert cells["extension (steady+4)"][0] == f"{asked:+.1f}°"
    assert asked == pytest.approx(report.moments[there.moment].steady_extension_deg + 4.0, abs=1e-5)
    assert "tilt (steady)" in cells and rows["top"] != rows["impact"]


def test_what_is_said_of_impact_is_impact(report: SwingReport) -> None:
    there = report.at_impact
    at = report.moments[there.moment]
    assert at.progress == pytest.approx(2.0)
    for name in ("hip_turn_deg", "shoulder_turn_deg", "tilt_deg", "extension_deg"):
        assert getattr(at, name) == pytest.approx(there.achieved[name], abs=2e-6)
    text = " ".join(swing_table(report).split())
    up, toward = at.head_up_cm, at.head_toward_target_cm
    assert abs(up) > 0.3
    assert f"{abs(toward):.1f} cm {'nearer to' if toward > 0 else 'farther from'} the target" in text
    assert f"{abs(up):.1f} cm {'higher' if up > 0 else 'lower'}" in text
    assert "it is wanted 2.0 cm farther from the target" in text
    assert f"inclination is {at.inclination_deg:.1f}° in space" in text
    assert f"tilt {at.steady_tilt_deg:.1f}° (the swing has just that)" in text
    assert f"extension {at.steady_extension_deg:.1f}° (the swing has 4.0° more)" in text
    # What to do about a back that hurts is said of every result, and not a second time of impact.
    assert report.cautions == [BACK, *CAUTIONS] and " ".join(report.cautions) in text
    assert text.count("clinician") == text.count("qualified coach") == text.count("low back") == 1


@pytest.mark.parametrize("frames", [2, 3, 6, 11, 26, 41, 100])
def test_top_and_impact_are_always_among_the_moments(frames: int) -> None:
    performed = perform(load("centred"), frames, through_impact=True)
    report = SwingReport.of(performed)
    lines = swing_table(report).splitlines()
    first = next(k for k, line in enumerate(lines) if line.split()[:1] == ["%"]) + 2
    end = next(k for k, line in enumerate(lines) if line.split()[:3] == ["at", "the", "top"])
    done = [line.split()[0] for line in lines[first:end] if line.strip()]
    top, ball = done.index("top"), done.index("ball")
    # To the top, from there to the ball, and past it: each stretch counts anew, and a gap stands between.
    for stretch in (done[:top], done[top + 1 : ball]):
        assert stretch == sorted(set(stretch), key=int) and all(0 <= int(one) < 100 for one in stretch)
    assert done[0] == "0" and set(done[ball + 1 :]) == {"past"}
    assert [not line.strip() for line in lines[first:end]].count(True) >= 2
    assert len(done) == min(9, Phases.of(frames, through_impact=True).count)


def test_terminal_and_json_have_the_same_numbers_and_the_top_says_what_it_leaves_out(tmp_path: Path) -> None:
    file = tmp_path / "a.json"
    settings = [part for one in SETTINGS for part in ("--set", one)]
    text = told("centred", *settings, "--through", "impact", "--json", str(file))
    found = json.loads(file.read_text())
    there = found["at_impact"]
    for name, unit in (("hip_turn", "deg"), ("tilt", "deg"), ("lead_flex_change", "deg"), ("sway", "cm")):
        row = next(
            line
            for line in text.split(" at impact  ")[1].splitlines()
            if line.strip().startswith(name.replace("_", " "))
        )
        shown = [signed_amount(there[side][f"{name}_{unit}"], unit, inches=False) for side in ("asked", "achieved")]
        assert row.strip().endswith(shown[1]) and shown[0] in row
    assert there["given"]["extension_deg"] == "steady+4" and there["given"]["hip_turn_deg"] == -31.5
    assert there["given"]["tilt_deg"] == "steady" and there["given"]["shoulder_turn_deg"] == -25.0
    assert there["head_held"] == {"toward_target_cm": -2.0, "up_cm": 0.0}
    alone = told("centred", *settings, "--json", str(file))
    assert TOP_ALONE in " ".join(alone.split()) and json.loads(file.read_text())["at_impact"] is None
    assert TOP_ALONE not in " ".join(text.split()) and TOP_ALONE not in " ".join(told("centred").split())
    assert np.isfinite(found["moments"][there["moment"]]["head_up_cm"])
