"""An option that would act on nothing is refused in a sentence, or the answer says so: none is silently ignored."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from turnstill.scenes.cli import app
from turnstill.scenes.setups.top_alone import TOP_ALONE

RUNNER = CliRunner()
STEPS = ("experiment", "lead_flare", "--from", "0", "--to", "9")
AT_IMPACT = ("--set", "impact.hip_turn=-20")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((*STEPS, "--views", "above"), "there is no page; name its"),
        ((*STEPS, "--views", "above", "--no-pictures", "--out", "there"), "--no-pictures was given; leave out one"),
        (("film", "centred", "--plain", "--through", "top"), "--through is for films that loop"),
        (("film", "centred", "--plain", "--through", "impact"), "a plain film always goes past the ball"),
        (("read", "a.csv", "--down-the-line-frames", "3,90"), "frames was given, but no film down the line"),
        (("read", "none", "a.csv", "--face-on-frames", "3,90"), "frames was given, but no film face-on"),
        (("read", "a.csv", "--no-cache"), "tracks alone were given"),
        (("read", "a.csv", "--date", ""), "--date is for the entry of a record"),
        (("dataset", "look", "there", "--out", "a.png", "--split", "train"), "the split that results are of"),
        (("dataset", "make", "tiny", "--out", "there", "--workers", "3", "--scheduler", "tcp://x:1"), "cluster draws"),
        (("diagnose", "--hip-turn-deg", "20", "--sd", "head_up=1"), "is of a reading that was not given"),
        (("diagnose", "--read", "impact.head_up=1", "--sd", "head_up=1"), "is of the top, where nothing was read"),
    ],
)  # fmt: skip
def test_what_would_act_on_nothing_is_refused(
    arguments: tuple[str, ...], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = RUNNER.invoke(app, list(arguments))
    assert done.exit_code == 2 and said in done.stderr and done.stderr.count("\n") == 1, done.output
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    "arguments",
    [
        ("simulate", "centred"),
        ("shares", "sway"),
        (*STEPS, "--steps", "2"),
        ("map", "centred", "--size", "5"),
        ("export", "centred", "--bvh", "a.bvh"),
    ],
)
def test_what_is_asked_at_impact_is_not_silently_left_out(
    arguments: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    plain, asked = (RUNNER.invoke(app, [*arguments, *more]) for more in ((), AT_IMPACT))
    assert plain.exit_code == asked.exit_code == 0, asked.output
    assert TOP_ALONE not in " ".join(plain.output.split()) and TOP_ALONE in " ".join(asked.output.split())


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--hip-turn-deg", "30", *AT_IMPACT), "at impact has no part here, as nothing was read there."),
        (("--read", "impact.hip_turn=-20", "--set", "hip_turn=30"), "at the top has no part here: it is given back"),
        (("--hip-turn-deg", "30", "--head-width-cm", "15"), "width was given, but no reading is in hw, so it"),
        (("--read", "head_up=1hw", "--head-length-cm", "20"), "length was given, but no reading is in hl, so it"),
    ],
)  # fmt: skip
def test_a_diagnosis_says_what_had_no_part_in_it(arguments: tuple[str, ...], said: str) -> None:
    done = RUNNER.invoke(app, ["diagnose", *arguments])
    assert done.exit_code == 0 and said in " ".join(done.output.split())
    used = RUNNER.invoke(app, ["diagnose", "--read", "head_up=1hw", "--head-width-cm", "15"])
    assert "changes nothing" not in used.output and "has no part" not in used.output
