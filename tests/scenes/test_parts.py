"""Temporary files: those of killed runs are cleared, those of running ones stay."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from turnstill.scenes.delivery import parts
from turnstill.scenes.delivery.folder import new_folder
from turnstill.scenes.delivery.parts import clear_stale, is_part, new_part
from turnstill.scenes.delivery.writing import check_file_target, write_text

HOLD = """
import sys, time
from pathlib import Path
from turnstill.scenes.delivery.parts import new_part
with new_part(Path(sys.argv[1]), folder=sys.argv[2] == "folder") as part:
    if part.is_dir():
        (part / "index.html").write_text("half")
    print("ready", flush=True)
    time.sleep(600)
"""


def left(place: Path) -> list[str]:
    return [one.name for one in place.iterdir() if is_part(one.name)]


@pytest.mark.parametrize("kind", ["file", "folder"])
def test_a_part_is_cleared_by_the_next_run_once_its_process_is_gone_and_not_before(tmp_path: Path, kind: str) -> None:
    running = subprocess.Popen([sys.executable, "-c", HOLD, str(tmp_path), kind], stdout=subprocess.PIPE, text=True)
    try:
        assert running.stdout is not None and running.stdout.readline() == "ready\n"
        (part,) = left(tmp_path)
        write_text(str(tmp_path / "a.json"), "x")
        check_file_target(str(tmp_path / "b.json"))
        assert left(tmp_path) == [part]
    finally:
        running.send_signal(signal.SIGKILL)
        running.wait()
    assert left(tmp_path) == [part]
    write_text(str(tmp_path / "a.json"), "y")
    assert sorted(one.name for one in tmp_path.iterdir()) == ["a.json"]


def test_a_folder_clears_beside_itself_and_within(tmp_path: Path) -> None:
    target = tmp_path / "out"
    target.mkdir()
    for place, ending in ((tmp_path, "part"), (target, "part"), (tmp_path, "old")):
        stale = place / f".turnstill-0123456789abcdef.{ending}"
        stale.mkdir()
        (stale / "index.html").write_text("half")
    with new_folder(str(target)) as folder:
        (folder / "index.html").write_text("a")
    assert not left(tmp_path) and not left(target)


def test_only_parts_are_cleared(tmp_path: Path) -> None:
    names = [f"{name}.part" for name in (".turnstill-0123456789abcde", "turnstill-0123456789abcdef", ".a", "")]
    for name in names:
        (tmp_path / name).write_text("mine")
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "a").write_text("mine")
    (tmp_path / ".turnstill-0123456789abcdef.part").symlink_to(mine)
    os.mkfifo(tmp_path / ".turnstill-0123456789abcde0.part")
    before = sorted(tmp_path.iterdir())
    clear_stale(tmp_path)
    assert sorted(tmp_path.iterdir()) == before and (mine / "a").read_text() == "mine"


def test_a_part_that_a_sibling_took_for_a_stale_one_is_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real, lost = parts.fcntl.flock, []

    def flock(handle: int, how: int) -> None:
        if not lost:
            lost.extend(tmp_path.iterdir())
            lost[0].unlink()
        real(handle, how)

    monkeypatch.setattr(parts.fcntl, "flock", flock)
    with new_part(tmp_path) as part:
        assert part.exists() and part != lost[0]
    assert not list(tmp_path.iterdir())


def test_where_there_are_no_locks_parts_work_and_stay(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def flock(handle: int, how: int) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(parts.fcntl, "flock", flock)
    with new_part(tmp_path) as part, new_part(tmp_path, folder=True) as other:
        assert part.exists() and other.is_dir()
    assert not list(tmp_path.iterdir())


ELSEWHERE = """
import os, shutil, sys
from pathlib import Path
import turnstill.model
place = Path(sys.argv[1])
sys.platform, sys.modules["fcntl"] = "win32", None
from turnstill.scenes.delivery.parts import new_part
from turnstill.scenes.delivery.writing import write_text
with new_part(place) as part, new_part(place, folder=True) as folder:
    assert part.is_file() and folder.is_dir()
write_text(str(place / "a.json"), "x")
"""


def test_where_the_system_has_no_such_locks_at_all_files_are_written_and_parts_stay(tmp_path: Path) -> None:
    stale = tmp_path / ".turnstill-0123456789abcdef.part"
    stale.mkdir()
    subprocess.run([sys.executable, "-c", ELSEWHERE, str(tmp_path)], check=True, timeout=60)
    assert sorted(one.name for one in tmp_path.iterdir()) == [stale.name, "a.json"]
