"""From a setup to what is simulated: each value under its own name, in the model's units, and nothing else."""

from __future__ import annotations

import inspect
import math
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.golfer.address import Address
from turnstill.model.golfer.body import Body
from turnstill.model.golfer.head_place import HeadPlace
from turnstill.model.golfer.impact import Impact
from turnstill.model.golfer.pieces import Pieces, Steady
from turnstill.model.swing import stages
from turnstill.model.swing.rehearsal import Rehearsal
from turnstill.model.swing.simulate import simulate
from turnstill.scenes.setups import perform as performing
from turnstill.scenes.setups.options import MOMENTS
from turnstill.scenes.setups.perform import (
    address_of,
    body_of,
    centred_for,
    check_frames,
    is_left_handed,
    pieces_of,
    preset,
    swing_of,
)
from turnstill.scenes.setups.presets import Setup, load
from turnstill.scenes.setups.quantities import Departure

OWN: dict[str, dict[str, Any]] = {
    "address": {"lead_flare_deg": 11.0, "stance_width_cm": 43.0, "club_length_cm": 94.0, "ball_position_cm": -3.0},
    "pieces": {"hip_turn_deg": 41.0, "tilt_deg": Departure(7.0), "extension_deg": 21.0, "sway_cm": 2.5},
    "body": {"stature_cm": 171.0, "mass_kg": 63.0, "sex": "female", "handedness": "left"},
    "body.lengths_cm": {"thigh": 41.5, "foot": 24.5},
    "body.ranges_deg": {"lead_hip_flexion": 99.0},
}
NOTHING_MORE = {"timing": None, "impact": None, "head": HeadPlace()}
KNOTS = {"hip_turn": ((0.0, 0.0), (0.5, 0.7), (1.0, 1.0))}
SETUP = Setup("own", "shows", OWN, KNOTS)


def test_what_is_set_is_what_is_simulated_in_the_models_units() -> None:
    assert address_of(SETUP) == Address(
        lead_flare=math.radians(11.0), stance_width=0.43, club_length=0.94, ball_position=-0.03
    )
    assert pieces_of(SETUP) == Pieces(
        hip_turn=math.radians(41.0), tilt=Steady(math.radians(7.0)), extension=math.radians(21.0), sway=0.025
    )
    body = body_of(SETUP)
    usual = Body.from_stature(1.71, 63.0, "female")
    assert (float(body.stature), float(body.mass), float(body.female)) == (1.71, 63.0, 1.0)
    changed = {name: float(body.lengths[name]) for name in body.lengths if body.lengths[name] != usual.lengths[name]}
    assert changed == pytest.approx({"thigh": 0.415, "foot": 0.245})
    moved = {name: float(body.ranges[name]) for name in body.ranges if body.ranges[name] != usual.ranges[name]}
    assert moved == pytest.approx({"lead_hip_flexion": math.radians(99.0)})
    plain = body_of(Setup("x"))
    assert (float(plain.stature), float(plain.mass), float(plain.female)) == (1.75, 80.0, 0.0)
    assert (address_of(Setup("x")), pieces_of(Setup("x"))) == (Address(), Pieces())
    name = "too-much-tilt"
    made = preset(name)
    assert (made.address, made.pieces, made.timing) == (address_of(load(name)), pieces_of(load(name)), None)
    np.testing.assert_equal(made.body.lengths, body_of(load(name)).lengths)
    assert is_left_handed(SETUP) and not is_left_handed(Setup("x"))
    assert not is_left_handed(Setup("x", "", {"body": {"handedness": "right"}}))


@pytest.mark.parametrize(
    ("frames", "shown"),
    [
        (1, "1"), (0, "0"), (2002, "2002"), (10**12 - 1, "999999999999"), (10**12, "a very large number"),
        (-(10**13), "a very large number"),
    ],
)  # fmt: skip
def test_frames_are_from_two_to_two_thousand_and_one(frames: int, shown: str) -> None:
    assert (check_frames(2), check_frames(2001)) == (2, 2001)
    with pytest.raises(TurnstillError) as wrong:
        check_frames(frames)
    assert str(wrong.value) == f"--frames was {shown}, but must be a whole number from 2 to 2001."


@pytest.fixture
def simulated(monkeypatch: pytest.MonkeyPatch) -> list[tuple[tuple[Any, ...], dict[str, Any]]]:
    calls: list[tuple[tuple[Any, ...], dict[str, Any]]] = []
    monkeypatch.setattr(performing, "simulate", lambda *given, **named: calls.append((given, named)) or len(calls))
    return calls


def test_a_setup_is_simulated_with_all_it_says(simulated: list[Any]) -> None:
    swing_of(SETUP, 7)
    (((body, address, pieces), named),) = simulated
    assert (address, pieces) == (address_of(SETUP), pieces_of(SETUP))
    np.testing.assert_equal(body.lengths, body_of(SETUP).lengths)
    assert named == {"timing": KNOTS, "frames": 7, "left_handed": True, "impact": None, "head": HeadPlace()}
    swing_of(Setup("x"))
    assert simulated[1][1] == {**NOTHING_MORE, "frames": 41, "left_handed": False}
    swing_of(SETUP.changed("head", "up_cm", -2.5).changed("impact", "hands_ahead_cm", 3.0), 7, through_impact=True)
    wanted = HeadPlace(up=-0.025)
    assert simulated[2][1]["head"] == wanted and simulated[2][1]["impact"] == Impact(hands_ahead=0.03, head=wanted)
    with pytest.raises(TurnstillError, match="--frames was 1"):
        swing_of(SETUP, 1)


def test_a_command_has_as_many_moments_as_the_model() -> None:
    assert inspect.signature(simulate).parameters["frames"].default == MOMENTS


def test_a_swing_is_measured_against_the_centred_pivot_by_the_same_body(simulated: list[Any]) -> None:
    performed = performing.perform(SETUP, 7, performing.simulate)
    assert (performed.setup, performed.swing, performed.centred) == (SETUP, 1, 2)
    (own, named), (centred, two) = simulated
    assert (named["frames"], two) == (7, {**NOTHING_MORE, "frames": 2, "left_handed": True})
    np.testing.assert_equal(centred[0].lengths, own[0].lengths)
    # What the golfer stands with stays, but for the flare, which the turn is measured by.
    stance = {name: value for name, value in OWN["address"].items() if "flare" not in name}
    assert len(stance) == 3 and centred[1] == address_of(Setup("x", "", {"address": stance}))
    assert centred[2] == pieces_of(load("centred"))
    measured = centred_for(SETUP)
    assert (measured.name, measured.shows, measured.timing) == ("centred", load("centred").shows, {})
    for section in ("body", "body.lengths_cm", "body.ranges_deg"):
        assert measured.section(section) == OWN[section]
    assert measured.section("pieces") == load("centred").section("pieces")
    assert measured.section("address") == {**load("centred").section("address"), **stance}
    performing.perform(SETUP, by=performing.simulate)
    assert simulated[2][1]["frames"] == 41


def test_the_golfer_of_both_is_stood_once(monkeypatch: pytest.MonkeyPatch) -> None:
    stood: list[Any] = []

    def stand(*given: Any) -> Any:
        stood.append(given)
        return stages_stand(*given)

    stages_stand = stages.stand
    monkeypatch.setattr(stages, "stand", stand)
    monkeypatch.setattr(performing, "Rehearsal", Rehearsal)
    performing.perform(load("sway"), 2)
    assert len(stood) == 1


def test_what_a_file_says_is_laid_over_what_it_extends() -> None:
    base = Setup("base", "base shows", {"pieces": {"sway_cm": 1.0, "tilt_deg": 2.0}, "body": {"mass_kg": 70.0}},
                 {"tilt": KNOTS["hip_turn"], "sway": KNOTS["hip_turn"]})  # fmt: skip
    other = ((0.0, 0.0), (1.0, 1.0))
    own = Setup("own", "", {"pieces": {"sway_cm": 9.0}, "address": {"lead_flare_deg": 3.0}}, {"sway": other})
    laid = own.over(base)
    assert (laid.name, laid.timing) == ("own", {"tilt": KNOTS["hip_turn"], "sway": other})
    assert {section: values for section, values in laid.values.items() if values} == {
        "address": {"lead_flare_deg": 3.0}, "pieces": {"sway_cm": 9.0, "tilt_deg": 2.0}, "body": {"mass_kg": 70.0},
    }  # fmt: skip
    assert Setup("own", "own shows").over(base).shows == "own shows"
    changed = SETUP.changed("pieces", "sway_cm", 4.0)
    assert changed.section("pieces") == {**OWN["pieces"], "sway_cm": 4.0} and SETUP.section("pieces") == OWN["pieces"]
    assert (changed.name, changed.shows, changed.timing) == ("own", "shows", KNOTS)
    renamed = SETUP.renamed("new")
    assert (renamed.name, renamed.shows, renamed.values, renamed.timing) == ("new", "shows", OWN, KNOTS)
    assert Setup("x").section("pieces") == {}


def test_each_section_of_a_file_is_read_into_its_own(write: Callable[[str, str], str]) -> None:
    text = (
        'shows = "what it shows"\n[address]\nlead_flare_deg = 11\n[pieces]\ntilt_deg = "steady+7"\n'
        "[head]\nup_cm = -1.5\n[impact]\nhip_turn_deg = -33\nextension_deg = 'steady-2'\nhead_up_cm = 2\n"
        "[arms]\nwrist_hinge_deg = 97\n[body]\n"
        'stature_cm = 171\nsex = "female"\n[body.lengths_cm]\nthigh = 41.5\n[body.ranges_deg]\nlead_hip_flexion = 99\n'
        "[timing]\ntilt = [[0, 0], [0.25, 0.5], [1, 1]]\n"
    )
    setup = load(write("mine.toml", text))
    assert setup == Setup(
        "mine", "what it shows",
        {"address": {"lead_flare_deg": 11.0}, "pieces": {"tilt_deg": Departure(7.0)},
         "head": {"up_cm": -1.5},
         "impact": {"hip_turn_deg": -33.0, "extension_deg": Departure(-2.0), "head_up_cm": 2.0},
         "arms": {"wrist_hinge_deg": 97.0}, "body": {"stature_cm": 171.0, "sex": "female"},
         "body.lengths_cm": {"thigh": 41.5},         "body.ranges_deg": {"lead_hip_flexion": 99.0}},
        {"tilt": ((0.0, 0.0), (0.25, 0.5), (1.0, 1.0))},
    )  # fmt: skip


SAID = {
    "peices = 3": '"peices" is not known; a preset has shows, extends, address, pieces, head, impact, arms, body, '
    "body.lengths_cm, body.ranges_deg, timing. Did you mean pieces?",
    "hip_turn = 3": '"hip_turn" cannot stand outside a section; write hip_turn_deg in [pieces].',
    "[pieces]\nhip_turn_cm = 3": '"hip_turn_cm" in [pieces] has the wrong unit; the key is hip_turn_deg, a number '
    "between -60 and 150 deg.",
    "[pieces]\nhip_turn = 3": '"hip_turn" in [pieces] does not name its unit; the key is hip_turn_deg, a number '
    "between "
    "-60 and 150 deg.",
    "[pieces]\nlead_flare_deg = 3": '"lead_flare_deg" does not belong in [pieces]; write lead_flare_deg in [address].',
    "[timing]\nhips = [[0, 0], [1, 1]]": '"hips" is not a piece in [timing]; there are hip_turn, shoulder_turn, tilt, '
    "extension, lead_flex_change, trail_flex_change, sway, hips_toward_ball, lead_heel_rise, trail_heel_rise.",
    "[body]\nstatrue_cm = 3": '"statrue_cm" is not known in [body]; there are stature_cm, mass_kg, sex, handedness, '
    "lengths_cm, ranges_deg. Did you mean stature_cm?",
    "[body.lengths_cm]\nthihg = 3": '"thihg" is not known in [body.lengths_cm]. Did you mean thigh?',
    "pieces = 3": "pieces was 3, but must be a section, written [pieces].",
    "[body]\nlengths_cm = 3": "lengths_cm was 3, but must be a section, written [body.lengths_cm].",
    "shows = 3": "shows was 3, but must be a text in quotes, of 1 to 1000 characters.",
    'shows = "a\\nb"': "shows must be one line of at most 200 characters.",
    "[body]\nmass_kg = 3": "mass_kg was 3, but must be a number between 30 and 250 kg (in [body]).",
    "[timing]\ntilt = 3": "The timing of tilt must be a list of at least two pairs of numbers, for example [[0, "
    "0], [0.5, "
    "0.7], [1, 1]].",
}


@pytest.mark.parametrize("text", SAID)
def test_what_is_wrong_in_a_file_is_told_word_by_word(text: str, write: Callable[[str, str], str]) -> None:
    with pytest.raises(TurnstillError) as wrong:
        load(write("mine.toml", text))
    assert str(wrong.value) == f"mine.toml: {SAID[text]}"


def test_the_first_of_two_mistakes_is_told_and_a_base_that_is_not_there_by_who_asked_for_it(
    write: Callable[[str, str], str],
) -> None:
    with pytest.raises(TurnstillError, match=r"mine\.toml: lead_flare_deg was 99"):
        load(write("mine.toml", "[address]\nlead_flare_deg = 99\n[pieces]\nsway_cm = 99"))
    with pytest.raises(TurnstillError, match=r"^mine\.toml: extends: There is no file nowhere\.toml"):
        load(write("mine.toml", 'extends = "nowhere.toml"'))
    for name, told in ((f"{'x' * 95}.toml", f'"{"x" * 37}..."'), (f"{'x' * 90}.toml", f"{'x' * 90}.toml")):
        with pytest.raises(TurnstillError) as wrong:
            load(write(name, "a = 1"))
        assert str(wrong.value).startswith(f"{told}: ")


def test_a_long_line_of_what_a_preset_shows(write: Callable[[str, str], str]) -> None:
    assert len(load(write("mine.toml", f'shows = "{"x" * 200}"\nextends = "sway"')).shows) == 200
    with pytest.raises(TurnstillError, match="at most 200"):
        load(write("mine.toml", f'shows = "{"x" * 201}"'))


def test_what_a_file_says_stands_in_one_order_whatever_seeds_a_process(tmp_path: Path) -> None:
    """Sets of words are ordered by a seed that differs from process to process; the same asking is the same bytes."""
    file = tmp_path / "own.toml"
    file.write_text(
        "[pieces]\nsway_cm = 1\nhip_turn_deg = 40\ntilt_deg = 30\nextension_deg = 20\n[address]\nknee_flex_deg = 20\n"
    )
    script = f"from turnstill.scenes.setups.presets import load; print(load({str(file)!r}).values)"
    told = {
        subprocess.run(
            [sys.executable, "-c", script], env={**os.environ, "PYTHONHASHSEED": seed}, capture_output=True, check=True
        ).stdout
        for seed in ("1", "2", "3")
    }
    assert len(told) == 1
