"""Every stature a body may have: either a command works, or what its refusal advises works when it is followed."""

from __future__ import annotations

import re
from collections.abc import Callable

import numpy as np
import pytest

from turnstill.model import TurnstillError
from turnstill.model.golfer.survey import STATURE_RANGE_M
from turnstill.scenes.diagnose.found import diagnosed
from turnstill.scenes.experiment.tried import try_out
from turnstill.scenes.map.work import map_of
from turnstill.scenes.setups.perform import about, centred_for, perform
from turnstill.scenes.setups.presets import Setup, load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.shares.work import share_out

STATURES_CM = np.linspace(*(100.0 * end for end in STATURE_RANGE_M), 7).tolist()
COMMANDS: dict[str, Callable[[Setup], object]] = {
    "simulate": lambda setup: perform(setup, 3),
    "compare": lambda setup: [
        perform(Setup(name, values={**load(name).values, **{s: setup.section(s) for s in ("address", "body")}}), 3)
        for name in ("centred", "sway")
    ],
    "shares": lambda setup: share_out(setup, "steady", 2),
    "map": lambda setup: map_of(setup, size=5),
    "experiment": lambda setup: try_out(setup, "trail-flare", "10", "30", 2),
    "diagnose": lambda setup: diagnosed(
        setup,
        options={},
        read=("head_up_cm=-3", "head_toward_target_cm=-2"),
        group_sd={},
        sd=(),
        head_width_cm=None,
        head_length_cm=None,
    ),
}


def worked(command: str, settings: list[str]) -> list[str]:
    """The settings with which a command worked, advice followed as it is told, twice at most."""
    for _ in range(3):
        try:
            COMMANDS[command](apply(load("centred"), settings))
        except TurnstillError as refused:
            advice = re.search(r"use a club of at least (\d+) cm", str(refused))
            assert advice, refused
            settings = [*settings, f"club_length={advice[1]}"]
        else:
            return settings
    raise AssertionError(settings)


@pytest.mark.parametrize("sex", ["male", "female"])
def test_the_advice_of_every_stature_works_at_once(sex: str) -> None:
    """Of the swing itself and of the turn it is measured against; one piece of advice at most is needed."""
    for stature in STATURES_CM:
        settings = worked("simulate", [f"stature={stature}", f"sex={sex}"])
        assert len(settings) <= 3


@pytest.mark.parametrize("command", [name for name in COMMANDS if name != "simulate"])
def test_the_tallest_golfer_gets_an_answer_of_every_command(command: str) -> None:
    """At once with the club that fits, and with an own one that is too short after one piece of advice."""
    assert len(worked(command, ["stature=230"])) == 1
    assert len(worked(command, ["stature=230", "club_length=94"])) == 3


def test_a_tall_golfer_with_other_arms_and_an_own_posture_is_measured_against_a_turn_of_his_own() -> None:
    """A club that reaches only from the golfer's own bend: the centred preset's bend would leave it short."""
    setup = apply(load("centred"), ["stature=198", "forearm=27", "forward_bend=50", "club_length=85"])
    assert perform(setup, 3).centred.converged.all()
    with pytest.raises(TurnstillError, match="does not reach the ball"):
        perform(apply(setup, ["forward_bend=38"]), 3)


def test_a_reference_takes_the_golfer_but_not_what_departs() -> None:
    """Club, ball, stance and posture are the golfer's; pieces and flare are the centred preset's."""
    own = {
        "club_length": 101.0, "ball_position": 7.0, "stance_width": 47.0, "forward_bend": 41.0, "pelvis_bend": 24.0,
        "side_bend": 3.0, "knee_flex": 25.0, "lead_flare": 5.0, "trail_flare": 33.0, "hip_turn": 51.0, "stature": 188.0,
    }  # fmt: skip
    against = centred_for(apply(load("sway"), [f"{name}={value}" for name, value in own.items()]))
    centred = load("centred")
    for name, value in own.items():
        for section in ("address", "pieces", "body"):
            for key, got in against.section(section).items():
                if key.startswith(name):
                    kept = name not in ("lead_flare", "trail_flare", "hip_turn")
                    assert got == (value if kept else centred.section(section)[key]), key
    assert against.section("pieces") == centred.section("pieces")


def test_a_refusal_names_the_swing_that_failed() -> None:
    with pytest.raises(TurnstillError, match=r"^Of sway: A club of 94 cm"), about("sway"):
        perform(apply(load("sway"), ["stature=230", "club_length=94"]), 3)
