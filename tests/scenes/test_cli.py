from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from turnstill.scenes.cli import app
from turnstill.scenes.setups.quantities import entries

RUNNER = CliRunner()
FUZZ = settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
COMMAND = [sys.executable, "-c", "from turnstill.scenes.cli import main; main()"]


def run(*arguments: str) -> str:
    """Output of a command that works."""
    result = RUNNER.invoke(app, list(arguments))
    assert result.exit_code == 0, result.output
    return result.stdout


def refused(*arguments: str) -> str:
    """The sentence of a command that does not work; never a traceback."""
    result = RUNNER.invoke(app, list(arguments))
    assert result.exit_code == 2, (result.exit_code, result.output, result.exception)
    assert isinstance(result.exception, SystemExit) and "Traceback" not in result.output
    assert result.stdout == ""
    return result.stderr


def accepted_or_refused(*arguments: str) -> None:
    result = RUNNER.invoke(app, list(arguments))
    assert result.exit_code in (0, 2), (arguments, result.exception)
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert result.exit_code == 0 or result.stderr.strip()


def test_help_and_version_and_presets() -> None:
    assert "compare" in run("--help") and "--set" in run("simulate", "--help")
    assert re.fullmatch(r"turnstill \d+\.\d+\.\d+(\.dev\d+)?\n", run("--version"))
    listing = run("presets")
    assert "centred" in listing and "braced-knees" in listing
    assert 'tilt_deg = "steady+10"' in run("presets", "show", "too-much-tilt")
    assert "Did you mean centred?" in refused("presets", "show", "centrd")


def test_help_imports_nothing_heavy() -> None:
    code = (
        "import sys; sys.argv = ['turnstill', '--help']\n"
        "from turnstill.scenes.cli import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "heavy = {'numpy', 'scipy', 'pyvista', 'trimesh', 'PIL', 'matplotlib'} & set(sys.modules)\n"
        "assert not heavy, heavy"
    )
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, timeout=60)


def test_a_swing_needs_no_scipy() -> None:
    # It takes longer to load than a swing takes to be worked out; only a timing or a diagnosis asks for it.
    code = "import sys, turnstill as ts; ts.simulate(*ts.preset('sway')); assert 'scipy.special' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, timeout=60)


def test_simulate_prints_a_table_and_writes_files(tmp_path: Path) -> None:
    out = run(
        "simulate", "centred", "--frames", "5", "--stature-cm", "180", "--mass-kg", "90", "--sex", "female",
        "--left-handed", "--json", str(tmp_path / "a.json"), "--csv", str(tmp_path / "a.csv"),
    )  # fmt: skip
    assert "180 cm, 90 kg, female, left-handed" in " ".join(out.split())
    report = json.loads((tmp_path / "a.json").read_text(encoding="utf-8"))
    assert report["body"]["stature_cm"] == 180 and report["body"]["handedness"] == "left"
    assert len(report["moments"]) == 5 and len((tmp_path / "a.csv").read_text().splitlines()) == 6


def test_standard_output_carries_only_what_was_asked() -> None:
    assert json.loads(run("simulate", "centred", "--frames", "3", "--json", "-"))["preset"] == "centred"
    assert run("simulate", "centred", "--frames", "3", "--csv", "-", "--inches").startswith(
        "progress,head_toward_target_in"
    )
    assert "Only one" in refused("simulate", "centred", "--json", "-", "--csv", "-")


@pytest.mark.parametrize(
    "arguments",
    [
        ("simulate", "nothing"), ("simulate", "/"), ("simulate", ""), ("simulate",), ("nothing",), ("compare",),
        ("simulate", "centred", "--frames", "1"), ("simulate", "centred", "--frames", "1000000000"),
        ("simulate", "centred", "--frames", "9" * 400), ("simulate", "centred", "--frames", "many"),
        ("simulate", "centred", "--stature-cm", "nan"), ("simulate", "centred", "--mass-kg", "-5"),
        ("simulate", "centred", "--sex", "other"), ("simulate", "centred", "--set", "tilt"),
        ("simulate", "centred", "--set", "thigh=0.5", "--set", "hip_turn=1e999"), ("simulate", "centred", "--nothing"),
        ("simulate", "centred", "--json", "/proc/a.json"), ("simulate", "centred", "--csv", "/"),
        ("compare", "centred"), ("compare", "centred", "nothing"), ("compare", "centred", "sway", "--out", "/proc/a"),
        ("compare", "centred", "sway", "--frames", "0"), ("compare", "centred", "sway", "--out", "/dev/null"),
    ],
)  # fmt: skip
def test_mistakes_end_in_a_sentence_and_status_two(arguments: tuple[str, ...]) -> None:
    assert refused(*arguments).strip()


def test_nothing_is_written_when_anything_is_wrong(tmp_path: Path) -> None:
    refused("simulate", "centred", "--json", str(tmp_path / "a.json"), "--csv", str(tmp_path / "no" / "a.csv"))
    assert not list(tmp_path.iterdir())


@FUZZ
@given(st.text(max_size=40))
def test_any_setting(text: str) -> None:
    accepted_or_refused("simulate", "centred", "--frames", "2", "--set", text)


@FUZZ
@given(
    st.sampled_from(["tilt", "extension", "thigh", "stature", "sex", "stance_width", "knee_flex"]),
    st.text(max_size=20) | st.floats().map(repr) | st.integers().map(str),
)
def test_any_value(name: str, value: str) -> None:
    accepted_or_refused("simulate", "centred", "--frames", "2", "--set", f"{name}={value}")


@FUZZ
@given(st.text(max_size=60))
def test_any_preset_name(text: str) -> None:
    accepted_or_refused("simulate", text, "--frames", "2")
    accepted_or_refused("presets", "show", text)


@FUZZ
@given(st.text(max_size=20) | st.integers().filter(lambda n: not 20 < n < 2002).map(str))
def test_any_frames(text: str) -> None:
    accepted_or_refused("simulate", "centred", "--frames", text)


@FUZZ
@given(text=st.text(max_size=200) | st.binary(max_size=200))
def test_any_file(tmp_path: Path, text: str | bytes) -> None:
    path = tmp_path / "any.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass"))
    accepted_or_refused("simulate", str(path), "--frames", "2")


@FUZZ
@given(
    st.sampled_from(["pieces", "address", "body", "timing"]),
    st.dictionaries(
        st.sampled_from(["hip_turn_deg", "tilt_deg", "lead_flare_deg", "stature_cm", "sex", "hip_turn"]),
        st.recursive(
            st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=5), st.lists, max_leaves=5
        ),
    ),
)
def test_any_content(tmp_path_factory: pytest.TempPathFactory, section: str, content: dict[str, object]) -> None:
    path = tmp_path_factory.mktemp("any") / "any.toml"
    lines = [
        f"{name} = {json.dumps(value).replace('NaN', 'nan').replace('Infinity', 'inf')}"
        for name, value in content.items()
    ]
    path.write_text(f"[{section}]\n" + "\n".join(lines), encoding="utf-8")
    accepted_or_refused("simulate", str(path), "--frames", "2")


def test_main_says_one_sentence() -> None:
    for arguments in (["simulate"], ["simulate", "centred", "--frames", "x"], ["nothing"], ["simulate", "centrd"]):
        done = subprocess.run([*COMMAND, *arguments], capture_output=True, text=True, timeout=60, check=False)
        assert done.returncode == 2 and done.stdout == ""
        assert len(done.stderr.splitlines()) == 1 and done.stderr.startswith("turnstill: ")


def test_a_reader_that_goes_away_is_no_error() -> None:
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        [*COMMAND, "simulate", "centred", "--frames", "41", "--json", "-"],
        stdout=write, stderr=subprocess.PIPE, text=True, timeout=60, check=False,
    )  # fmt: skip
    os.close(write)
    assert done.stderr == "" and done.returncode == 1


def test_a_terminal_without_our_letters(tmp_path: Path) -> None:
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = subprocess.run(
        [*COMMAND, "simulate", "centred", "--frames", "3"],
        capture_output=True,
        timeout=60,
        check=False,
        env=environment,
    )
    assert done.returncode == 0 and done.stderr == b""


def test_every_settable_name_is_listed() -> None:
    listed = run("presets", "settable")
    assert "[address]" in listed
    for entry in entries():
        assert f" {entry.name} " in listed
