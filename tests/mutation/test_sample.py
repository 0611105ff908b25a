"""The mutants themselves: each kind of error is made where it can be, and only what is behaviour is changed."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

pytest.importorskip("cosmic_ray", reason="mutants are made with the dev extra")

from mutation import record, sample
from mutation.hook import standing_in
from mutation.runner import Effort, Statements, chosen, reaching

TEXT = '''
from __future__ import annotations
LABELS = {"tilt": "side tilt", "extension": "forward bend"}
__all__ = ["told", "LABELS"]

def told(report: dict[str, tuple[int, int]], ends=(3, 5)) -> str:
    """Words."""
    if report["tilt_deg"] in ("a", "b"):
        return f"{report.tilt:.1f} and {report.extension}"
    return place(report, report["extension_deg"], first=ends[0], last=ends[1])
'''


CODE = """A = {
    'a': 1,
}

def f(x):
    try:
        return (
            x
        )
    except E:
        y = A
"""


def changes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str = "told.py", text: str = TEXT
) -> dict[str, set[tuple[str, str]]]:
    """By kind, every line that can be changed and what becomes of it."""
    (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.setattr(sample, "ROOT", tmp_path)
    module = sample.Module(name)
    made = {
        kind: {module.mutant(edit) for place in places for edit in place} - {None}
        for kind, places in module.places.items()
    }
    return {kind: {(one.before, one.after) for one in mutants} for kind, mutants in made.items()}


def test_every_error_in_what_people_see_is_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = changes(tmp_path, monkeypatch)
    lines = [line.strip() for line in TEXT.splitlines()]
    labels, head, condition, sentence, call = lines[2], lines[5], lines[7], lines[8], lines[9]
    assert made["swap values"] == {(labels, 'LABELS = {"tilt": "forward bend", "extension": "side tilt"}')}
    assert made["swap neighbours"] == {(head, head.replace("(3, 5)", "(5, 3)"))}  # Not what is only looked into.
    assert made["swap fields"] == {(sentence, 'return f"{report.extension:.1f} and {report.tilt}"')}
    assert made["decimals"] == {(sentence, sentence.replace(".1f", ".0f"))}
    assert (sentence, sentence.replace("report.tilt:", "report.extension:")) in made["sibling attribute"]
    assert (condition, condition.replace("tilt_deg", "extension_deg")) in made["sibling key"]
    assert (call, call.replace("ends[0]", "ends[-1]")) in made["other end"]
    assert {
        (call, 'return place(report["extension_deg"], report, first=ends[0], last=ends[1])'),
        (call, 'return place(report, report["extension_deg"], first=ends[1], last=ends[0])'),
    } == made["swap arguments"]
    assert (condition, condition.replace("if ", "if not ")) in made["add not"]


PAGE = """<tr><th>Tilt</th><th>Extension</th></tr>
{% for mark, swing in swings %}
{% if swing.shown %}
<td>{{ swing.tilt }}</td><td>{{ swing.extension }}</td>
{% endif %}
{% endfor %}
"""


def test_errors_are_made_in_templates_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = changes(tmp_path, monkeypatch, "page.html", PAGE)
    head, loop, condition, cells = PAGE.splitlines()[:4]
    assert made["page: swap headings"] == {(head, "<tr><th>Extension</th><th>Tilt</th></tr>")}
    assert made["page: swap values"] == {(cells, "<td>{{ swing.extension }}</td><td>{{ swing.tilt }}</td>")}
    assert made["page: swap names"] == {(loop, "{% for swing, mark in swings %}")}
    assert made["page: nothing of many"] == {(loop, "{% for mark, swing in [] %}")}
    assert made["page: condition turned round"] == {(condition, "{% if not (swing.shown) %}")}
    assert (cells, "<td>{{ swing.extension }}</td><td>{{ swing.extension }}</td>") in made["page: sibling"]


def test_what_is_no_behaviour_is_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    changed = {before for pairs in changes(tmp_path, monkeypatch).values() for before, _ in pairs}
    assert not any(line.startswith(("__all__", "from ", '"""')) for line in changed)
    heads = {after for pairs in changes(tmp_path, monkeypatch).values() for before, after in pairs if "def " in before}
    assert heads and all("dict[str, tuple[int, int]]" in head for head in heads)


def test_the_same_seed_gives_the_same_sample() -> None:
    first, again, other = (sample.draw(12, seed, ("scenes/map",)) for seed in (1, 1, 2))
    assert [one.key for one in first] == [one.key for one in again] != [one.key for one in other]
    assert len({one.key for one in first}) == 12
    assert {one.file for one in first} == {one.file for one in sample.draw(12, 2, ("scenes/map",))}


def test_a_statement_knows_its_lines_and_names() -> None:
    statements = Statements(CODE)
    assert statements.of(2) == (range(1, 4), False, frozenset({"A"}))
    assert statements.of(8)[:2] == (range(7, 10), True)
    assert statements.of(10)[:2] == (range(10, 11), True)
    assert statements.of(11) == (range(11, 12), True, frozenset({"y"}))
    # What a function's head says, such as what is taken where nothing is given, is reached by whoever runs its body.
    assert (statements.whole(1), statements.whole(5), statements.whole(7)) == (range(1, 4), range(5, 12), range(7, 10))


def test_a_program_that_a_test_starts_meets_the_mutant(tmp_path: Path) -> None:
    """The text is changed in the program, and no file is."""
    package = tmp_path / "rooms"
    package.mkdir()
    (package / "__init__.py").write_text("")
    (package / "words.py").write_text("WORD = 'tilt'\n")
    text = tmp_path / "text"
    text.write_text("WORD = 'extension'\n")
    folders = [str(Path(standing_in.__file__).parent), str(tmp_path)]
    environment = os.environ | {
        "PYTHONPATH": os.pathsep.join(folders),
        standing_in.FILE: str(package / "words.py"),
        standing_in.TEXT: str(text),
    }  # fmt: skip
    code = "from rooms.words import WORD; print(WORD)"
    done = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True)
    assert done.stdout == "extension\n"
    (package / "page.html").write_text("tilt")
    environment[standing_in.FILE] = str(package / "page.html")
    read = f"from jinja2 import Environment, FileSystemLoader as F; e = Environment(loader=F({str(tmp_path)!r}))"
    code = f"{read}; print(e.get_template('rooms/page.html').render())"
    done = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True)
    assert done.stdout == "WORD = 'extension'\n"
    assert (package / "words.py").read_text() == "WORD = 'tilt'\n"


def test_every_function_that_reaches_an_error_is_tried_before_many_cases_of_one() -> None:
    page = "scenes/map/page.html"
    mutant = sample.Mutant(page, 1, "", "a", "b", "b")
    here = {page: frozenset({1})}

    def test(name: str, seconds: float, file: str = "tests/scenes/test_map.py") -> record.Test:
        return record.Test(f"{file}::{name}", seconds, here, here)

    many = [test(f"test_many[{k}]", 0.1 + 0.001 * k) for k in range(30)]
    others = [test("test_slower", 0.5), test("test_slow", 2.0), test("test_two[a]", 0.3), test("test_two[b]", 0.2)]
    elsewhere = test("test_elsewhere", 0.01, "tests/scenes/test_film.py")
    away = record.Test("tests/scenes/test_map.py::test_away", 0.01, {}, {})
    found = [one.name.split("::")[1] for one in reaching(mutant, [away, elsewhere, *many, *others])]
    assert found[:7] == [
        "test_many[0]", "test_two[b]", "test_slower", "test_slow", "test_many[1]", "test_two[a]", "test_many[2]",
    ]  # fmt: skip
    assert found[7:] == [*(f"test_many[{k}]" for k in range(3, 30)), "test_elsewhere"]
    taken = chosen(reaching(mutant, [*many, *others]), Effort(4, 60.0))
    assert {one.name.split("::")[1] for one in taken} == {"test_many[0]", "test_two[b]", "test_slower", "test_slow"}


def test_every_file_has_its_share() -> None:
    rng = np.random.default_rng(3)
    assert sample._shares([100, 300, 1, 0], 41, rng) == [10, 30, 1, 0]
    assert sum(sample._shares([5] * 90, 60, rng)) == 60 and set(sample._shares([5] * 90, 60, rng)) == {0, 1}
