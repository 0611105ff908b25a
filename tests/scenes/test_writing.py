from __future__ import annotations

import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from turnstill.model.errors import TurnstillError
from turnstill.scenes.delivery.folder import new_folder
from turnstill.scenes.delivery.writing import check_file_target, new_file, write_text


def test_a_file_is_written_and_replaced_with_its_mode(tmp_path: Path) -> None:
    path = tmp_path / "a.json"
    write_text(str(path), "one\n")
    path.chmod(0o640)
    write_text(str(path), "två\n")
    assert path.read_bytes() == "två\n".encode()
    assert path.stat().st_mode & 0o777 == 0o640
    assert list(tmp_path.iterdir()) == [path]


def test_a_new_file_honours_the_umask(tmp_path: Path) -> None:
    old = os.umask(0o027)
    try:
        write_text(str(tmp_path / "a"), "x")
        with new_folder(str(tmp_path / "d")) as folder:
            (folder / "index.html").write_text("a")
    finally:
        os.umask(old)
    assert (tmp_path / "a").stat().st_mode & 0o777 == 0o640
    assert (tmp_path / "d").stat().st_mode & 0o777 == 0o750


def test_a_link_is_written_through(tmp_path: Path) -> None:
    (tmp_path / "real").write_text("old")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    write_text(str(tmp_path / "link"), "new")
    assert (tmp_path / "link").is_symlink() and (tmp_path / "real").read_text() == "new"


def test_standard_output_and_the_null_device(capsys: pytest.CaptureFixture[str]) -> None:
    write_text("-", "text")
    assert capsys.readouterr().out == "text"
    check_file_target("/dev/null")
    write_text("/dev/null", "text")
    assert not Path("/dev/null").is_file()


@pytest.mark.parametrize("locale", [{"LC_ALL": "C"}, {"PYTHONIOENCODING": "latin-1"}, {"PYTHONIOENCODING": "ascii"}])
def test_standard_output_is_utf8_whatever_the_locale(locale: dict[str, str]) -> None:
    code = "from turnstill.scenes.delivery.writing import write_text; write_text('-', 'äあ\\r\\n\\n\\udcff')"
    done = subprocess.run([sys.executable, "-c", code], env=os.environ | locale, capture_output=True, timeout=60)
    assert done.stdout == b"\xc3\xa4\xe3\x81\x82\r\n\n\\udcff", done.stderr


def test_a_pipe_a_socket_or_a_device_is_refused_at_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # A socket's name may not be long.
    os.mkfifo("pipe")
    reading, writing = os.pipe()
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind("socket")
        for target in ("pipe", "socket", "/dev/zero", "/dev/full", f"/dev/fd/{writing}"):
            for attempt in (check_file_target, lambda name: write_text(name, "x")):
                with pytest.raises(TurnstillError, match="no plain file"):
                    attempt(target)
            with pytest.raises(TurnstillError), new_folder(target):
                pytest.fail("the block must not start")
    os.close(writing)
    os.close(reading)
    assert sorted(one.name for one in tmp_path.iterdir()) == ["pipe", "socket"]


def test_an_interrupted_write_leaves_the_old_file(tmp_path: Path, failing_disk: None) -> None:
    path = tmp_path / "a.json"
    path.write_text("old")
    with pytest.raises((KeyboardInterrupt, TurnstillError)):
        write_text(str(path), "new")
    assert path.read_text() == "old" and list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("earlier", [None, "old"])
def test_what_somebody_else_writes_there_meanwhile_is_not_overwritten(tmp_path: Path, earlier: str | None) -> None:
    path = tmp_path / "a.mp4"
    if earlier:
        path.write_text(earlier)
    with pytest.raises(TurnstillError, match=r"Something else wrote .*a\.mp4"), new_file(str(path)) as part:
        part.write_text("ours")
        path.write_text("somebody's")
    assert path.read_text() == "somebody's"
    check_file_target(str(path))  # A command asks before its long computation.
    path.write_text("somebody's later")
    with pytest.raises(TurnstillError, match="Something else wrote"):
        write_text(str(path), "ours")
    assert path.read_text() == "somebody's later" and list(tmp_path.iterdir()) == [path]
    write_text(str(path), "asked again")
    with new_file(str(path)) as part:
        part.write_text("ours")
        path.unlink()  # What is gone need not be spared.
    assert path.read_text() == "ours" and list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("target", ["", "no/such/folder/a", "\0", "a" * 5000])
def test_impossible_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, target: str) -> None:
    monkeypatch.chdir(tmp_path)
    for attempt in (check_file_target, lambda name: write_text(name, "x")):
        with pytest.raises(TurnstillError) as wrong:
            attempt(target)
        assert "\n" not in str(wrong.value) and len(str(wrong.value)) < 300
    assert not list(tmp_path.iterdir())


def test_a_folder_in_the_place_of_a_file(tmp_path: Path) -> None:
    with pytest.raises(TurnstillError, match="is a folder"):
        write_text(str(tmp_path), "x")


@pytest.mark.skipif(os.geteuid() == 0, reason="root writes everywhere")
def test_an_unwritable_folder(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    with pytest.raises(TurnstillError, match="cannot be written"):
        check_file_target(str(tmp_path / "a"))
    with pytest.raises(TurnstillError, match="cannot be written"), new_folder(str(tmp_path / "d")):
        pytest.fail("the block must not start")
    tmp_path.chmod(0o700)


def test_a_place_where_nothing_can_be_made() -> None:
    # /proc refuses everybody, root as well.
    with pytest.raises(TurnstillError, match="cannot be written"):
        check_file_target("/proc/turnstill.json")
    with pytest.raises(TurnstillError, match="cannot be written"), new_folder("/proc/turnstill"):
        pytest.fail("the block must not start")
