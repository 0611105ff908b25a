"""A swing that was changed does not carry the praise of its preset: what it shows is what was changed."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from turnstill.scenes.cli import app
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.set_otherwise import usual_at_impact
from turnstill.scenes.setups.settings import UsualSetting, apply

RUNNER = CliRunner()


@pytest.mark.parametrize(
    ("settings", "shows"),
    [
        (["extension=steady-10"], "with extension changed"),
        (["hip_turn=30", "tilt=20", "lead_flare=5"], "with lead flare, hip turn and tilt changed"),
        (["impact.hip_turn=-20", "head.up=1"], "with head up and hip turn at impact changed"),
        (["impact.head_up=1"], "with head up at impact changed"),
        (["arm_lift=20"], "with arm lift changed"),
        (
            ["hip_turn=30", "shoulder_turn=80", "sway=1", "hips_toward_ball=2", "tilt=20", "extension=3"],
            "with hip turn, shoulder turn, tilt, extension and 2 more changed",
        ),
    ],
)
def test_what_was_changed_is_said(settings: list[str], shows: str) -> None:
    assert apply(load("centred"), settings).shows == shows


@pytest.mark.parametrize(
    "settings",
    [
        [], ["stature=180", "sex=female", "thigh=41", "trail_hip_internal_rotation=25", "handedness=left"],
        ["tilt=steady", "hip_turn=45", "impact.hip_turn=-40", "impact.tilt=steady", "impact.hands_ahead=6"],
        [UsualSetting("lead_flare=5"), UsualSetting("stance_width=50")],
        ["head.toward_target=0", "head.up=0", "impact.head_up=0", "arm_lift=0"],
    ],
)  # fmt: skip
def test_the_golfer_alone_or_nothing_leaves_what_it_shows(settings: list[str]) -> None:
    assert apply(load("centred"), settings).shows == load("centred").shows


def test_a_setting_over_the_students_own_address_is_a_change() -> None:
    own = apply(load("centred"), [UsualSetting("lead_flare=5"), "lead_flare=12"])
    assert own.shows == "with lead flare changed"


def test_what_is_usual_at_impact_is_what_a_preset_without_it_does() -> None:
    usual = {key: value if isinstance(value, float) else str(value) for key, value in usual_at_impact().items()}
    known = {
        "hip_turn_deg": -40.0, "shoulder_turn_deg": -25.0, "tilt_deg": "steady", "extension_deg": "steady",
        "lead_flex_change_deg": -5.0, "trail_flex_change_deg": 12.0, "sway_cm": -8.0, "hips_toward_ball_cm": 2.0,
        "lead_heel_rise_cm": 0.0, "trail_heel_rise_cm": 2.5, "hands_ahead_cm": 6.0, "wrist_hinge_deg": 7.0,
    }  # fmt: skip
    assert {key: usual[key] for key in known} == known


def test_a_file_that_changes_a_preset_says_so_unless_its_author_says_what_it_shows(tmp_path: Path) -> None:
    def shows(text: str) -> str:
        (tmp_path / "mine.toml").write_text(text)
        return load(str(tmp_path / "mine.toml")).shows

    assert shows('extends = "centred"\n[pieces]\nextension_deg = "steady-10"\n') == "centred with extension changed"
    assert shows('extends = "sway"\n[timing]\nhip_turn = [[0, 0], [0.5, 0.7], [1, 1]]\n') == "sway with timing changed"
    assert shows('extends = "centred"\n[body]\nstature_cm = 160\n') == load("centred").shows
    assert shows('extends = "centred"\nshows = "Mine."\n[pieces]\nhip_turn_deg = 20\n') == "Mine."


@pytest.mark.parametrize("command", ["simulate", "strike"])
def test_the_header_of_a_changed_swing_does_not_praise_it(command: str) -> None:
    done = RUNNER.invoke(app, [command, "centred", "--set", "extension=steady-10"])
    assert done.exit_code == 0
    header = " ".join(done.output.split())[:200]
    assert header.startswith("centred: with extension changed (175 cm") and "A centred pivot" not in done.output
