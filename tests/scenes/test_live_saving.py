"""What a live page keeps is whole, in its folder, and takes nobody's place."""

from __future__ import annotations

import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from live_served import Page, served

from turnstill.model.errors import TurnstillError
from turnstill.scenes.live import saving
from turnstill.scenes.live.messages import SaveMessage
from turnstill.scenes.live.saving import Saving
from turnstill.scenes.live.studio import Studio
from turnstill.scenes.setups.perform import centred_for
from turnstill.scenes.setups.preset_file import checked
from turnstill.scenes.setups.presets import load, setup_of
from turnstill.scenes.setups.quantities import Departure
from turnstill.scenes.setups.student import kept_of
from turnstill.scenes.strike.work import struck

VALUES = {
    "pieces": {"hip_turn_deg": 50.0, "tilt_deg": "steady+2.5"}, "address": {"lead_flare_deg": 12.0},
    "body": {"stature_cm": 180.0, "sex": "female", "handedness": "left"}, "body.lengths_cm": {"thigh": 41.5},
    "body.ranges_deg": {"lead_hip_flexion": 110.0},
}  # fmt: skip
TIMING = {"hip_turn": [[0, 0], [0.4, 0.6], [1, 1]]}
MINE = {"name": "mine", "values": VALUES, "timing": TIMING}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "kept"
    made.mkdir()
    return made


@pytest.fixture
def page(folder: Path) -> Iterator[Page]:
    with served(folder, studio=Studio(moments=2)) as page:
        yield page


@pytest.fixture
def ran(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """The commands that are run, and instead of a swing's file what it says."""
    commands: list[list[str]] = []

    def run(self: Saving, arguments: list[str]) -> None:
        commands.append([repr(load(one)) if one.endswith(".toml") else one for one in arguments])

    monkeypatch.setattr(Saving, "_run", run)
    return commands


def saved(page: Page, kind: str, name: str, *setups: object, **more: object) -> str:
    answer = page.post("save", {"as": kind, "name": name, "setups": list(setups) or [MINE], **more})
    assert answer.status_code == 200, answer.text
    return str(answer.json()["saved"])


def mine(name: str = "mine") -> Any:
    document = {
        "pieces": VALUES["pieces"], "address": VALUES["address"], "timing": TIMING,
        "body": {**VALUES["body"], "lengths_cm": VALUES["body.lengths_cm"], "ranges_deg": VALUES["body.ranges_deg"]},
    }  # fmt: skip
    return setup_of(name, checked(document))


def test_a_preset_opens_as_the_swing_that_was_saved(page: Page, folder: Path) -> None:
    told = saved(page, "preset", "mine")
    assert told == f"The swing is kept in {folder}/mine.toml; open it again with turnstill live {folder}/mine.toml."
    assert saved(page, "preset", "it's mine").endswith(f"""turnstill live '{folder}/it'"'"'s mine.toml'.""")
    (folder / "it's mine.toml").unlink()
    assert load(str(folder / "mine.toml")) == mine()
    assert load(str(folder / "mine.toml")).section("pieces")["tilt_deg"] == Departure(2.5)
    # The ending may be written too.
    saved(page, "preset", "other.toml")
    assert sorted(path.name for path in folder.iterdir()) == ["mine.toml", "other.toml"]


def test_nothing_is_replaced_that_nobody_asked_to_replace(page: Page, folder: Path, ran: list[list[str]]) -> None:
    for name in ("mine.toml", "mine.png", "mine.mp4"):
        (folder / name).write_text("before")
    (folder / "mine").mkdir()
    for kind in ("preset", "picture", "film", "page"):
        sentence = page.refused("save", {"as": kind, "name": "mine", "setups": [MINE]})
        assert "is there already" in sentence
    assert {path.read_text() for path in folder.iterdir() if path.is_file()} == {"before"} and not ran
    saved(page, "preset", "mine", replace=True)
    assert load(str(folder / "mine.toml")) == mine()


@pytest.mark.parametrize("name", [
    "../mine", "/etc/mine", "a/b", "a\\b", "..", ".", ".hidden", " mine", "mine ", "mine.", "C:mine", "a\x00b", "a\nb",
    "\x1b[31m", "-mine", "--out", "x*", "", "x" * 61, "<x>", 'a"b', "\u202egnp", "con",
    "NUL.txt", "Com1", "lpt9 .toml", "   ",
])  # fmt: skip
def test_names_stay_in_the_folder(page: Page, folder: Path, ran: list[list[str]], name: str) -> None:
    for kind in ("preset", "page", "picture", "film", "student record"):
        page.refused("save", {"as": kind, "name": name, "setups": [MINE], "replace": True})
    assert not ran and not list(folder.iterdir()) and list(folder.parent.iterdir()) == [folder]


def test_a_link_is_not_followed(page: Page, folder: Path, ran: list[list[str]]) -> None:
    outside = folder.parent / "outside.toml"
    outside.write_text("before")
    (folder / "mine.toml").symlink_to(outside)
    (folder / "mine.png").symlink_to(folder.parent / "nothing.png")
    for kind in ("preset", "picture"):
        assert "leads elsewhere" in page.refused(
            "save", {"as": kind, "name": "mine", "setups": [MINE], "replace": True}
        )
    assert outside.read_text() == "before" and not ran


def test_commands_make_what_they_make_of_the_same_swings(page: Page, folder: Path, ran: list[list[str]]) -> None:
    other = {"name": "other one", "values": {"pieces": {"sway_cm": 3.0}}}
    saved(page, "page", "both", MINE, other)
    saved(page, "film", "both", MINE, other)
    saved(page, "picture", "both", MINE)
    saved(page, "page", "alone", MINE)
    saved(page, "page", "twins", MINE, MINE)
    sway = setup_of("other one", checked({"pieces": {"sway_cm": 3.0}}))
    both, alone = [repr(mine()), repr(sway)], centred_for(mine())
    assert ran == [
        ["compare", *both, "--out", str(folder / "both")],
        ["film", *both, "--out", str(folder / "both.mp4")],
        ["strip", repr(mine()), "--out", str(folder / "both.png")],
        ["compare", repr(alone.renamed("centred")).replace(alone.shows, alone.shows), repr(mine()), "--out",
         str(folder / "alone")],
        ["compare", repr(mine()), repr(mine("mine (2)")), "--out", str(folder / "twins")],
    ]  # fmt: skip


def test_swings_keep_their_names_in_what_is_made(page: Page, ran: list[list[str]]) -> None:
    given = ("mine, changed", "Jürgen, changed", "a/b: c?", "con", "...")
    for name in given:
        saved(page, "picture", "one", {**MINE, "name": name}, replace=True)
    made = ("mine, changed", "Jürgen, changed", "a-b- c-", "swing", "swing")
    assert [command[1] for command in ran] == [repr(mine(name)) for name in made]


def test_what_is_saved_goes_on_to_impact_where_the_page_does(page: Page, folder: Path, ran: list[list[str]]) -> None:
    asked = {"name": "mine", "values": {"impact": {"sway_cm": -3.0}, "head": {"up_cm": 1.0}}}
    for kind in ("page", "film", "picture", "sheet", "preset"):
        saved(page, kind, "on", asked, through="impact")
    assert [(command[0], command[1:3] == ["--through", "impact"]) for command in ran] == [
        ("compare", True), ("film", True), ("strip", True), ("sheet", False),
    ]  # fmt: skip
    kept = load(str(folder / "on.toml"))
    assert kept.section("impact") == {"sway_cm": -3.0} and kept.section("head") == {"up_cm": 1.0}
    sentence = page.refused("save", {"as": "film", "name": "x", "setups": [MINE], "through": "finish"})
    assert "through was" in sentence


def test_nothing_of_a_swing_whose_club_does_not_pass_the_ball_is_kept_through_impact(
    page: Page, folder: Path, ran: list[list[str]]
) -> None:
    past = {"name": "past", "values": {"impact": {"hip_turn_deg": 150.0}}}
    with pytest.raises(TurnstillError) as refusal:
        struck(SaveMessage.model_validate({"as": "preset", "name": "x", "setups": [past]}).setups[0].setup())
    for kind in ("preset", "page", "film", "picture"):
        setups = [MINE, past] if kind in ("page", "film") else [past]
        sentence = page.refused("save", {"as": kind, "name": "past", "setups": setups, "through": "impact"})
        assert sentence == str(refusal.value) and "[impact]" not in sentence and "at impact" in sentence
    assert not ran and not list(folder.iterdir())
    # Up to the top it is a swing, and a record is of the golfer alone.
    saved(page, "picture", "past", past)
    assert [command[0] for command in ran] == ["strip"]
    saved(
        page,
        "student record",
        "bo",
        {**past, "values": {**past["values"], "body": {"mass_kg": 81.0}}},
        through="impact",
    )


def test_a_record_keeps_nothing_of_a_swing(page: Page, ran: list[list[str]]) -> None:
    asked = {"values": {"impact": {"sway_cm": -3.0}, "head": {"up_cm": 1.0}, "body": {"mass_kg": 81.0}}}
    saved(page, "student record", "bo", asked)
    assert ran[0][:2] == ["record", "body"] and ran[0][3:] == ["--set", "mass=81.0"]


def test_a_picture_is_drawn_by_the_command_itself(page: Page, folder: Path) -> None:
    assert saved(page, "picture", "drawn") == f"The picture is {folder}/drawn.png."
    assert (folder / "drawn.png").read_bytes().startswith(b"\x89PNG")
    assert [path.name for path in folder.iterdir()] == ["drawn.png"]


def test_a_record_is_begun_and_goes_on(page: Page, folder: Path) -> None:
    told = saved(page, "student record", "anna", entry={"piece": "tilt", "felt": "10", "note": "against a wall"})
    assert told == f"{folder}/anna.turnstill has a new entry and keeps this body and address."
    kept = kept_of(str(folder / "anna.turnstill"))
    assert kept == {
        "lead_flare_deg": 12.0, "stature_cm": 180.0, "sex": "female", "handedness": "left", "thigh_cm": 41.5,
        "lead_hip_flexion_deg": 110.0,
    }  # fmt: skip
    other = {"values": {"body": {"stature_cm": 165.0}}}
    assert "is there already" in page.refused("save", {"as": "student record", "name": "anna", "setups": [other]})
    saved(page, "student record", "anna", other, entry={"piece": "sway", "felt": "1"})
    assert kept_of(str(folder / "anna.turnstill")) == kept
    wrong = {"as": "student record", "name": "anna", "setups": [other], "entry": {"piece": "swagger"}}
    assert "swagger" in page.refused("save", wrong)
    assert "nothing yet" in page.refused("save", {"as": "student record", "name": "bo", "setups": [{}]})
    assert [path.name for path in folder.iterdir()] == ["anna.turnstill"]


def test_what_a_command_has_against_it_is_told(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep = Saving(folder)
    with pytest.raises(TurnstillError, match=r"^There is no preset or file \"nothing\""):
        keep._run(["simulate", "nothing"])
    monkeypatch.setattr(saving, "_PACKAGE", "turnstill_that_is_not_there")
    with pytest.raises(TurnstillError, match=r"ended before it was done: nothing was written\.$"):
        keep._run(["simulate", "centred"])


def test_files_in_the_folder_are_no_part_of_the_program(folder: Path) -> None:
    (folder / "numpy.py").write_text("raise SystemExit(99)")
    Saving(folder)._run(["simulate", "centred", "--frames", "2", "--json", str(folder / "a.json")])
    assert (folder / "a.json").exists()


def message(kind: str) -> SaveMessage:
    return SaveMessage.model_validate({"as": kind, "name": "mine", "setups": [MINE]})


def test_one_thing_at_a_time_and_an_end_leaves_nothing_half_written(folder: Path) -> None:
    keep, said = Saving(folder), []

    def film() -> None:
        try:
            keep.save(message("film"))
        except TurnstillError as wrong:
            said.append(str(wrong))

    work = threading.Thread(target=film)
    work.start()
    end = time.monotonic() + 60
    while not list(folder.iterdir()) and time.monotonic() < end:  # The film's hidden part.
        time.sleep(0.05)
    with pytest.raises(TurnstillError, match="saved already"):
        keep.save(message("preset"))
    keep.stop()
    work.join(60)
    assert not work.is_alive() and not list(folder.iterdir())
    assert said and said[0].startswith("That was ended before it was done")
    # What begins after the end is ended as well.
    with pytest.raises(TurnstillError, match="ended before"):
        keep.save(message("picture"))
    assert not list(folder.iterdir())


def test_the_program_is_run_by_the_same_python(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[Any] = []

    class Done:
        returncode = 0

        def __init__(self, command: Any, **named: Any) -> None:
            seen.append((command, named["cwd"], named["stdin"]))

        def communicate(self, timeout: float) -> tuple[None, bytes]:
            return None, b""

    monkeypatch.setattr(subprocess, "Popen", Done)
    Saving(folder)._run(["film", "a.toml"])
    ((command, cwd, stdin),) = seen
    assert command[0] == sys.executable and command[-2:] == ["film", "a.toml"]
    assert cwd == folder.resolve() and stdin == subprocess.DEVNULL
