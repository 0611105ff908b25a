"""The shares command: its numbers as the model's, its files, its mistakes and its guide."""

from __future__ import annotations

import json
import re
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from turnstill.model import Address, Body, Pieces
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.model.swing.simulate import simulate
from turnstill.scenes.cli import app
from turnstill.scenes.setups.perform import perform, swing_of
from turnstill.scenes.setups.presets import backswing_names, load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.shares.page import shares_page
from turnstill.scenes.shares.report import SharesReport
from turnstill.scenes.shares.work import share_out
from turnstill.scenes.simulate.report import SwingReport

KEYS = ("head_toward_target_cm", "head_toward_ball_cm", "head_up_cm", "inclination_deg")
RUNNER = CliRunner()
GUIDE = Path(__file__).parents[2] / "docs" / "shares.md"
MANY = ("tilt=30", "hip_turn=35", "hips_toward_ball=2", "lead_flex_change=5", "trail_flex_change=0", "shoulder_turn=80")


@pytest.fixture(scope="module")
def reports():
    known: dict[tuple, SharesReport] = {}

    def get(name: str, *settings: str, against: str = "steady", inches: bool = False) -> SharesReport:
        asking = (name, against, inches, *settings)
        if asking not in known:
            known[asking] = SharesReport.of(share_out(apply(load(name), settings), against, frames=3), inches)
        return known[asking]

    return get


@pytest.mark.parametrize(
    ("name", "against"),
    [*((name, "steady") for name in backswing_names()), ("sway", "address"), ("pinched-toes", "turn")],
)
def test_a_presets_numbers_add_up(reports, name: str, against: str) -> None:
    report = reports(name, against=against)
    assert report.reference == against
    assert [share.piece for share in report.shares] == list(DEPARTURES)
    for at in (report, *report.moments):
        for key in KEYS:
            # Each number is rounded to six decimals.
            total = getattr(at.total, key)
            assert sum(getattr(share, key) for share in at.shares) == pytest.approx(total, abs=1e-5)
    for key in KEYS:
        ends = getattr(report.reference_at_top, key) + getattr(report.total, key)
        assert getattr(report.swing_at_top, key) == pytest.approx(ends, abs=1e-5)
    assert 1 <= len(report.sentences) <= 2 and all(line.endswith(".") for line in report.sentences)


def test_the_swing_at_the_top_is_the_one_simulated(reports) -> None:
    top = SwingReport.of(perform(load("sway"), 3)).moments[-1]
    for key in KEYS:
        assert getattr(reports("sway").swing_at_top, key) == pytest.approx(getattr(top, key), abs=1e-6)


def test_a_one_piece_fault_is_one_arrow_and_one_sentence(reports) -> None:
    report = reports("too-little-extension")
    moved = [share.piece for share in report.shares if any(getattr(share, key) for key in KEYS)]
    assert moved == ["extension"] and report.combinations == 2
    (sentence,) = report.sentences
    found = re.match(
        r"Extension of (\S+)° \(centred: (\S+)°\) does all of it: .* (\S+) cm farther from the target", sentence
    )
    assert found
    amount, held, away = map(float, found.groups())
    assert held - amount == pytest.approx(10.0, abs=0.11)
    assert away == pytest.approx(-report.total.head_toward_target_cm, abs=0.051)


def test_a_centred_turn_that_cannot_hold_the_head_is_said(reports) -> None:
    raised = reports("centred", "lead_heel_rise=10", "sex=female", "stature=150")
    (line,) = [line for line in raised.warnings if line.startswith("Even the centred turn")]
    off = np.hypot(raised.reference_at_top.head_toward_target_cm, raised.reference_at_top.head_up_cm)
    assert off > 0.5 and f"leaves it {off:.1f} cm off" in line and not raised.reference_holds
    assert "holds this golfer's head" not in shares_page(raised)
    assert not any("Even the centred" in line for line in reports("sway").warnings)
    assert not any("combinations" in line for line in raised.warnings)


def test_stopped_combinations_are_named(reports) -> None:
    report = reports("pinched-toes", "hip_turn=70", against="address")
    stopped = {tuple(one.of): one.ranges for one in report.stopped}
    assert "trail_hip_internal_rotation" in stopped["hip_turn",]
    assert () not in stopped
    assert any(f"of the {report.combinations} combinations" in line for line in report.warnings)


def test_the_page_stands_alone_and_says_its_units(reports) -> None:
    for against, inches in (("steady", False), ("turn", True)):
        report = reports("sway", *MANY, against=against, inches=inches)
        html = shares_page(report, inches)
        assert not re.search(r"(?:src|href)=|https?:", html)
        unit = "in" if inches else "cm"
        assert f"head toward target, {unit}" in html and f"head up, {unit}" in html
        assert all(line.replace("'", "&#39;").replace(" -", " −") in html for line in report.sentences)
        assert html.count('<svg class="chart"') == 6
        assert "never force a range" in html.lower()


def test_the_command_writes_json_and_a_folder(tmp_path: Path) -> None:
    out, numbers = tmp_path / "page", tmp_path / "a.json"
    arguments = ["shares", "too-much-tilt", "--frames", "3", "--out", str(out), "--json", str(numbers)]
    for _ in range(2):  # the second run replaces the first
        done = RUNNER.invoke(app, arguments)
        assert done.exit_code == 0, done.output
    assert "does all of it" in " ".join(done.stdout.split()) and str(out / "index.html") in done.stdout
    report = json.loads(numbers.read_text(encoding="utf-8"))
    assert {"reference", "shares", "total"} <= set(report)
    inside = json.loads((out / "shares.json").read_text(encoding="utf-8"))
    assert inside.pop("files") == ["index.html", "shares.json"] == sorted(p.name for p in out.iterdir())
    assert inside == report
    (out / "mine.txt").write_text("kept")
    assert RUNNER.invoke(app, arguments).exit_code == 2 and (out / "mine.txt").exists()


def test_standard_output_carries_json_alone() -> None:
    done = RUNNER.invoke(app, ["shares", "sway", "--frames", "3", "--json", "-", "--against", "turn", "--left-handed"])
    report = json.loads(done.stdout)
    assert report["reference"] == "turn" and report["body"]["handedness"] == "left"


@pytest.mark.parametrize("wrong", ["", "impact", "Steady", "\x00"])
def test_an_unknown_reference_is_one_sentence(wrong) -> None:
    done = RUNNER.invoke(app, ["shares", "sway", "--against", wrong])
    assert done.exit_code == 2 and "must be steady or address or turn" in done.stderr and done.stdout == ""


def written(language: str) -> list[str]:
    """The guide's blocks of a language."""
    return re.findall(rf"^```{language}\n(.*?)^```$", GUIDE.read_text(encoding="utf-8"), re.M | re.S)


@pytest.mark.parametrize("command", [line for block in written("sh") for line in block.splitlines()])
def test_the_guides_commands_work_as_written(command: str, tmp_path: Path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    done = RUNNER.invoke(app, command.split()[1:])
    assert done.exit_code == 0, done.output
    for option, inside in (("--json", ""), ("--out", "index.html")):
        if option in command:
            assert (tmp_path / command.split()[command.split().index(option) + 1] / inside).stat().st_size


def test_the_guides_python_works_as_written() -> None:
    (python,) = written("python")
    names: dict = {}
    exec(python, names)
    assert names["found"].share.shape == (2, 41, len(DEPARTURES), 4)


def test_the_guides_figures_are_what_the_model_says(reports) -> None:
    text = GUIDE.read_text(encoding="utf-8")
    by_piece = {share.piece: share for share in reports("centred", against="turn").shares}
    rows = dict(re.findall(r"^\| ([^|]+) \| ([^|]+) \|$", text, re.M))
    toward = {name: f"{share.head_toward_target_cm:+.1f}" for name, share in by_piece.items()}
    assert rows["hip turn"] == toward["hip_turn"]
    assert rows["shoulder turn about its own axis"] == toward["shoulder_turn"]
    assert rows["lead knee, trail knee"] == f"{toward['lead_flex_change']}, {toward['trail_flex_change']}"
    assert rows[f"extension added to that, {by_piece['extension'].asked:.1f}°"] == toward["extension"]
    assert rows[f"tilt added to that, {by_piece['tilt'].asked:.1f}°"] == toward["tilt"]
    fault = reports("too-little-extension").total
    away, down, ball = -fault.head_toward_target_cm, -fault.head_up_cm, fault.head_toward_ball_cm
    told = f"{away:.1f} cm away from the target, {down:.1f} cm down, {ball:.1f} cm toward the ball"
    assert told in " ".join(text.split())
    stopped = reports("centred", against="turn")
    assert f"{len(stopped.stopped)} of {stopped.combinations} for the centred pivot" in text


def test_the_guide_says_why_sway_moves_the_head_less_than_the_hips() -> None:
    """With the trunk as it was, the pelvis goes all the way and the belt line tips over knees that are held."""
    text = " ".join(GUIDE.read_text(encoding="utf-8").split())
    centred = swing_of(load("centred"), 2)
    held = {name: centred.asked[name][-1] for name in ("tilt", "extension")}
    here, there = (
        simulate(Body.from_stature(), Address(), Pieces(sway=sway, **held), frames=2) for sway in (0.0, 0.05)
    )

    def gone(joint: str) -> float:
        return float((here.skeleton.joints[joint] - there.skeleton.joints[joint])[-1, 1]) * 100.0

    belt = [float(np.degrees(swing.achieved["belt_line_tilt"][-1])) for swing in (here, there)]
    assert gone("pelvis") == pytest.approx(5.0, abs=0.01)
    assert f"the belt line from {belt[0]:.1f}° to {belt[1]:.1f}°" in text
    assert f"its foot only {gone('lumbosacral'):.1f} cm and its top, with the head, {gone('head'):.1f} cm" in text
    assert gone("head") == pytest.approx(gone("neck_base"), abs=0.05)
