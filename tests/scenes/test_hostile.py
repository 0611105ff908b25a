"""The project's own fuzzer: 1,000 hostile runs every time, 50,000 with ``-m heavy``."""

from __future__ import annotations

import itertools
import shutil
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest
from hostile import Case, complaints, end_of
from hostile_drawn import Hostility, damaged, failures

from turnstill.scenes.delivery.progress import Progress
from turnstill.scenes.delivery.terminal import tell
from turnstill.scenes.record.entry import Entry
from turnstill.scenes.record.store import add

SEED = 12
IN_EVERY_RUN, IN_THE_HEAVY_RUN, IN_A_ROW = 1000, 50_000, 2500


@pytest.fixture(autouse=True)
def warnings_fail() -> Iterator[None]:
    """A warning that a command would hide from its user is a fault here."""
    with warnings.catch_warnings():
        warnings.filterwarnings("error", category=RuntimeWarning)
        warnings.filterwarnings("error", module="turnstill")
        yield


@pytest.fixture
def folders(tmp_path: Path) -> Callable[[], Path]:
    """Makes an empty folder for each case, and takes that of the last one away."""
    numbers = itertools.count()

    def make() -> Path:
        number = next(numbers)
        shutil.rmtree(tmp_path / str(number - 1), ignore_errors=True)
        (tmp_path / str(number)).mkdir()
        return tmp_path / str(number)

    return make


@pytest.fixture
def hostility(tmp_path: Path) -> Hostility:
    """Draws the cases; a record with a lesson is among what is damaged."""
    record = tmp_path / "sound.turnstill"
    film = Entry("2024-03-01", head_toward_target_cm=-6.0, head_up_cm=1.0)
    lesson = Entry("2024-03-02", "tilt", felt=10.0, got=5.0, head_toward_target_cm=-3.0, note="more \u202e of it")
    add(str(record), [film, lesson])
    return Hostility(SEED, record.read_bytes())


@pytest.mark.parametrize("part", range(4))
def test_hostile_runs_end_in_a_sentence_or_in_sound_output(
    hostility: Hostility, folders: Callable[[], Path], part: int
) -> None:
    each = IN_EVERY_RUN // 4
    assert not failures(hostility, range(part * each, (part + 1) * each), folders)


@pytest.mark.heavy
@pytest.mark.parametrize("first", range(0, IN_THE_HEAVY_RUN, IN_A_ROW))
def test_many_hostile_runs(hostility: Hostility, folders: Callable[[], Path], first: int) -> None:
    bold = Hostility(SEED + 1, hostility.record, costly=0.1)
    assert not failures(bold, range(first, first + IN_A_ROW), folders)


def test_the_runs_are_what_they_should_be(hostility: Hostility, folders: Callable[[], Path]) -> None:
    cases = [hostility.case(number) for number in range(IN_EVERY_RUN)]
    assert cases[7] == hostility.case(7)  # The number tells the case.
    begun = {" ".join(case.arguments[:2]) for case in cases} | {case.arguments[0] for case in cases if case.arguments}
    assert begun >= {
        "simulate", "compare", "diagnose", "experiment", "export", "film", "strip", "map", "shares", "presets show",
        "presets settable", "record add", "record body", "record show", "record next",
    }  # fmt: skip
    assert {case.screen for case in cases} == {"kept", "terminal", "full", "closed", "gone"}
    statuses = [end_of(case, folders()).status for case in cases[:100]]
    assert 10 < statuses.count(0) < 90 < statuses.count(0) + statuses.count(2)  # Some do get through.


# The judge is a judge ---------------------------------------------------------------------------------------------


def wrong_with(case: Case, command: Callable[[list[str]], int], folder: Path) -> str:
    return "; ".join(complaints(case, folder, command))


def refusing(sentence: str) -> Callable[[list[str]], int]:
    def command(_: list[str]) -> int:
        import sys

        sys.stderr.write(f"{sentence}\n")
        return 2

    return command


def raising(error: BaseException) -> Callable[[list[str]], int]:
    def command(_: list[str]) -> int:
        raise error

    return command


def saying(text: str) -> Callable[[list[str]], int]:
    def command(_: list[str]) -> int:
        import sys

        sys.stdout.write(text)
        return 0

    return command


def writing(name: str) -> Callable[[list[str]], int]:
    def command(_: list[str]) -> int:
        Path(name).write_text("{", "utf-8")
        return 0

    return command


@pytest.mark.parametrize(
    ("command", "arguments", "complaint"),
    [
        (raising(ZeroDivisionError("a bug")), (), "a fault of the program"),
        (raising(SystemExit(3)), (), "ended with status 3"),
        (refusing("turnstill: " + "x" * 300 + "."), (), "312 characters on standard error"),
        (refusing("turnstill: One.\nturnstill: Two."), (), "2 lines in place of one sentence"),
        (refusing("turnstill: \x1b[31mred."), (), "a terminal acts on"),
        (refusing("turnstill: Input should be a valid float."), (), "words of a programmer"),
        (refusing("no beginning."), (), "in place of one sentence"),
        (refusing("turnstill: no end"), (), "no sentence"),
        (saying("{\"a\": NaN}"), ("--json", "-"), "NaN in JSON"),
        (saying("a nan b"), (), "a number that is none"),
        (writing("mine.toml"), (), "'mine.toml' is not what it was"),
        (writing("more.txt"), (), "nobody asked for: 'more.txt'"),
        (writing("a.json"), ("--json", "a.json"), "JSON of a.json"),
        (writing(".turnstill-1.part"), (), "left behind: .turnstill-1.part"),
    ],
)  # fmt: skip
def test_a_broken_command_is_found_out(
    command: Callable[[list[str]], int], arguments: tuple[str, ...], complaint: str, tmp_path: Path
) -> None:
    assert complaint in wrong_with(Case(arguments, {"mine.toml": b"1"}), command, tmp_path)


def test_a_sound_command_is_not(tmp_path: Path) -> None:
    for command in (refusing("turnstill: No."), saying("banana, infinite\n"), saying("")):
        assert not complaints(Case(("x",), {"mine.toml": b"1"}), tmp_path, command)


def test_what_is_said_to_a_terminal_is_judged_there(tmp_path: Path) -> None:
    evil = "a\x1b[2Jb\u202ec"
    assert "a terminal acts on" in wrong_with(Case((), screen="terminal"), saying(evil), tmp_path)

    def telling(_: list[str]) -> int:
        tell(evil)
        return 0

    assert end_of(Case((), screen="terminal"), tmp_path, telling).out == "a?[2Jb?c\n"
    assert not complaints(Case((), screen="terminal"), tmp_path, telling)
    assert not complaints(Case((), screen="terminal"), tmp_path, saying("\x1b[1mbold\x1b[0m\n"))


def test_a_screen_that_takes_nothing_cannot_be_written_to(tmp_path: Path) -> None:
    statuses = {
        kind: end_of(Case((), screen=kind), tmp_path, saying("x")).status for kind in ("full", "closed", "gone")
    }
    assert statuses == {"full": 2, "closed": 2, "gone": 1}


def test_a_damaged_file_differs(hostility: Hostility) -> None:
    import random

    rng = random.Random(3)
    assert sum(damaged(rng, hostility.record) != hostility.record for _ in range(50)) > 45


def test_a_run_that_does_not_end_is_broken_off(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import time

    import hostile

    monkeypatch.setattr(hostile, "_HANGS", 0.05)

    def hanging(_: list[str]) -> int:
        time.sleep(5)
        return 0

    assert "did not end" in wrong_with(Case(()), hanging, tmp_path)


@pytest.mark.parametrize(
    ("steps", "silence"), [((9.0, 9.0, 9.0), ""), ((9.0, 10.5), "for 10.5 s"), ((11.0, 1.0), "for 11.0 s")]
)
def test_long_work_that_shows_how_far_it_is_does_not_hang(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, steps: tuple[float, ...], silence: str
) -> None:
    import hostile

    clock = SimpleNamespace(now=100.0)
    monkeypatch.setattr(hostile, "time", SimpleNamespace(process_time=lambda: clock.now))

    def working(_: list[str]) -> int:
        with Progress(len(steps)) as progress:
            for seconds in steps:
                progress.step("working")
                clock.now += seconds
        return 0

    assert wrong_with(Case(()), working, tmp_path) == (silence and f"gave no sign of life {silence}")
