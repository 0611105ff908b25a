"""Folders of results: whole, replaced file by file, and nobody else's file touched, wherever a run is stopped."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from turnstill.model.errors import TurnstillError
from turnstill.scenes.delivery.folder import CONTENTS_FILE, new_folder
from turnstill.scenes.delivery.parts import is_part, put


def fill(folder: Path, text: str = "a", *more: str) -> None:
    """A result whose every file holds the same text."""
    files = ["index.html", CONTENTS_FILE, *more]
    for name in files:
        (folder / name).write_text(text)
    (folder / CONTENTS_FILE).write_text(json.dumps({"files": files, "text": text}))


def made(target: Path, text: str = "a", *more: str) -> Path:
    with new_folder(str(target)) as folder:
        fill(folder, text, *more)
    return target


def told(folder: Path) -> dict[str, str]:
    """Each file of a folder and its text."""
    texts = {one.name: one.read_text() for one in folder.iterdir() if one.is_file()}
    return {name: json.loads(text)["text"] if name == CONTENTS_FILE else text for name, text in texts.items()}


def test_a_folder_appears_whole_and_is_replaced(tmp_path: Path) -> None:
    target = tmp_path / "out"
    for text, more in (("a", ["1.png", "2.png"]), ("b", ["2.png", "3.png"])):
        with new_folder(str(target)) as folder:
            fill(folder, text, *more)
            assert folder.name.startswith(".")
            assert not target.exists() or told(target)["index.html"] == "a"
        assert told(target) == dict.fromkeys(["index.html", CONTENTS_FILE, *more], text)
    assert list(tmp_path.iterdir()) == [target] and not any(one.is_dir() for one in target.iterdir())


@pytest.mark.parametrize("error", [KeyboardInterrupt, TurnstillError, MemoryError])
def test_a_failed_block_leaves_what_was_there(tmp_path: Path, error: type[BaseException]) -> None:
    target = tmp_path / "out"
    with pytest.raises(error), new_folder(str(target)) as folder:
        fill(folder)
        raise error
    assert not list(tmp_path.iterdir())
    made(target)
    with pytest.raises(error), new_folder(str(target)) as folder:
        raise error
    assert told(target) == {"index.html": "a", CONTENTS_FILE: "a"} and list(tmp_path.iterdir()) == [target]


def test_a_file_saved_while_the_command_runs_stays(tmp_path: Path) -> None:
    for target in (made(tmp_path / "earlier", "a", "1.png"), tmp_path / "empty", tmp_path / "none"):
        if target.name == "empty":
            target.mkdir()
        with new_folder(str(target)) as folder:
            fill(folder, "b")
            target.mkdir(exist_ok=True)
            (target / "notes.txt").write_text("mine")
        assert told(target) == {"index.html": "b", CONTENTS_FILE: "b", "notes.txt": "mine"}


@pytest.mark.parametrize("name", ["index.html", "2.png", CONTENTS_FILE])
def test_a_file_saved_under_a_name_of_ours_stays_too_and_the_result_is_refused(tmp_path: Path, name: str) -> None:
    target = tmp_path / "out"
    mine = json.dumps({"text": "mine"}) if name == CONTENTS_FILE else "mine"
    target.mkdir()
    with pytest.raises(TurnstillError, match=name), new_folder(str(target)) as folder:
        fill(folder, "a", "2.png")
        (target / name).write_text(mine)
    assert told(target) == {name: "mine"}
    (target / name).unlink()
    made(target, "a", "1.png", "2.png")
    with pytest.raises(TurnstillError, match=name), new_folder(str(target)) as folder:
        fill(folder, "b", "2.png", "3.png")
        (target / name).unlink()
        (target / name).write_text(mine)
    everything = dict.fromkeys(("index.html", CONTENTS_FILE, "1.png", "2.png"), "a")
    assert told(target) == everything | {name: "mine"}


def test_of_two_runs_into_one_folder_the_later_is_refused(tmp_path: Path) -> None:
    for before in (None, "a"):
        target = tmp_path / f"out-{before}"
        if before:
            made(target, before)
        with pytest.raises(TurnstillError, match="Something else wrote"), new_folder(str(target)) as folder:
            made(target, "other")
            fill(folder, "b")
        assert told(target) == {"index.html": "other", CONTENTS_FILE: "other"}


def test_a_file_of_ours_that_somebody_removed_is_no_obstacle(tmp_path: Path) -> None:
    target = made(tmp_path / "out", "a", "1.png")
    with new_folder(str(target)) as folder:
        fill(folder, "b")
        (target / "1.png").unlink()
    assert told(target) == {"index.html": "b", CONTENTS_FILE: "b"}


def test_a_list_of_another_program_makes_nothing_ours(tmp_path: Path) -> None:
    (tmp_path / "thesis.doc").write_text("x")
    (tmp_path / CONTENTS_FILE).write_text(json.dumps({"files": ["thesis.doc", CONTENTS_FILE]}))
    with pytest.raises(TurnstillError, match="no earlier result"), new_folder(str(tmp_path)):
        pytest.fail("the block must not start")


def test_a_list_that_is_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / CONTENTS_FILE)
    with pytest.raises(TurnstillError, match="no earlier result"), new_folder(str(tmp_path)):
        pytest.fail("the block must not start")


def test_a_link_is_nobodys_result(tmp_path: Path) -> None:
    target, thesis = made(tmp_path / "out", "a", "1.png"), tmp_path / "thesis.doc"
    thesis.write_text("x")
    (target / "1.png").unlink()
    (target / "1.png").symlink_to(thesis)
    with pytest.raises(TurnstillError, match=r"1\.png"), new_folder(str(target)):
        pytest.fail("the block must not start")


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
    made(Path("empty"))
    (empty / "notes.txt").write_text("mine")
    with pytest.raises(TurnstillError, match=r"notes\.txt"), new_folder("empty"):
        pytest.fail("the block must not start")
    for bad in ("[]", "{", '{"files": 3}', '{"files": [[]]}'):
        (own / CONTENTS_FILE).write_text(bad)
        with pytest.raises(TurnstillError), new_folder(str(own)):
            pytest.fail("the block must not start")
    assert (own / "thesis.doc").read_text() == "x"


STEPS = ("rename", "hardlink_to", "unlink", "mkdir")
"""Of a path: everything by which a folder of results changes."""


def counted(monkeypatch: pytest.MonkeyPatch, act: Callable[[int], None]) -> None:
    """Have something done before each step that changes a folder, which is told how many came before."""
    done = iter(range(10_000))
    for name in STEPS:
        real = getattr(Path, name)

        def step(self: Path, *given: object, real: Callable[..., object] = real, **more: object) -> object:
            act(next(done))
            return real(self, *given, **more)

        monkeypatch.setattr(Path, name, step)


def steps_of_a_replacement(tmp_path: Path) -> int:
    seen: list[int] = []
    target = made(tmp_path / "counted", "a", "1.png", "2.png")
    with pytest.MonkeyPatch.context() as patch:
        counted(patch, seen.append)
        made(target, "b", "2.png", "3.png")
    return len(seen)


def test_killed_at_any_step_no_page_stands_over_a_mixture_and_the_next_run_recovers(tmp_path: Path) -> None:
    old, new = ["index.html", CONTENTS_FILE, "1.png", "2.png"], ["index.html", CONTENTS_FILE, "2.png", "3.png"]
    steps, ends = steps_of_a_replacement(tmp_path), set()
    for step in range(steps):
        target = made(tmp_path / f"killed-{step}", "a", "1.png", "2.png")
        child = os.fork()
        if child == 0:
            with pytest.MonkeyPatch.context() as patch:
                counted(patch, lambda count, step=step: os._exit(9) if count == step else None)  # type: ignore[misc]
                with new_folder(str(target)) as folder:
                    fill(folder, "b", "2.png", "3.png")
                    (target / "notes.txt").write_text("mine")
            os._exit(0)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 9
        there = told(target)
        assert there.pop("notes.txt", "mine") == "mine"
        if "index.html" in there:
            ends.add(there["index.html"])
            assert there in (dict.fromkeys(old, "a"), dict.fromkeys(new, "b"))
        elif there:
            assert set(there) <= set(json.loads((target / CONTENTS_FILE).read_text())["files"])
        (target / "notes.txt").unlink(missing_ok=True)
        made(target, "c", "1.png")
        assert told(target) == {"index.html": "c", CONTENTS_FILE: "c", "1.png": "c"}
        assert not any(is_part(one.name) for place in (tmp_path, target) for one in place.iterdir())
    assert ends == {"a", "b"} and steps > 12


@pytest.mark.parametrize("links", [True, False])
def test_an_error_at_any_step_puts_the_earlier_result_back(tmp_path: Path, links: bool) -> None:
    target = made(tmp_path / "out", "a", "1.png", "2.png")
    for step in range(steps_of_a_replacement(tmp_path) - 1):
        with pytest.MonkeyPatch.context() as patch:
            if not links:
                patch.setattr(Path, "hardlink_to", no_links)

            def fail(count: int, step: int = step) -> None:
                if count == step:
                    raise OSError(5, "Input/output error")

            try:
                with new_folder(str(target)) as folder:
                    fill(folder, "b", "2.png", "3.png")
                    counted(patch, fail)
            except TurnstillError as wrong:
                assert "input/output error" in str(wrong)
                assert told(target) == dict.fromkeys(("index.html", CONTENTS_FILE, "1.png", "2.png"), "a")
            else:  # It was met by another way, or came too late to matter.
                assert told(target) == dict.fromkeys(("index.html", CONTENTS_FILE, "2.png", "3.png"), "b")
                made(target, "a", "1.png", "2.png")


def no_links(self: Path, target: Path) -> None:
    raise PermissionError(1, "Operation not permitted")


def test_without_links_nothing_is_overwritten_either(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "hardlink_to", no_links)
    source, target = tmp_path / "a", tmp_path / "b"
    source.write_text("a")
    target.write_text("b")
    with pytest.raises(FileExistsError):
        put(source, target)
    target.unlink()
    put(source, target)
    assert target.read_text() == "a" and not source.exists()


def test_a_list_that_names_what_no_result_has_is_not_believed(tmp_path: Path) -> None:
    target = made(tmp_path / "out", "a", "1.png")
    (target / "diary.txt").write_text("mine")
    (target / CONTENTS_FILE).write_text(json.dumps({"files": ["index.html", CONTENTS_FILE, "1.png", "diary.txt"]}))
    with pytest.raises(TurnstillError, match=r"such as diary\.txt"), new_folder(str(target)) as folder:
        fill(folder, "b")
    assert (target / "diary.txt").read_text() == "mine"
