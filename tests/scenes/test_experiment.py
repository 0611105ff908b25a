"""The experiment command: its numbers, sentences, charts, page and mistakes."""

from __future__ import annotations

import json
import re
import sys
from contextlib import nullcontext
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from turnstill.model import Address, Pieces
from turnstill.model.errors import TurnstillError
from turnstill.model.questions.available import most_hip_turn
from turnstill.scenes.cli import app, main
from turnstill.scenes.experiment import pictures
from turnstill.scenes.experiment.batch import solve_together
from turnstill.scenes.experiment.pictures import chosen_steps
from turnstill.scenes.experiment.report import ExperimentReport
from turnstill.scenes.experiment.tried import Tried, round_steps, try_out
from turnstill.scenes.setups.knobs import both_names, knob
from turnstill.scenes.setups.perform import body_of, swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.quantities import entries
from turnstill.scenes.setups.reports import numbers_at
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.views.cameras import cameras

RUNNER = CliRunner()


@pytest.fixture(scope="module")
def tried():
    known: dict[tuple, tuple[Tried, ExperimentReport]] = {}

    def get(
        name: str, first, last, steps=None, *settings: str, preset: str = "centred"
    ) -> tuple[Tried, ExperimentReport]:
        asking = (name, first, last, steps, preset, *settings)
        if asking not in known:
            done = try_out(apply(load(preset), settings), name, str(first), str(last), steps)
            known[asking] = (done, ExperimentReport.of(done))
        return known[asking]

    return get


def test_everything_that_can_be_set_can_be_tried() -> None:
    """All of it in one batch, but for what may be held: tilt and extension are tried below."""
    own = {"stature": 176.0, "mass": 90.0, "spine": 46.0, "sway": 2.0, "stance_width": 46.0, "club_length": 95.0,
           "wrist_hinge": 110.0, "club_roll": -160.0, "turn_of_full_swing": 80.0}  # fmt: skip
    small = ("hands_ahead", "ball_position", "hips_toward_ball", "lead_heel_rise", "trail_heel_rise", "side_bend")
    base = load("centred")
    setups = []
    for entry in (one for one in entries() if one.quantity and one.name not in ("tilt", "extension")):
        if entry.section in ("head", "impact"):
            with pytest.raises(TurnstillError, match=f"{entry.name} cannot be tried in steps"):
                knob(entry.name)
            continue
        value = own.get(entry.name, 2.0 if entry.name in small else 22.0)
        if entry.section == "body.lengths_cm" and entry.name not in own:
            value = round(float(body_of(base).lengths[entry.name]) * 101.0, 3)
        elif entry.section == "body.ranges_deg":
            # With 36 degrees of it nobody brings an arm before the chest, and no address is balanced.
            value = 120.0 if "horizontal_adduction" in entry.name else 36.0
        turned = knob(entry.name)
        assert turned.read(f"{value:g}", "--to") == pytest.approx(value)
        changed = turned.set(base, value)
        assert {(s, k): v for s, part in changed.values.items() for k, v in part.items()} == {
            **{(s, k): v for s, part in base.values.items() for k, v in part.items()},
            (entry.section, entry.key): value,
        }
        setups.append(changed)
    assert len(setups) > 60 and np.all(solve_together(setups).converged)


def test_steps_are_what_simulate_and_the_hip_room_say(tried) -> None:
    done, report = tried("lead_flare", 0, 40, 3)
    assert [step.value for step in report.steps] == [0, 20, 40]
    for step in report.steps:
        flare = step.value
        swing = swing_of(apply(load("centred"), [f"lead_flare={flare}"]), 3)
        for key, value in numbers_at(swing, -1).items():
            assert getattr(step, key) == pytest.approx(value, abs=2e-5), key
        alone = most_hip_turn(body_of(load("centred")), Address(lead_flare=np.radians(flare)), Pieces())
        assert step.available_hip_turn_deg == pytest.approx(float(np.degrees(alone.hip_turn)), abs=2e-5)
        assert step.strain == max(step.strain_of.values())
    given = report.as_given
    assert given.values == {"lead_flare": 20.0}
    for key in ("available_hip_turn_deg", "strain", "belt_line_tilt_deg"):
        assert getattr(given, key) == pytest.approx(getattr(report.steps[1], key), abs=1e-6)
    assert done.count == 3


def test_where_another_joint_takes_over_is_said(tried) -> None:
    _, report = tried("lead_flare", 0, 40)
    runs = report.stops
    assert len(runs) == 2
    assert "trail_hip_internal_rotation" in runs[0].ranges and "lead_hip_external_rotation" in runs[1].ranges
    assert runs[0].from_value == 0 and runs[1].to_value == 40
    text = " ".join(report.sentences)
    assert f"from {runs[1].from_value:g}° on lead hip external rotation and lead shin external rotation" in text
    alone = [step.limited_by for step in report.steps]
    assert [names for names in alone if names == runs[1].ranges] == alone[-4:]


def test_where_the_model_disagrees_with_common_advice_is_said_for_each_foot(tried) -> None:
    lead, trail, both = (" ".join(tried(name, 0, 40)[1].sentences) for name in ("lead_flare", "trail_flare", "flare"))
    turns = {n: [s.available_hip_turn_deg for s in tried(n, 0, 40)[1].steps] for n in ("lead_flare", "flare")}
    taken = turns["lead_flare"][0] - turns["lead_flare"][-1]
    assert taken > 10 and f"disagrees here: following it takes {taken:.0f}° of hip turn away" in lead
    free = max(
        step.value
        for step in tried("lead_flare", 0, 40)[1].steps
        if step.available_hip_turn_deg > turns["lead_flare"][0] - 1.0
    )
    assert f"hip turn away, none of it up to about {free:g}°" in lead
    assert "the two add up" in lead and "more outward rotation" in lead and "trail foot" not in lead
    assert "the model agrees up to about" in trail and "less inward rotation" in trail
    gives = max(turns["flare"]) - turns["flare"][0]
    assert f"agrees in part: up to about 20° it gives {gives:.0f}° of hip turn" in both
    assert "the lead foot" in both and "the trail foot" in both


def test_a_difference_that_bodies_have_too_is_next_to_nothing(tried) -> None:
    _, report = tried("stance_width", 25, 60)
    turns = [step.available_hip_turn_deg for step in report.steps]
    assert 1.0 < turns[-1] - turns[0] < 3.0
    text = " ".join(report.sentences)
    assert "finds next to nothing" in text and "disagrees" not in text


def test_the_slope_in_the_sentence_is_that_of_the_joints(tried) -> None:
    _, report = tried("lead_flare", 0, 40)
    (told,) = re.findall(r"asks (\S+)° more outward", " ".join(report.sentences))
    ends = [report.steps[k].used_deg for k in (0, -1)]
    names = ("lead_hip_external_rotation", "lead_shin_external_rotation")
    slope = sum(ends[1][n] - ends[0][n] for n in names) / 40.0
    assert float(told) == pytest.approx(slope, abs=0.051)


def test_a_turn_that_is_not_there_is_said(tried) -> None:
    _, report = tried("flare", 0, 40, 5, "hip_turn=60")
    short = [s.value for s in report.steps if s.hip_turn_deg < 59]
    (line,) = [line for line in report.sentences if line.startswith("This swing asks for 60°")]
    assert short == [0, 40] and "does not get them at 0° and 40°: at 0° it gets 51°, stopped by trail hip" in line
    beyond = [s for s in report.steps if s.hip_turn_deg > s.available_hip_turn_deg + 0.5]
    assert beyond and "gets a little more than that" in " ".join(report.sentences)


def test_both_sides_and_knees() -> None:
    assert {"flare", "hip_internal_rotation", "knee_flex_change"} <= set(both_names())
    knees = knob("knee_flex_change")
    setup = knees.set(load("centred"), 10.0)
    assert setup.section("pieces")["lead_flex_change_deg"] == 10.0
    assert setup.section("pieces")["trail_flex_change_deg"] == -10.0
    for spelling in ("flare", "Flare_deg", "FLARE"):
        both = knob(spelling).set(load("centred"), 5.0)
        assert both.section("address")["lead_flare_deg"] == both.section("address")["trail_flare_deg"] == 5.0


def test_departures_from_steady_and_plain_numbers(tried) -> None:
    _, steady = tried("tilt", "steady-10", "steady+10", 5)
    assert [step.setting for step in steady.steps] == ["steady-10", "steady-5", "steady", "steady+5", "steady+10"]
    up = [step.head_up_cm for step in steady.steps]
    assert all(a > b for a, b in pairwise(up)) and abs(up[2]) < 0.01
    # The swing itself has steady tilt: it is shown with the number that comes to.
    _, plain = tried("tilt", 30, 44, 3)
    assert plain.as_given.tilt_deg == pytest.approx(steady.steps[2].tilt_deg, abs=1e-5)
    held = plain.as_given.tilt_deg
    assert plain.as_given.values["tilt"] == pytest.approx(held, abs=1e-5) and held > 35.5
    _, own = tried("tilt", 30, 44, 3, "tilt=35")
    assert own.as_given.values == {"tilt": 35.0}
    # And where the steps depart from steady, a number is shown as what departs.
    _, number = tried("tilt", "steady-10", "steady+10", 3, "tilt=35")
    assert number.as_given.values["tilt"] == pytest.approx(35.0 - held, abs=1e-4)
    assert number.as_given.setting == f"steady{35.0 - held:.6g}" and number.as_given.tilt_deg == pytest.approx(35.0)


def test_numbers_of_steps_are_round() -> None:
    for low, high in ((0, 40), (15, 45), (25, 60), (0, 20), (40, 0), (-10, 10)):
        size = (high - low) / (round_steps(low, high) - 1)
        assert size == round(size)
    assert round_steps(0, 0.7) == 9


def test_steps_that_cannot_be_stood_are_marked(tried) -> None:
    _, report = tried("stance_width", 40, 120, 3)
    assert not report.steps[-1].converged and any("120 cm" in line for line in report.warnings)


def test_a_body_that_could_be_hurt_is_warned(tried) -> None:
    ranges = tried("hip_internal_rotation", 20, 40, 2)[1].warnings
    assert any("without pushing" in line for line in ranges)
    straight = tried("trail_flex_change", -22, 0, 3)[1].warnings
    (line,) = [line for line in straight if "nearly straight" in line]
    assert line.startswith("At -22° the trail knee") and "do not press it straight" in line
    assert not any("nearly straight" in line or "pushing" in line for line in tried("flare", 0, 40)[1].warnings)


def test_the_value_that_cannot_be_is_named() -> None:
    with pytest.raises(TurnstillError, match=r"^At 2[0-9]{2} cm: A club .* does not reach the ball"):
        try_out(apply(load("centred"), ["club_length=94"]), "stature", "150", "230", 9)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["flair", "--from", "0", "--to", "1"], "Did you mean flare?"),
        (["sex", "--from", "0", "--to", "1"], "a word without steps"),
        (["lead_flare_cm", "--from", "0", "--to", "1"], "wrong unit"),
        (["flare", "--from", "0", "--to", "99"], "--to of flare was 99"),
        (["flare", "--from", "nan", "--to", "9"], "--from of flare was nan"),
        (["flare", "--from", "3", "--to", "3"], "two different values"),
        (["tilt", "--from", "steady", "--to", "40"], "both as numbers"),
        (["flare", "--from", "0", "--to", "9", "--steps", "1"], "from 2 to 61"),
        (["flare", "--from", "0", "--to", "9", "nobody"], "no preset or file"),
        (["flare", "--from", "0", "--to", "9", "--steps", "1000000"], "--steps was 1000000"),
        (["flare", "--from", "0"], "--to"),
    ],
)
def test_mistakes_are_one_sentence(arguments, said, tmp_path, monkeypatch, capsys) -> None:
    out = tmp_path / "page"
    monkeypatch.setattr("signal.signal", lambda *_: None)
    monkeypatch.setattr(sys, "argv", ["turnstill", "experiment", *arguments, "--out", str(out)])
    with pytest.raises(SystemExit) as ended:
        main()
    told = capsys.readouterr()
    assert ended.value.code == 2 and told.out == "" and not out.exists()
    assert said in told.err and len(told.err.splitlines()) == 1


def test_experiment_page_and_files(tmp_path: Path) -> None:
    out, numbers = tmp_path / "page", tmp_path / "a.json"
    arguments = ["experiment", "trail_flare", "--from", "0", "--to", "40", "--steps", "3", "--no-pictures"]
    for _ in range(2):  # the second run replaces the first
        done = RUNNER.invoke(app, [*arguments, "--out", str(out), "--json", str(numbers)])
        assert done.exit_code == 0, done.output
    report = json.loads(numbers.read_text(encoding="utf-8"))
    assert {"value", "available_hip_turn_deg", "limited_by", "head_up_cm"} <= set(report["steps"][0])
    inside = json.loads((out / "experiment.json").read_text(encoding="utf-8"))
    assert inside.pop("files") == sorted(p.name for p in out.iterdir())[::-1] and inside == report
    html = (out / "index.html").read_text(encoding="utf-8")
    assert html.count('<svg class="chart"') == 6 and not re.search(r"https?:|<img", html)
    assert "not what is advisable" in html and "trail flare, °" in html
    piped = RUNNER.invoke(app, [*arguments, "--json", "-"])
    assert json.loads(piped.stdout) == report


def test_a_strip_has_each_chosen_step_from_every_view(tried, monkeypatch: pytest.MonkeyPatch) -> None:
    """Which swing is drawn under which step, view and camera; the golfer's guide draws them in earnest."""
    done, _ = tried("flare", 0, 40, 5)
    stage = object()
    monkeypatch.setattr("turnstill.render.stage.stage.Stage", lambda: nullcontext(stage))
    monkeypatch.setattr(pictures, "draw", lambda *drawn: drawn)
    strip = pictures.strip_of(done, ("above", "down-the-line"))
    assert [(one.index, one.view) for one in strip] == [
        (k, view) for k in (0, 1, 2, 4) for view in ("above", "down-the-line")
    ]
    places = cameras([swing_of(done.setups[0], 2)])[0]
    for one in strip:
        performed, view, camera, on = one.png
        assert performed.setup.name == f"{10 * one.index}°" and view == one.view and on is stage
        assert float(np.degrees(performed.swing.address.lead_flare)) == pytest.approx(10.0 * one.index)
        assert (camera.width, camera.height) == (540, 675)
        np.testing.assert_allclose(camera.R, places[view].R, atol=0.02)


def test_chosen_steps_hold_both_ends_and_the_best() -> None:
    assert chosen_steps([1.0, 2.0, 3.0]) == [0, 1, 2]
    for best in range(1, 8):
        turns = [10.0 - abs(k - best) for k in range(9)]
        chosen = chosen_steps(turns)
        assert {0, best, 8} <= set(chosen) and len(chosen) == 4
