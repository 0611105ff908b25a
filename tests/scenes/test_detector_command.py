"""``turnstill detector``: where it is, and that making it harms nothing of anybody's."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
import stand_in_detector
from refusals import refused_by
from typer.testing import CliRunner

from turnstill.scenes.cli import app
from turnstill.scenes.detector import environment, making
from turnstill.scenes.detector.environment import NOTE

RUNNER = CliRunner()


@pytest.fixture
def no_network(monkeypatch):
    """Commands that would make an environment are kept, and make the little that is asked for."""
    ran = []

    def run(command, otherwise):
        ran.append(command)
        if command[1:3] == ["-m", "venv"]:
            python = making._python_of(Path(command[3]))
            python.parent.mkdir(parents=True)
            python.symlink_to(sys.executable)

    monkeypatch.setattr(making, "_run", run)
    monkeypatch.setattr(making, "_try", lambda python: None)
    monkeypatch.setattr(making, "PYTHONS", ((3, 9), (3, 99)))
    return ran


def make(*arguments):
    result = RUNNER.invoke(app, ["detector", "make", *arguments])
    assert result.exit_code == 0, (result.output, result.exception)
    return " ".join(result.stdout.split())


def test_it_lies_with_the_users_data_unless_told(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert environment.folder_of(None) == tmp_path / "turnstill" / "detector"
    monkeypatch.setenv("XDG_DATA_HOME", "not/absolute")  # To be ignored, by the specification.
    assert environment.folder_of(None) == Path.home() / ".local" / "share" / "turnstill" / "detector"
    assert environment.folder_of("elsewhere") == Path("elsewhere")


def test_it_is_made_once_and_whole_only_at_the_end(no_network, tmp_path):
    folder = tmp_path / "detector"
    assert "turnstill read takes films now" in make("--at", str(folder))
    assert [command[1:3] for command in no_network] == [["-m", "venv"], ["-m", "pip"], ["-m", "pip"]]
    installed = [part for command in no_network[1:] for part in command]
    assert "mediapipe==0.10.21" in installed and "--no-deps" in installed
    assert "already" in make("--at", str(folder)) and len(no_network) == 3
    told = RUNNER.invoke(app, ["detector", "where", "--at", str(folder)]).stdout
    assert told == f"mediapipe 0.10.21 is in {folder}\n"


def test_what_was_interrupted_is_made_anew_and_nothing_else_is_touched(no_network, tmp_path, monkeypatch):
    folder = tmp_path / "detector"

    def fails(python):
        raise KeyboardInterrupt

    monkeypatch.setattr(making, "_try", fails)
    assert RUNNER.invoke(app, ["detector", "make", "--at", str(folder)]).exit_code != 0
    assert json.loads((folder / NOTE).read_text())["whole"] is False
    assert "There is no detector in" in refused_by("detector", "where", "--at", str(folder))
    (folder / "left over").write_text("")
    monkeypatch.setattr(making, "_try", lambda python: None)
    make("--at", str(folder))
    assert not (folder / "left over").exists()
    other = tmp_path / "mine"
    other.mkdir()
    (other / "film.mp4").write_text("")
    assert "holds something else" in refused_by("detector", "make", "--at", str(other))
    assert (other / "film.mp4").exists()
    (tmp_path / "file").write_text("")
    assert "holds something else" in refused_by("detector", "make", "--at", str(tmp_path / "file"))


def test_a_python_that_does_not_run_or_is_too_new_is_refused(tmp_path, monkeypatch):
    at = "--at", str(tmp_path / "detector")
    assert "is no Python that runs" in refused_by("detector", "make", *at, "--python", str(tmp_path / "none"))
    monkeypatch.setattr(making, "PYTHONS", ((3, 1), (3, 2)))
    assert "needs Python 3.1 to 3.2" in refused_by("detector", "make", *at)
    assert not (tmp_path / "detector").exists()


def test_what_goes_wrong_in_making_it_is_told_in_its_own_last_words(tmp_path, monkeypatch):
    monkeypatch.setattr(making, "PYTHONS", ((3, 9), (3, 99)))
    real = subprocess.run

    def run(command, **how):
        if command[1:3] == ["-m", "venv"]:
            command = [sys.executable, "-c", "import sys; sys.exit('no space left')"]
        return real(command, **how)

    monkeypatch.setattr(making.subprocess, "run", run)
    sentence = refused_by("detector", "make", "--at", str(tmp_path / "detector"))
    assert "could not be made (no space left)" in sentence


def test_the_worker_needs_nothing_of_this_program():
    source = environment.WORKER.read_text(encoding="utf-8")
    assert "turnstill" not in source and "from ." not in source
    compile(source, "worker.py", "exec")


@pytest.mark.detector
def test_the_real_detector_answers():
    found = environment.found(None)
    if found is None:
        pytest.skip("there is no detector; make it by turnstill detector make")
    making._try(found.python)


def test_an_environment_may_bring_a_worker_of_its_own(tmp_path):
    folder = stand_in_detector.install(tmp_path / "own", "another 2.0")
    found = environment.found(folder)
    assert found is not None and found.worker.parent == tmp_path / "own"
    assert found.mark.startswith("another-2.0/")
