"""The shares command: its numbers, its sentences, its charts and its page."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.cli import app
from turnstill.scenes.paper import view_plane
from turnstill.scenes.paper.arrows import Arrow, arrows_chart
from turnstill.scenes.paper.charts import STYLES
from turnstill.scenes.setups.presets import load, preset_names
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.shares.page import shares_page
from turnstill.scenes.shares.words import stopped_sentence
from turnstill.scenes.shares.work import OUTCOME_KEYS, in_shown_unit, share_out, shares_report

RUNNER = CliRunner()
GUIDE = Path(__file__).parents[2] / "docs" / "shares.md"
MANY = ("tilt=30", "hip_turn=35", "hips_toward_ball=2", "lead_flex_change=5", "trail_flex_change=0", "shoulder_turn=80")


@pytest.fixture(scope="module")
def reports():
    known = {}

    def get(name: str, *settings: str, against: str = "steady", inches: bool = False) -> dict:
        asking = (name, against, inches, *settings)
        if asking not in known:
            shared = share_out(apply(load(name), settings), against, frames=5)
            known[asking] = in_shown_unit(shares_report(shared), shared, inches)
        return known[asking]

    return get


@pytest.mark.parametrize("name", preset_names())
def test_every_presets_numbers_add_up(reports, name) -> None:
    for against in ("steady", "address", "turn"):
        report = reports(name, against=against)
        assert report["reference"] == against
        assert [share["piece"] for share in report["shares"]] == list(DEPARTURES)
        for at in (report, *report["moments"]):
            for key in OUTCOME_KEYS:
                # Each number is rounded to six decimals.
                assert sum(share[key] for share in at["shares"]) == pytest.approx(at["total"][key], abs=1e-5)
        for key in OUTCOME_KEYS:
            ends = report["reference_at_top"][key] + report["total"][key]
            assert report["swing_at_top"][key] == pytest.approx(ends, abs=1e-5)
        assert report["sentences"] and all(line.endswith(".") for line in report["sentences"])


def test_the_swing_at_the_top_is_the_one_simulated(reports) -> None:
    done = RUNNER.invoke(app, ["simulate", "sway", "--frames", "5", "--json", "-"])
    top = json.loads(done.stdout)["moments"][-1]
    for key in OUTCOME_KEYS:
        assert reports("sway")["swing_at_top"][key] == pytest.approx(top[key], abs=1e-6)


def test_a_one_piece_fault_is_one_arrow_and_one_sentence(reports) -> None:
    report = reports("too-little-extension")
    moved = [share["piece"] for share in report["shares"] if any(share[key] for key in OUTCOME_KEYS)]
    assert moved == ["extension"] and report["combinations"] == 2
    (sentence,) = report["sentences"]
    found = re.match(
        r"Extension of (\S+)° \(centred: (\S+)°\) does all of it: .* (\S+) cm farther from the target", sentence
    )
    assert found
    amount, held, away = map(float, found.groups())
    assert held - amount == pytest.approx(10.0, abs=0.11)
    assert away == pytest.approx(-report["total"]["head_toward_target_cm"], abs=0.051)


def test_what_holds_the_head_is_said_as_a_coach_would(reports) -> None:
    (sentence,) = reports("centred", against="turn")["sentences"]
    assert re.match(r"From face-on the hips' turn takes the head \S+ cm away from the target; ", sentence)
    assert "the knees" in sentence and "the extension added to that" in sentence
    assert sentence.endswith("All together it ends where it was.")
    assert "--against steady" in reports("centred", against="address")["sentences"][1]


def test_nothing_changed_and_too_little_changed_are_said(reports) -> None:
    assert "no piece moved the head" in reports("centred")["sentences"][0]
    assert "too little to move it" in reports("centred", "tilt=steady+0.1")["sentences"][0]
    few = reports("centred", "tilt=steady+0.1", "extension=steady-0.1")["sentences"][0]
    assert "2 pieces differ" in few and "too little" in few


def test_a_centred_turn_that_cannot_hold_the_head_is_said(reports) -> None:
    raised = reports("centred", "lead_heel_rise=10", "sex=female", "stature=150")
    (line,) = [line for line in raised["warnings"] if line.startswith("Even the centred turn")]
    off = np.hypot(raised["reference_at_top"]["head_toward_target_cm"], raised["reference_at_top"]["head_up_cm"])
    assert off > 0.5 and f"leaves it {off:.1f} cm off" in line
    assert not any("Even the centred" in line for line in reports("sway")["warnings"])
    assert not any("combinations" in line for line in raised["warnings"])


def test_inches_change_the_words_and_not_the_numbers(reports) -> None:
    metric, inches = reports("sway"), reports("sway", inches=True)
    assert " in " in inches["sentences"][0] and " cm" not in inches["sentences"][0]
    assert inches["total"] == metric["total"]


def test_stopped_combinations_are_named(reports) -> None:
    report = reports("pinched-toes", "hip_turn=70", against="address")
    stopped = {tuple(one["pieces"]): one["ranges"] for one in report["stopped"]}
    assert "trail_hip_internal_rotation" in stopped["hip_turn",]
    assert () not in stopped
    assert any(f"of the {report['combinations']} combinations" in line for line in report["warnings"])
    html = shares_page(report)
    assert html.count("<li>hip turn: ") == 1 and f"All {len(stopped)} combinations" in html
    assert stopped_sentence([], 8) == ""


class _Chart:
    """Places of a chart's arrows and names, read back from its SVG."""

    def __init__(self, svg: str) -> None:
        root = ET.fromstring(svg.replace("<svg", '<svg xmlns=""', 1))
        self.lines = [e for e in root if e.tag == "line" and e.get("stroke-width") == "2.6"]
        self.heads = [e for e in root if e.tag == "polygon"]
        self.names = [e for e in root if e.tag == "text" and e.get("x") == str(view_plane.NAMES_FROM)]
        circles = [e for e in root if e.tag == "circle" and e.get("r") == "5"]
        self.ring, self.dot = (np.array([float(e.get(k, "")) for k in ("cx", "cy")]) for e in circles)

    def tip(self, k: int) -> np.ndarray:
        return np.array([float(v) for v in self.heads[k].get("points", "").split()[0].split(",")])

    def tail(self, k: int) -> np.ndarray:
        return np.array([float(self.lines[k].get(name, "")) for name in ("x1", "y1")])


@pytest.mark.parametrize("mirrored", [False, True])
def test_arrows_are_joined_and_end_where_the_head_went(mirrored) -> None:
    rng = np.random.default_rng(4)
    for count in (1, 3, 8):
        parts = rng.normal(size=(count, 2)) * 3.0
        given = [Arrow(f"piece {k}", *parts[k], STYLES[k % 6]) for k in range(count)]
        svg = arrows_chart("Face-on", "cm", given, ("away from target", "toward target"), mirrored=mirrored)
        chart = _Chart(svg)
        assert len(chart.lines) == len(chart.names) == count
        np.testing.assert_allclose(chart.tail(0), chart.ring, atol=0.11)
        for k in range(count - 1):
            np.testing.assert_allclose(chart.tip(k), chart.tail(k + 1), atol=0.11)
        np.testing.assert_allclose(chart.tip(count - 1), chart.dot, atol=0.11)
        # One scale on both axes: the whole movement keeps its direction; up is up, and a left-hander's target is left.
        whole, drawn = parts.sum(axis=0) * [-1 if mirrored else 1, 1], (chart.dot - chart.ring) * [1, -1]
        np.testing.assert_allclose(drawn / np.linalg.norm(drawn), whole / np.linalg.norm(whole), atol=0.02)
        assert f"{parts.sum(axis=0)[0]:+.1f} across" in svg
        rows = sorted(float(name.get("y", "")) for name in chart.names)
        assert all(b - a > 16.0 for a, b in pairwise(rows))
        assert rows[0] > 0 and rows[-1] < view_plane.HEIGHT - view_plane.BOTTOM + 5


def test_no_arrows_and_arrows_of_no_length_still_make_a_chart() -> None:
    assert "no piece moves it" in arrows_chart("Face-on", "cm", [], ("a", "b"))
    assert "nan" not in arrows_chart("Face-on", "cm", [Arrow("tilt", 0.0, 0.0, STYLES[0])], ("a", "b"))


def test_the_page_stands_alone_and_says_its_units(reports) -> None:
    for against, inches in (("steady", False), ("turn", True)):
        report = reports("sway", *MANY, against=against, inches=inches)
        html = shares_page(report, inches)
        assert not re.search(r"(?:src|href)=|https?:", html)
        unit = "in" if inches else "cm"
        assert f"toward target, {unit}" in html and f"up, {unit}" in html
        assert all(line.replace("'", "&#x27;") in html for line in report["sentences"])
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


def test_the_guides_commands_work_as_written(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    text = GUIDE.read_text(encoding="utf-8")
    commands = [line for block in re.findall(r"^```sh\n(.*?)^```$", text, re.M | re.S) for line in block.splitlines()]
    assert len(commands) >= 4
    for command in commands:
        done = RUNNER.invoke(app, command.split()[1:])
        assert done.exit_code == 0, (command, done.output)
    assert (tmp_path / "sway.json").stat().st_size and (tmp_path / "holding" / "index.html").stat().st_size
    (python,) = re.findall(r"^```python\n(.*?)^```$", text, re.M | re.S)
    names: dict = {}
    exec(python, names)
    assert names["found"].share.shape == (2, 41, len(DEPARTURES), 4)


def test_the_guides_figures_are_what_the_model_says(reports) -> None:
    text = GUIDE.read_text(encoding="utf-8")
    by_piece = {s["piece"]: s for s in reports("centred", against="turn")["shares"]}
    rows = dict(re.findall(r"^\| ([^|]+) \| ([^|]+) \|$", text, re.M))
    toward = {name: f"{share['head_toward_target_cm']:+.1f}" for name, share in by_piece.items()}
    assert rows["hip turn"] == toward["hip_turn"]
    assert rows["shoulder turn about its own axis"] == toward["shoulder_turn"]
    assert rows["lead knee, trail knee"] == f"{toward['lead_flex_change']}, {toward['trail_flex_change']}"
    assert rows[f"extension added to that, {by_piece['extension']['asked']:.1f}°"] == toward["extension"]
    assert rows[f"tilt added to that, {by_piece['tilt']['asked']:.1f}°"] == toward["tilt"]
    fault = reports("too-little-extension")["total"]
    away, down, ball = -fault["head_toward_target_cm"], -fault["head_up_cm"], fault["head_toward_ball_cm"]
    assert f"{away:.1f} cm away from the target, {down:.1f} cm down, {ball:.1f} cm toward the ball" in " ".join(
        text.split()
    )
    stopped = reports("centred", against="turn")
    assert f"{len(stopped['stopped'])} of {stopped['combinations']} for the centred pivot" in text
