from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from turnstill.model.errors import TurnstillError
from turnstill.scenes.delivery.folder import CONTENTS_FILE, new_folder
from turnstill.scenes.delivery.writing import check_file_target, write_text


def fill(folder: Path, text: str = "a") -> None:
    (folder / "index.html").write_text(text)
    (folder / CONTENTS_FILE).write_text(json.dumps({"files": ["index.html", CONTENTS_FILE]}))


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
            fill(folder)
    finally:
        os.umask(old)
    assert (tmp_path / "a").stat().st_mode & 0o777 == 0o640
    assert (tmp_path / "d").stat().st_mode & 0o777 == 0o750


def test_a_link_is_written_through(tmp_path: Path) -> None:
    (tmp_path / "real").write_text("old")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    write_text(str(tmp_path / "link"), "new")
    assert (tmp_path / "link").is_symlink() and (tmp_path / "real").read_text() == "new"


def test_standard_output_and_devices(capsys: pytest.CaptureFixture[str]) -> None:
    write_text("-", "text")
    assert capsys.readouterr().out == "text"
    check_file_target("/dev/null")
    write_text("/dev/null", "text")
    assert not Path("/dev/null").is_file()


def test_an_interrupted_write_leaves_the_old_file(tmp_path: Path, failing_disk: None) -> None:
    path = tmp_path / "a.json"
    path.write_text("old")
    with pytest.raises((KeyboardInterrupt, TurnstillError)):
        write_text(str(path), "new")
    assert path.read_text() == "old" and list(tmp_path.iterdir()) == [path]


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


def test_a_folder_appears_whole_and_is_replaced_whole(tmp_path: Path) -> None:
    target = tmp_path / "out"
    for text in ("a", "b"):
        with new_folder(str(target)) as folder:
            fill(folder, text)
            assert folder.parent == tmp_path
            assert not target.exists() or (target / "index.html").read_text() == "a"
    assert (target / "index.html").read_text() == "b"
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.parametrize("error", [KeyboardInterrupt, TurnstillError, MemoryError])
def test_a_failed_block_leaves_what_was_there(tmp_path: Path, error: type[BaseException]) -> None:
    target = tmp_path / "out"
    with pytest.raises(error), new_folder(str(target)) as folder:
        fill(folder)
        raise error
    assert not list(tmp_path.iterdir())
    with new_folder(str(target)) as folder:
        fill(folder)
    with pytest.raises(error), new_folder(str(target)) as folder:
        raise error
    assert (target / "index.html").read_text() == "a" and list(tmp_path.iterdir()) == [target]


def test_a_failed_rename_puts_the_old_folder_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "out"
    with new_folder(str(target)) as folder:
        fill(folder)
    real = Path.rename

    def rename(self: Path, to: Path) -> Path:
        if self.suffix == ".part":
            raise OSError(5, "Input/output error")
        return real(self, to)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(TurnstillError), new_folder(str(target)) as folder:
        fill(folder, "b")
    assert (target / "index.html").read_text() == "a" and list(tmp_path.iterdir()) == [target]


def test_other_peoples_things_are_not_touched(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file, own, empty = tmp_path / "file", tmp_path / "own", tmp_path / "empty"
    file.write_text("x")
    own.mkdir()
    (own / "thesis.doc").write_text("x")
    empty.mkdir()
    for target, words in ((file, "is a file"), (own, "thesis.doc"), (tmp_path / "a" / "b", "no folder")):
        with pytest.raises(TurnstillError, match=words), new_folder(str(target)):
            pytest.fail("the block must not start")
    monkeypatch.chdir(empty)
    for here in (".", ""):
        with pytest.raises(TurnstillError, match="you are in"), new_folder(here):
            pytest.fail("the block must not start")
    monkeypatch.chdir(tmp_path)
    with new_folder("empty") as folder:
        fill(folder)
    (empty / "notes.txt").write_text("mine")
    with pytest.raises(TurnstillError, match=r"notes\.txt"), new_folder("empty"):
        pytest.fail("the block must not start")
    for bad in ("[]", "{", '{"files": 3}', '{"files": [[]]}'):
        (own / CONTENTS_FILE).write_text(bad)
        with pytest.raises(TurnstillError), new_folder(str(own)):
            pytest.fail("the block must not start")
    assert (own / "thesis.doc").read_text() == "x"
