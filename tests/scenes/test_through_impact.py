"""Commands that go on through impact where they are asked to, and say so."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from typer.testing import CliRunner

from turnstill.model import Address, Body, Impact, Pieces, simulate
from turnstill.model.golfer.impact import LEVEL_PAST
from turnstill.scenes.cli import app
from turnstill.scenes.export.work import content
from turnstill.scenes.film.strip import _name
from turnstill.scenes.film.timing import DENSE


def run(*arguments: str) -> Any:
    return CliRunner().invoke(app, list(arguments))


def told(*arguments: str) -> dict[str, Any]:
    done = run("simulate", "too-much-tilt", "--frames", "9", "--json", "-", *arguments)
    assert done.exit_code == 0, done.output
    return dict(json.loads(done.stdout))


def test_a_swing_until_its_top_is_the_swing_that_ends_there() -> None:
    body = Body.from_stature(np.array([1.6, 1.85]), 75.0)
    address = Address(club_length=1.0)
    whole = simulate(body, address, Pieces(), frames=7, impact=Impact())
    short, cut = simulate(body, address, Pieces(), frames=7), whole.until_top()
    assert cut.impact is None and whole.at_impact == 9 and short.until_top() is short
    assert cut.progress.tolist() == short.progress.tolist()
    np.testing.assert_array_equal(cut.limited, short.limited)
    np.testing.assert_allclose(cut.head_wanted, short.head_wanted)
    for name, place in short.skeleton.joints.items():
        np.testing.assert_allclose(cut.skeleton.joints[name], place, atol=1e-9)
    np.testing.assert_allclose(cut.measures.head_moved, short.measures.head_moved, atol=1e-9)
    np.testing.assert_allclose(cut.joint_ranges["trunk_rotation"][1], short.joint_ranges["trunk_rotation"][1])
    np.testing.assert_allclose(cut.achieved["tilt"], short.achieved["tilt"], atol=1e-9)


def test_simulate_tells_of_the_top_as_before_and_of_moments_on_to_the_ball() -> None:
    short, whole = told(), told("--through", "impact")
    for key in ("asked", "achieved", "steady", "limited_by", "warnings", "least_balance_margin_cm"):
        assert whole[key] == pytest.approx(short[key], abs=1e-5) if isinstance(short[key], float) else True, key
    assert whole["steady"]["tilt_departure_deg"] == pytest.approx(short["steady"]["tilt_departure_deg"], abs=1e-5)
    assert whole["warnings"] == short["warnings"] and whole["limited_by"] == short["limited_by"]
    progress = [moment["progress"] for moment in whole["moments"]]
    assert len(short["moments"]) == 9 and progress[8] == 1.0 and progress[12] == 2.0 and progress[-1] == 3.0
    ball = whole["moments"][12]
    assert ball["hip_turn_deg"] == pytest.approx(-40.0, abs=0.1)
    np.testing.assert_allclose(ball["joints_m"]["clubhead"], ball["joints_m"]["ball"], atol=1e-6)
    printed = run("simulate", "centred", "--through", "impact", "--frames", "3").stdout
    assert "the ball, which is impact" in " ".join(printed.split())


def test_exported_times_go_down_in_a_third_of_the_backswing() -> None:
    swing = simulate(Body.from_stature(), Address(), Pieces(), frames=5, impact=Impact())
    text = content(".bvh", swing, 1.2, None).decode()
    times = 1.2 * (1.0 + np.array([0.5, 1.0, 1.0 + 0.5 * (LEVEL_PAST - 1.0), LEVEL_PAST]) / 3.0)
    frame_time = float(text.split("Frame Time:")[1].split()[0])
    assert f"Frames: {1 + round(times[-1] / frame_time)}" in text


def test_moments_of_a_strip_are_called_what_they_are() -> None:
    top, ball = DENSE - 1, 3 * (DENSE - 1) // 2
    names = [_name(moment) for moment in (0, top // 4, top, (top + ball) // 2, ball, ball + 50, 2 * top)]
    assert names == ["address", "25 %", "top", "50 % down", "impact", "past", "past"]


def test_what_stops_a_piece_at_impact_is_told_where_the_swing_goes_there() -> None:
    straight = "--set", "impact.trail_flex_change=-40", "--set", "impact.trail_heel_rise=0"
    says = "Ranges of this body stop part of what is asked at impact: trail knee straight."
    assert says in told("--through", "impact", *straight)["warnings"]
    assert says not in told(*straight)["warnings"]


@pytest.mark.parametrize("command", ["simulate", "film", "strip", "export"])
def test_another_end_is_refused_in_a_sentence(command: str, tmp_path: Path) -> None:
    more = {"export": ["--glb", str(tmp_path / "a.glb")]}.get(command, [])
    done = run(command, "centred", "--through", "finish", *more)
    assert done.exit_code == 2 and '--through was "finish", but must be top or impact.' in done.stderr
    assert not list(tmp_path.iterdir())
