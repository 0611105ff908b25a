"""A swing whose club does not pass the ball is told so in one sentence, wherever it is drawn or told of."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from refusals import refused_by
from typer.testing import CliRunner

from turnstill.scenes.cli import app
from turnstill.scenes.setups.past_the_ball import _seen_to_pass, impact_notes, not_passed, striking_of
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.setups.top_alone import TOP_ALONE
from turnstill.scenes.words.at_impact import CAUTION

TURNED_AWAY = "impact.hip_turn=150"
SENTENCE = not_passed("this swing")


def said(*arguments: str) -> str:
    done = CliRunner().invoke(app, list(arguments))
    assert done.exit_code == 0, done.output
    return " ".join(done.stdout.split())


@pytest.mark.parametrize(("frames", "hand"), [(2, "right"), (41, "right"), (41, "left")])
def test_it_is_the_arc_that_says_so(frames: int, hand: str) -> None:
    """Whatever the drawn swing shows at however many moments: a closer look is spared only where it would agree."""
    spared = 0
    for preset, settings in (
        ("centred", []), ("centred", [TURNED_AWAY]), ("centred", ["impact.shoulder_turn=-90"]), ("stands-up", []),
        ("centred", ["impact.shoulder_turn=60"]),
    ):  # fmt: skip
        setup = apply(load(preset), [*settings, f"handedness={hand}"])
        swing, passes = swing_of(setup, frames, through_impact=True), bool(striking_of(setup).arc().passes)
        assert impact_notes(setup, swing) == ([] if passes else [SENTENCE]), settings
        assert passes or not _seen_to_pass(swing), settings
        assert passes or preset == "centred", settings
        spared += _seen_to_pass(swing)
        assert impact_notes(setup, swing.until_top()) == ([] if (preset, settings) == ("centred", []) else [TOP_ALONE])
    assert np.sign(spared) == (frames > 2)


def test_every_command_says_the_same_once(tmp_path: Path) -> None:
    asked = ("--set", TURNED_AWAY, "--through", "impact")
    files = str(tmp_path / "a.bvh"), str(tmp_path / "a.png")
    for command in (
        ("simulate", "centred", "--frames", "5"),
        ("export", "centred", "--frames", "5", "--bvh", files[0]),
        ("strip", "centred", "--moments", "2", "--views", "face-on", "--out", files[1]),
    ):
        assert said(*command, *asked).count(SENTENCE) == 1, command
    assert SENTENCE not in said("simulate", "centred", "--frames", "5", "--set", TURNED_AWAY)
    assert SENTENCE in refused_by("strike", "centred", "--set", TURNED_AWAY)


def test_what_to_take_care_of_at_impact_is_told_with_an_export_that_goes_there(tmp_path: Path) -> None:
    file = str(tmp_path / "a.bvh")
    assert said("export", "centred", "--frames", "3", "--bvh", file, "--through", "impact").count(CAUTION) == 1
    assert CAUTION not in said("export", "centred", "--frames", "3", "--bvh", file)
