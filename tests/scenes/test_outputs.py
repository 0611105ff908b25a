"""Where outputs may lie: on no input, no two in one place; and what may be read at all."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import Any

import pytest
import typer
from hypothesis import given
from hypothesis import strategies as st
from refusals import refused_by
from typer.testing import CliRunner

from turnstill.model.errors import TurnstillError
from turnstill.scenes.cli import app
from turnstill.scenes.delivery import outputs, this_command
from turnstill.scenes.delivery.outputs import check_outputs
from turnstill.scenes.record.store import keep_body
from turnstill.scenes.setups.options import _LIKE_AN_OPTION
from turnstill.scenes.setups.presets import load, preset_text

RUNNER = CliRunner()
CENTRED = preset_text("centred")


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a preset, one that extends it, a link and a hard link to it, and a record."""
    monkeypatch.chdir(tmp_path)
    this_command.begin()
    (tmp_path / "base.toml").write_text(CENTRED)
    (tmp_path / "my.toml").write_text('extends = "base.toml"\n[pieces]\nhip_turn_deg = 44\n')
    (tmp_path / "link.json").symlink_to("my.toml")
    (tmp_path / "hard.json").hardlink_to("my.toml")
    keep_body("s.turnstill", {"stature_cm": 178.0})
    return tmp_path


def contents(folder: Path) -> dict[str, bytes]:
    return {one.name: one.read_bytes() for one in folder.iterdir() if one.is_file()}


OF_ONE = ["my.toml", "./my.toml", "base.toml", "link.json", "hard.json", "../{}/my.toml"]


@pytest.mark.parametrize("output", OF_ONE)
@pytest.mark.parametrize("option", ["--json", "--csv"])
def test_a_preset_is_never_overwritten_by_what_is_made_of_it(here: Path, option: str, output: str) -> None:
    before = contents(here)
    told = refused_by("simulate", "./my.toml", "--frames", "2", option, output.format(here.name))
    assert f"{option} was" in told and "what this command reads" in told
    assert contents(here) == before


OF_ALL: list[tuple[str, ...]] = [
    ("shares", "./my.toml", "--json"),
    ("map", "./my.toml", "--size", "5", "--json"),
    ("diagnose", "./my.toml", "--head-up-cm", "1", "--json"),
    ("sheet", "./my.toml", "--json"),
    ("experiment", "lead_flare", "./my.toml", "--from", "0", "--to", "20", "--steps", "2", "--json"),
    ("record", "show", "s.turnstill", "--swing", "./my.toml", "--csv"),
    ("record", "next", "s.turnstill", "--swing", "./my.toml", "--piece", "tilt", "--json"),
]


@pytest.mark.parametrize("arguments", OF_ALL)
def test_no_command_overwrites_the_preset_it_reads(here: Path, arguments: tuple[str, ...]) -> None:
    before = contents(here)
    assert "what this command reads" in refused_by(*arguments, "my.toml")
    assert contents(here) == before


@pytest.mark.parametrize(("command", "option", "suffix"), [
    ("film", "--out", ".mp4"), ("strip", "--out", ".png"), ("sheet", "--out", ".html"),
    ("export", "--glb", ".glb"), ("export", "--bvh", ".bvh"),
])  # fmt: skip
def test_no_film_sheet_or_figure_overwrites_its_preset_whatever_it_is_called(
    here: Path, command: str, option: str, suffix: str
) -> None:
    own = shutil.copy("base.toml", f"own{suffix}")
    before = contents(here)
    assert "what this command reads" in refused_by(command, f"./{own}", option, own)
    assert contents(here) == before


@pytest.mark.parametrize("output", ["s.turnstill", "S/../s.turnstill", "s.turnstill-journal"])
def test_a_students_record_is_never_overwritten(here: Path, output: str) -> None:
    (here / "S").mkdir()
    before = contents(here)
    for arguments in (("simulate", "centred", "--student"), ("record", "show"), ("record", "next", "--piece", "tilt")):
        assert "what this command reads" in refused_by(*arguments, "s.turnstill", "--json", output)
    assert contents(here) == before


@pytest.mark.parametrize(("first", "second"), [
    ("x", "x"), ("x", "./x"), ("x", "X"), ("é", "e\u0301"), ("old", "link"), ("old", "hard"), ("later", "to-later"),
])  # fmt: skip
def test_two_outputs_are_never_one_file(here: Path, first: str, second: str) -> None:
    (here / "old").write_text("old")
    (here / "link").symlink_to("old")
    (here / "hard").hardlink_to("old")
    (here / "to-later").symlink_to("later")
    before = contents(here)
    told = refused_by("simulate", "centred", "--frames", "2", "--json", first, "--csv", second)
    assert f"--csv was {second}, but that is the file of --json" in told
    assert contents(here) == before


def test_nor_of_four(here: Path) -> None:
    (here / "a.bvh").symlink_to("a.glb")
    told = refused_by("export", "centred", "--frames", "2", "--glb", "a.glb", "--trc", "a.trc", "--bvh", "a.bvh")
    assert "--bvh was a.bvh, but that is the file of --glb" in told
    assert not (here / "a.glb").exists() and not (here / "a.trc").exists()


def test_two_that_are_apart_are_both_written(here: Path) -> None:
    (here / "a").mkdir()
    for json, csv in (("x", "a/x"), ("x", "y"), ("-", "y"), ("/dev/null", "/dev/null")):
        done = RUNNER.invoke(app, ["simulate", "centred", "--frames", "2", "--json", json, "--csv", csv])
        assert done.exit_code == 0, done.output
    assert "Only one of --json and --csv" in refused_by("simulate", "centred", "--json", "-", "--csv", "-")


@pytest.mark.parametrize("file", ["out", "out/a.json", "out/index.html", "./out/../out/shares.json"])
def test_no_file_lies_in_the_folder_of_results(here: Path, file: str) -> None:
    told = refused_by("shares", "centred", "--frames", "2", "--out", "out", "--json", file)
    assert "no folder" in told or "in --out" in told
    (here / "out").mkdir()
    told = refused_by("shares", "centred", "--frames", "2", "--out", "out", "--json", file)
    assert "is a folder" in told or "in --out" in told
    assert not list((here / "out").iterdir())


def test_an_output_is_not_what_standard_output_goes_to(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (here / "screen").write_text("")
    there = (here / "screen").stat()
    real = os.fstat
    monkeypatch.setattr(outputs.os, "fstat", lambda number: there if number == 1 else real(number))
    with pytest.raises(TurnstillError, match="standard output goes to"):
        check_outputs({"--json": "screen"})
    check_outputs({"--json": "another"})


def test_a_later_command_may_write_what_an_earlier_one_read(here: Path) -> None:
    (here / "my.txt").write_text(CENTRED)
    load("./my.txt")
    assert "reads" in refused_by("simulate", "./my.txt", "--json", "my.txt")
    done = RUNNER.invoke(app, ["simulate", "centred", "--frames", "2", "--json", "my.txt"])
    assert done.exit_code == 0, done.output


def options_with_values() -> list[tuple[tuple[str, ...], str]]:
    """Every command with each of its options that takes a value."""
    found = []

    def walk(command: Any, path: tuple[str, ...]) -> None:
        for name, one in getattr(command, "commands", {}).items():
            walk(one, (*path, name))
        options = [one for one in command.params if one.opts[0].startswith("-")]
        found.extend((path, one.opts[0]) for one in options if not one.is_flag)

    walk(typer.main.get_command(app), ())
    return found


def test_an_option_is_not_a_value_of_another(here: Path) -> None:
    value = "--inches"
    needed = {
        "experiment": ["lead_flare", "--from", "0", "--to", "1"], "make": ["none.toml", "--out", "set"],
        "detector make": [], "detector where": [],
        "look": ["set", "--out", "set.png"], "score": ["set", "results.json"],
    }  # fmt: skip
    before, of_texts = contents(here), set()
    for path, option in options_with_values():
        done = RUNNER.invoke(
            app, [*path, *needed.get(" ".join(path), needed.get(path[-1], ["centred"])), option, value]
        )
        assert done.exit_code == 2 and done.stdout == "", (path, option, done.output)
        if "Invalid value" not in done.stderr:  # A number is no option in any case.
            assert f"was given {value}, which is an option and no value" in done.stderr, (path, option, done.stderr)
            of_texts.add((path[0], option))
    assert contents(here) == before
    assert of_texts >= {("record", "--note"), ("record", "--csv"), ("record", "--set"), ("export", "--glb")}
    assert of_texts >= {(name, "--json") for name in ("simulate", "shares", "map", "diagnose", "experiment", "record")}
    assert of_texts >= {(name, "--out") for name in ("compare", "film", "strip", "shares", "map", "sheet")}
    assert len(of_texts) > 60


@pytest.mark.parametrize("value", ["-6", "-6.5in", "-", "-2 to -3", "- better", "-- really", "--", "−6", "-x"])
def test_numbers_and_texts_may_begin_with_a_hyphen(value: str) -> None:
    assert not _LIKE_AN_OPTION.fullmatch(value)


@pytest.mark.parametrize("value", ["-h", "--help", "--frames=3"])
def test_nor_is_any_other(here: Path, value: str) -> None:
    assert f"--json was given {value}" in refused_by("simulate", "centred", "--json", value)


@given(value=st.from_regex(r"--[a-z][a-z-]*(=[a-z]*)?", fullmatch=True))
def test_whatever_looks_like_an_option_is_taken_for_one(value: str) -> None:
    assert _LIKE_AN_OPTION.fullmatch(value)


@pytest.mark.parametrize("arguments", [("simulate", "{}"), ("record", "add", "new.turnstill", "--csv", "{}")])
def test_only_plain_files_of_a_sane_size_are_read(here: Path, arguments: tuple[str, ...]) -> None:
    os.mkfifo("pipe")
    (here / "folder").mkdir()
    with (here / "huge").open("wb") as huge:
        huge.truncate(1 << 40)  # It has no content on the disk.
    words = {
        "./pipe": "not a plain file", "/dev/zero": "not a plain file", "./folder": "is a folder",
        "./huge": "is larger than", "./none.toml": "There is no file", "./\0": "no",
    }  # fmt: skip
    for name, word in words.items():
        assert word in refused_by(*(one.format(name) for one in arguments))
    assert not (here / "new.turnstill").exists()


@pytest.mark.skipif(not Path("/proc/kmsg").exists(), reason="a file of Linux that looks plain and makes one wait")
def test_a_file_that_would_make_one_wait_is_refused(here: Path) -> None:
    assert "turnstill: " in refused_by("record", "add", "new.turnstill", "--csv", "/proc/kmsg")


@pytest.mark.parametrize("option", ["--json", "--csv"])
def test_what_nobody_could_make_again_is_never_overwritten(here: Path, option: str) -> None:
    # None of these is an input of the command.
    before = contents(here)
    for name, what in (("s.turnstill", "a student's record"), ("base.toml", "a preset"),
                       ("s.turnstill-wal", "a part of s.turnstill"), ("s.turnstill-journal", "a part of")):  # fmt: skip
        told = refused_by("simulate", "centred", "--frames", "2", option, name)
        assert f"{option} was {name}" in told and what in told
    assert contents(here) == before
    assert RUNNER.invoke(app, ["simulate", "centred", "--frames", "2", option, "new-wal"]).exit_code == 0


def test_a_record_given_for_something_else_is_told_for_what_it_is() -> None:
    assert "s.turnstill is a student's record and no swing" in refused_by("simulate", "s.turnstill")
    assert '"s.turnstill" is a student\'s record and no table' in refused_by(
        "record", "add", "t.turnstill", "--csv", "s.turnstill"
    )


def test_a_folder_without_a_name_is_named() -> None:
    assert refused_by("simulate", ".").startswith('turnstill: "." is a folder; ')
    assert refused_by("simulate", "/").startswith('turnstill: "/" is a folder; ')
