"""What a command hands over: the page, its numbers and the table, each to its own place, or nothing at all."""

from __future__ import annotations

import json
import sys
from itertools import pairwise
from pathlib import Path

import pytest
from rich.console import Console
from rich.text import Text

from turnstill.model.errors import TurnstillError
from turnstill.scenes.delivery import terminal
from turnstill.scenes.delivery.deliver import deliver
from turnstill.scenes.delivery.json_text import json_text
from turnstill.scenes.delivery.progress import Progress
from turnstill.scenes.delivery.terminal import LONGEST, ROWS, render, shortened, shown_moments
from turnstill.scenes.setups.reports import Number, Report


class Told(Report):
    """A report."""

    name: str
    turn_deg: float
    places: list[int]


class Loose(Report):
    """A report whose number is not checked."""

    number: Number


REPORT = Told(name="zwölf", turn_deg=12.5, places=[1, 2])
TEXT = '{\n "name": "zwölf",\n "turn_deg": 12.5,\n "places": [\n  1,\n  2\n ]\n}\n'


def test_a_report_is_written_as_it_stands() -> None:
    assert json_text(REPORT) == TEXT
    listed = json_text(REPORT, ["a.html", "b.json"])
    assert list(json.loads(listed)) == ["files", "name", "turn_deg", "places"]
    assert json.loads(listed)["files"] == ["a.html", "b.json"]


@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_a_number_that_is_not_finite_is_refused_in_a_sentence(number: float) -> None:
    with pytest.raises(TurnstillError) as wrong:
        json_text(Loose(number=number))
    assert str(wrong.value) == (
        "This swing has numbers that are not finite, so the body or the address cannot be; nothing was written."
    )


def handed_over(**options: str) -> None:
    deliver(REPORT, lambda: "<p>päge</p>", lambda: "table\n", numbers_file="numbers.json", **options)


def test_without_a_file_the_table_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    handed_over()
    assert capsys.readouterr() == ("table\n", "")


def test_standard_output_carries_the_json_alone(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    handed_over(json_file="-")
    assert capsys.readouterr().out == TEXT
    handed_over(json_file="-", out=str(tmp_path / "out"))
    assert capsys.readouterr().out == TEXT and (tmp_path / "out" / "index.html").exists()


def test_a_folder_has_the_page_and_its_numbers_and_lists_both(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    out, file = tmp_path / "out", tmp_path / "a.json"
    handed_over(out=str(out), json_file=str(file))
    assert sorted(one.name for one in out.iterdir()) == ["index.html", "numbers.json"]
    assert (out / "index.html").read_text(encoding="utf-8") == "<p>päge</p>"
    assert (out / "numbers.json").read_text(encoding="utf-8") == json_text(REPORT, ["index.html", "numbers.json"])
    assert file.read_text(encoding="utf-8") == TEXT
    assert capsys.readouterr().out == f"table\nThe page is {out / 'index.html'}\n"
    handed_over(out=str(out))  # It may replace its own result.
    (out / "notes.txt").write_text("mine")
    with pytest.raises(TurnstillError, match=r"notes\.txt"):
        handed_over(out=str(out))


@pytest.mark.parametrize("options", [{}, {"json_file": "a.json"}, {"out": "out"}, {"json_file": "-"}])
def test_nothing_is_written_or_said_where_the_numbers_are_not_sound(
    options: dict[str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(TurnstillError, match="not finite"):
        deliver(Loose(number=float("nan")), lambda: "", lambda: "table", numbers_file="n.json", **options)  # type: ignore[arg-type]
    assert not list(tmp_path.iterdir()) and capsys.readouterr() == ("", "")


def test_a_page_that_fails_leaves_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def fail() -> str:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        deliver(REPORT, fail, lambda: "table", numbers_file="n.json", json_file=str(tmp_path / "a.json"),
                out=str(tmp_path / "out"))  # fmt: skip
    assert not list(tmp_path.iterdir()) and capsys.readouterr() == ("", "")


@pytest.mark.parametrize("count", [1, 2, 3, 8, 9, 10, 41, 2001])
def test_moments_shown_are_evenly_spread_from_first_to_last(count: int) -> None:
    shown = shown_moments(count)
    assert shown[0] == 0 and shown[-1] == count - 1 and len(shown) == min(count, ROWS) == min(count, 9)
    apart = [b - a for a, b in pairwise(shown)]
    assert not apart or max(apart) - min(apart) <= 1 + (count > ROWS)
    for k, moment in enumerate(shown):
        assert abs(moment - k * (count - 1) / max(len(shown) - 1, 1)) <= 0.5
    assert shown_moments(41) == [0, 5, 10, 15, 20, 25, 30, 35, 40] and shown_moments(11, 3) == [0, 5, 10]


@pytest.mark.parametrize(("columns", "width"), [(20, 80), (81, 81), (132, 132)])
def test_text_is_as_wide_as_the_terminal_and_never_narrower_than_eighty(
    columns: int, width: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    lines = render(Text("x" * 400), Text("1 2.5 [b] 'a'", style="bold")).splitlines()
    assert len(lines[0]) == width and lines[-1] == "1 2.5 [b] 'a'"


def test_a_console_nobody_looks_at_has_a_hundred_columns_and_no_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("COLUMNS", raising=False)
    monkeypatch.setattr(sys, "__stdout__", None)
    made = terminal._console()
    assert made.width == 100 and "\x1b" not in render(Text("a", style="bold red"))


class Bar:
    """Keeps what is done to it."""

    def __init__(self) -> None:
        self.done: list[object] = []

    def start(self) -> None:
        self.done.append("start")

    def stop(self) -> None:
        self.done.append("stop")

    def update(self, task: int, *, advance: int, description: str) -> None:
        self.done.append((task, advance, description))


def test_progress_goes_a_step_for_each_item_and_says_which() -> None:
    progress = Progress(4)
    task = progress._bar.tasks[0]
    assert (task.total, task.description, task.completed) == (4, "starting", 0)
    bar = Bar()
    progress._bar = bar  # type: ignore[assignment]
    with progress as one:
        one.step("first")
        assert list(one.over("abc", "many")) == ["a", "b", "c"]
    assert bar.done == ["start", (0, 1, "first"), *[(0, 1, "many")] * 3, "stop"]


def test_a_bar_is_shown_on_standard_error_only_where_that_is_a_terminal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    with Progress(1) as quiet:
        quiet.step("[b]")
    assert quiet._bar.disable and capsys.readouterr() == ("", "")
    monkeypatch.setattr(Console, "is_terminal", property(lambda _: True))
    shown = Progress(2)
    assert not shown._bar.disable and shown._bar.console.stderr and shown._bar.live.transient
    shown._bar.update(0, description="[b]drawing")
    assert [column.render(shown._bar.tasks[0]) for column in shown._bar.columns][1].plain == "[b]drawing"  # type: ignore[union-attr]


def test_a_line_that_is_too_long_loses_whole_words_of_its_middle() -> None:
    words = [f"name-{k}," for k in range(100)]
    line = " ".join(words)
    begins, ends = (part.split() for part in shortened(line).split(" ... "))
    assert begins == words[: len(begins)] and ends == words[-len(ends) :]
    assert LONGEST - 20 < len(shortened(line)) <= LONGEST
    assert shortened(line[:LONGEST]) == line[:LONGEST]
