"""The command of the live page: what it begins with, where it listens, and how it ends."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import socket
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from refusals import refused_by

from turnstill.scenes.live import work
from turnstill.scenes.live.ends import first_end

COMMAND = [sys.executable, "-c", "from turnstill.scenes.start import main; main()", "live"]


@contextlib.contextmanager
def running(*arguments: str, folder: Path) -> Iterator[tuple[subprocess.Popen[str], str, str]]:
    """The command while it runs, what it told first, and the page's address."""
    environment = os.environ | {"BROWSER": "true"}
    with subprocess.Popen(
        [*COMMAND, *arguments], cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment
    ) as process:
        try:
            assert process.stdout
            first = process.stdout.readline()
            found = re.search(r"http://\S+", first)
            assert found, (first, process.stderr.read() if process.stderr else "")
            yield process, first, found[0]
        finally:
            process.kill()


def ended(process: subprocess.Popen[str], number: int) -> tuple[int, str, str]:
    process.send_signal(number)
    out, errors = process.communicate(timeout=30)
    return process.returncode, out, errors


def test_it_serves_until_it_is_interrupted_and_says_one_sentence(tmp_path: Path) -> None:
    asked = ("sway", "--no-browser", "--set", "hip_turn=50", "--set", "impact.sway=4")
    with running(*asked, folder=tmp_path) as (process, first, address):
        assert re.fullmatch(r"The page is http://127\.0\.0\.1:\d+/[\w-]{24}/ and lasts until Ctrl-C\n", first)
        with urllib.request.urlopen(address, timeout=20) as page:
            html = page.read().decode()
            assert page.headers["server"] is None
        assert '"hip_turn_deg": 50.0' in html and "sway" in html and '"through": "impact"' in html
        with pytest.raises(urllib.error.HTTPError) as nothing:
            urllib.request.urlopen(address.rsplit("/", 2)[0] + "/", timeout=20)
        with nothing.value as answer:  # Which holds its connection open.
            assert answer.code == 404
        status, out, errors = ended(process, signal.SIGINT)
    assert (status, out) == (0, "")
    assert errors == "turnstill: The page is no longer served; what you saved is kept.\n"
    with pytest.raises(OSError):
        urllib.request.urlopen(address, timeout=5)
    assert not list(tmp_path.iterdir())


def test_the_folder_of_what_is_saved_is_made_as_other_commands_make_theirs_and_a_termination_ends_in_order(
    tmp_path: Path,
) -> None:
    with running("--no-browser", "--out", "lesson", folder=tmp_path) as (process, _, _):
        assert [path.name for path in tmp_path.iterdir()] == ["lesson"] and (tmp_path / "lesson").is_dir()
        status, _, errors = ended(process, signal.SIGTERM)
    assert status == 128 + signal.SIGTERM and "Traceback" not in errors and "no longer served" in errors
    (tmp_path / "file").write_text("")
    assert "is a file; name a folder with --out" in refused_by("live", "--no-browser", "--out", str(tmp_path / "file"))


@pytest.mark.parametrize(("swings", "asked", "through", "end"), [
    (("stands-up",), [], None, "impact"), (("centred", "stands-up"), [], None, "impact"),
    (("centred",), ["impact.hip_turn=-20"], None, "impact"), (("own.toml",), [], None, "impact"),
    ((), [], None, "top"), (("centred", "sway"), ["head.toward_target=-3"], None, "top"),
    (("stands-up",), [], "top", "top"), (("centred",), [], "impact", "impact"),
])  # fmt: skip
def test_who_asks_something_of_impact_sees_it_unless_told_otherwise(
    swings: tuple[str, ...],
    asked: list[str],
    through: str | None,
    end: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "own.toml").write_text("[impact]\nsway_cm = 4\n")
    assert first_end(through, work._setups(swings, asked)) == end


def test_a_port_in_use_is_told(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        assert f"Port {port} is in use" in refused_by("live", "--port", str(port), "--no-browser")


@pytest.mark.parametrize(("arguments", "said"), [
    (("--port", "70000"), "--port was 70000, but must be a whole number from 0 to 65535"),
    (("--port", "-1"), "--port was -1"), (("--port", "9" * 50), "a very large number"),
    (("--host", "host.invalid"), "--host was \"host.invalid\", where this computer cannot be reached"),
    (("--host", "192.0.2.1"), "cannot be reached"), (("--host", "x" * 300), "cannot be reached"),
    (("--host", ""), "where this computer cannot be reached"),
    (("--out", "nowhere/in"), "There is no folder to make nowhere/in in; make it first"),
    (("--out", ""), "--out was empty, but must name a folder"),
    (("nothing",), "There is no preset or file \"nothing\""), (("centred", "sway", "centred"), "at most two"),
    (("--set", "hip_turn=500"), "--set hip_turn was 500"),
    (("--through", "finish"), '--through was "finish", but must be top or impact'),
])  # fmt: skip
def test_mistakes_are_told_before_anything_is_served(
    arguments: tuple[str, ...], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert said in " ".join(refused_by("live", "--no-browser", *arguments).split())


def test_others_can_be_let_in_and_that_is_said(tmp_path: Path) -> None:
    with running("--no-browser", "--host", "0.0.0.0", folder=tmp_path) as (process, first, address):
        assert "127.0.0.1" in first
        port = address.split(":")[2].split("/")[0]
        # A name that somebody else lets lead here is not answered all the same.
        asked = urllib.request.Request(address, headers={"Host": f"example.org:{port}"})
        with pytest.raises(urllib.error.HTTPError) as refused:
            urllib.request.urlopen(asked, timeout=20)
        with refused.value as answer:
            assert answer.code == 403
        _, _, errors = ended(process, signal.SIGINT)
    assert "open to others in your network" in errors


def test_a_browser_is_opened_unless_nobody_wants_one(monkeypatch: pytest.MonkeyPatch) -> None:
    import webbrowser

    seen: list[str] = []
    monkeypatch.setattr(webbrowser, "open", lambda address: seen.append(address) or True)
    work._open("http://127.0.0.1:1/x/")
    assert seen == ["http://127.0.0.1:1/x/"]


def test_help_comes_without_a_server() -> None:
    code = (
        "import sys; sys.argv = ['turnstill', 'live', '--help']\n"
        "from turnstill.scenes.cli import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "heavy = {'numpy', 'starlette', 'uvicorn', 'anyio', 'asyncio', 'jinja2'} & set(sys.modules)\n"
        "assert not heavy, heavy"
    )
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, timeout=60)
