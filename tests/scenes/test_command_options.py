"""Every option of every command reaches the argument that it is named after, and nothing else."""

from __future__ import annotations

import importlib
import inspect
from dataclasses import dataclass
from typing import Any

import pytest
import typer
from typer.testing import CliRunner

from turnstill.model.errors import TurnstillError
from turnstill.scenes.cli import app
from turnstill.scenes.delivery import written
from turnstill.scenes.delivery.terminal import say
from turnstill.scenes.read.by_hand import ByHand
from turnstill.scenes.read.keeping import Keeping
from turnstill.scenes.setups.options import fail, spoken_errors, with_body

RUNNER = CliRunner()
BODY = ("--stature", "171", "--mass", "72", "--sex", "female", "--left-handed")
OWN = ["stature=171", "mass=72", "sex=female", "handedness=left", "hip_turn=1", "sway=2"]
SET = ("--set", "hip_turn=1", "--set", "sway=2")
STUDENT = ("--student", "anna.turnstill")
KEPT = ["kept of anna.turnstill"]
WRITTEN: dict[str, Any] = {"json_file": "a.json", "inches": True}
NOT_WRITTEN: dict[str, Any] = {"json_file": None, "inches": False}
WRITE = ("--json", "a.json", "--inches")
THROUGH = ("--through", "impact")
READINGS = (
    "head_toward_target_cm", "head_up_cm", "head_toward_ball_cm", "pelvis_toward_target_cm", "pelvis_toward_ball_cm",
    "inclination_change_deg", "lean_face_on_deg", "shoulder_plane_deg", "shoulder_turn_deg", "hip_turn_deg",
    "lead_knee_flex_deg", "trail_knee_flex_deg", "belt_line_tilt_deg",
)  # fmt: skip
ENTRY = ("date", "piece", "felt", "got", "got_sd", "head_toward_target_cm", "head_toward_ball_cm", "head_up_cm",
         "head_sd_cm", "inclination_change_deg", "note")  # fmt: skip


def options(*names: str) -> tuple[str, ...]:
    """Each option with its own name as its value."""
    return tuple(part for name in names for part in (f"--{name.replace('_', '-')}", f"for {name}"))


@dataclass(frozen=True)
class Case:
    """What one types, the work it comes to, and that work's arguments by name."""

    typed: tuple[str, ...]
    work: str
    given: dict[str, Any]


ALL = [
    Case(
        ("simulate", "own", *SET, "--frames", "7", *BODY, *STUDENT, "--csv", "a.csv", *THROUGH, *WRITE),
        "simulate.work.simulate_to",
        {"preset_or_file": "own", "settings": [*KEPT, *OWN], "frames": 7, "csv_file": "a.csv", "through": "impact",
         **WRITTEN},
    ),
    Case(
        ("compare", "one", "two", *SET, "--frames", "7", *BODY, *STUDENT, "--out", "there", "--views", "above",
         *THROUGH, "--inches"),
        "compare.work.compare_to",
        {"names": ["one", "two"], "settings": [*KEPT, *OWN], "frames": 7, "out": "there", "views": "above",
         "through": "impact", "inches": True},
    ),
    Case(
        ("shares", "own", "--against", "other", *SET, "--frames", "7", *BODY, *STUDENT, "--out", "there", *WRITE),
        "shares.work.shares_to",
        {"preset_or_file": "own", "settings": [*KEPT, *OWN], "frames": 7, "against": "other", "out": "there",
         **WRITTEN},
    ),
    Case(
        ("map", "own", "--x", "sway", "--y", "tilt", "--size", "9", "--x-from", "1", "--x-to", "2", "--y-from", "3",
         "--y-to", "4", *SET, *BODY, *STUDENT, "--out", "there", *WRITE),
        "map.work.map_to",
        {"preset_or_file": "own", "settings": [*KEPT, *OWN], "x": "sway", "y": "tilt", "size": 9,
         "x_range": ("1", "2"), "y_range": ("3", "4"), "out": "there", **WRITTEN},
    ),
    Case(
        ("experiment", "lead_flare", "own", "--from", "1", "--to", "2", "--steps", "3", *SET, *BODY, *STUDENT, "--out",
         "there", "--no-pictures", "--views", "above", *WRITE),
        "experiment.work.experiment_to",
        {"name": "lead_flare", "first": "1", "last": "2", "steps": 3, "preset_or_file": "own",
         "settings": [*KEPT, *OWN], "out": "there", "pictures": False, "views": "above", **WRITTEN},
    ),
    Case(
        ("diagnose", "own", *options(*READINGS), "--read", "a=1", "--read", "b=2",
         *options("head_sd_cm", "pelvis_sd_cm", "angle_sd_deg"), "--sd", "c=3", "--head-width-cm", "16",
         "--head-length-cm", "23", *SET, *BODY, *STUDENT, "--out", "there", *WRITE),
        "diagnose.work.diagnose_to",
        {"preset_or_file": "own", "settings": [*KEPT, *OWN],
         "options": {name.removesuffix("_cm").removesuffix("_deg"): [f"for {name}"] for name in READINGS},
         "read": ["a=1", "b=2"],
         "group_sd": {"head": "for head_sd_cm", "pelvis": "for pelvis_sd_cm", "angle": "for angle_sd_deg"},
         "sd": ["c=3"], "head_width_cm": "16", "head_length_cm": "23", "out": "there", **WRITTEN},
    ),
    Case(
        ("film", "one", "two", "--views", "face-on", "--out", "there", "--seconds", "2.5", "--size", "640x480", *SET,
         *BODY, *STUDENT, *THROUGH),
        "film.work.film_to",
        {"names": ["one", "two"], "settings": [*KEPT, *OWN], "views": "face-on", "out": "there", "seconds": 2.5,
         "size": "640x480", "through": "impact"},
    ),
    Case(
        ("film", "one", "--plain", "--seed", "7", "--fps", "30", "--tracks", "--views", "face-on", "--out", "there",
         "--size", "640x480", *SET, *BODY, *STUDENT),
        "film.plain.plain_to",
        {"names": ["one"], "settings": [*KEPT, *OWN], "views": "face-on", "out": "there", "size": "640x480", "seed": 7,
         "fps": 30.0, "tracks": True},
    ),
    Case(
        ("read", "a.csv", "b.csv", "--stature", "171", "--sex", "female", "--right-handed", "--face-on-frames", "1,2",
         "--down-the-line-frames", "3,4", "--fps", "30", "--size", "640x480", "--face-detector", "--detector", "own",
         "--no-cache", "--read", "impact.head_up=1", "--sd", "impact.head_up=2", "--head-sd-cm", "3", "--pelvis-sd-cm",
         "4", "--angle-sd-deg", "5", "--out", "there", "--record", "a.turnstill",
         *options("date", "piece", "felt", "note"), *WRITE),
        "read.work.read_to",
        {"face_on": "a.csv", "down_the_line": "b.csv", "stature": "171", "sex": "female", "left_handed": False,
         "frames": {"face_on": "1,2", "down_the_line": "3,4"}, "fps": 30.0, "size": "640x480", "face_detector": True,
         "detector": "own", "cache": False, "out": "there",
         "by_hand": ByHand(["impact.head_up=1"], ["impact.head_up=2"], {"head": "3", "pelvis": "4", "angle": "5"}),
         "keeping": Keeping("a.turnstill", {name: f"for {name}" for name in ("date", "piece", "felt", "note")}),
         **WRITTEN},
    ),
    Case(
        ("strip", "one", "two", "--moments", "4", "--views", "face-on", "--out", "there", *SET, *BODY, *STUDENT,
         *THROUGH),
        "film.strip.strip_to",
        {"names": ["one", "two"], "settings": [*KEPT, *OWN], "moments": 4, "views": "face-on", "out": "there",
         "through": "impact"},
    ),
    Case(
        ("sheet", "own", "--feel", "tilt", "--feel", "sway=-2", "--felt", "4", *SET, *BODY, *STUDENT, "--out", "there",
         *WRITE),
        "sheet.work.sheet_to",
        {"preset_or_file": "own", "settings": [*KEPT, *OWN], "feel": ["tilt", "sway=-2"], "felt": "4", "out": "there",
         **WRITTEN},
    ),
    Case(
        ("export", "own", *options("glb", "trc", "c3d", "bvh"), "--seconds", "2.5", *SET, "--frames", "7", *BODY,
         *STUDENT, *THROUGH),
        "export.work.export_to",
        {"name": "own", "settings": [*KEPT, *OWN], "frames": 7,
         "files": {".glb": "for glb", ".trc": "for trc", ".c3d": "for c3d", ".bvh": "for bvh"}, "seconds": 2.5,
         "through": "impact"},
    ),
    Case(
        ("live", "one", "two", "--out", "there", "--port", "81", "--host", "::1", "--no-browser", *SET, *BODY,
         *STUDENT, *THROUGH),
        "live.work.live_to",
        {"names": ["one", "two"], "settings": [*KEPT, *OWN], "out": "there", "port": 81, "host": "::1",
         "browser": False, "through": "impact"},
    ),
    Case(
        ("record", "add", "a.turnstill", "--read", "impact.head_up=1", "--sd", "impact.head_up=2",
         *options(*ENTRY), "--again"),
        "record.work.add_given_to",
        {"target": "a.turnstill", "given": {name: f"for {name}" for name in ENTRY}, "read": ["impact.head_up=1"],
         "sd": ["impact.head_up=2"], "again": True},
    ),
    Case(
        ("record", "add", "a.turnstill", "--csv", "b.csv"),
        "record.work.add_csv_to",
        {"target": "a.turnstill", "file": "b.csv"},
    ),
    Case(
        ("record", "body", "a.turnstill", *BODY, *SET, "--forget", "thigh", "--forget", "sex", "--inches"),
        "record.body.body_to",
        {"target": "a.turnstill", "settings": OWN, "forget": ["thigh", "sex"], "inches": True},
    ),
    Case(
        ("record", "show", "a.turnstill", "--swing", "own", *BODY, *SET, "--csv", "b.csv", "--out", "there", *WRITE),
        "record.work.show_to",
        {"target": "a.turnstill", "swing": "own", "settings": OWN, "csv_file": "b.csv", "out": "there",
         **WRITTEN},
    ),
    Case(
        ("record", "next", "a.turnstill", "--swing", "own", "--piece", "tilt", "--missing", "1", "--missing-sd", "2",
         *BODY, *SET, *WRITE),
        "record.work.next_to",
        {"target": "a.turnstill", "swing": "own", "settings": OWN, "piece": "tilt", "missing": "1",
         "missing_sd": "2", **WRITTEN},
    ),
]  # fmt: skip
NONE = [
    Case(("simulate", "own"), "simulate.work.simulate_to",
         {"preset_or_file": "own", "settings": [], "frames": 41, "csv_file": None, "through": "top",
          **NOT_WRITTEN}),
    Case(("compare", "one", "two"), "compare.work.compare_to",
         {"names": ["one", "two"], "settings": [], "frames": 41, "out": None, "views": None,
          "through": "top", "inches": False}),
    Case(("shares", "own"), "shares.work.shares_to",
         {"preset_or_file": "own", "settings": [], "frames": 41, "against": "steady", "out": None, **NOT_WRITTEN}),
    Case(("map", "own"), "map.work.map_to",
         {"preset_or_file": "own", "settings": [], "x": "tilt", "y": "extension", "size": 61, "x_range": (None, None),
          "y_range": (None, None), "out": None, **NOT_WRITTEN}),
    Case(("experiment", "lead_flare", "--from", "1", "--to", "2"), "experiment.work.experiment_to",
         {"name": "lead_flare", "first": "1", "last": "2", "steps": None, "preset_or_file": "centred", "settings": [],
          "out": None, "pictures": True, "views": None, **NOT_WRITTEN}),
    Case(("diagnose",), "diagnose.work.diagnose_to",
         {"preset_or_file": "centred", "settings": [],
          "options": {name.removesuffix("_cm").removesuffix("_deg"): [] for name in READINGS}, "read": [],
          "group_sd": {"head": None, "pelvis": None, "angle": None}, "sd": [], "head_width_cm": None,
          "head_length_cm": None, "out": None, **NOT_WRITTEN}),
    Case(("film", "one"), "film.work.film_to",
         {"names": ["one"], "settings": [], "views": None, "out": None, "seconds": 4.0, "size": None,
          "through": "top"}),
    Case(("film", "one", "--plain"), "film.plain.plain_to",
         {"names": ["one"], "settings": [], "views": None, "out": None, "size": None, "seed": 0, "fps": 60.0,
          "tracks": False}),
    Case(("read", "a.csv"), "read.work.read_to",
         {"face_on": "a.csv", "down_the_line": "none", "stature": None, "sex": None, "left_handed": None,
          "frames": {"face_on": None, "down_the_line": None}, "fps": None, "size": None, "face_detector": False,
          "detector": None, "cache": True, "out": None, "keeping": None,
          "by_hand": ByHand([], [], {"head": None, "pelvis": None, "angle": None}), **NOT_WRITTEN}),
    Case(("strip", "one"), "film.strip.strip_to",
         {"names": ["one"], "settings": [], "moments": 5, "views": None, "out": None, "through": "top"}),
    Case(("sheet", "own"), "sheet.work.sheet_to",
         {"preset_or_file": "own", "settings": [], "feel": [], "felt": None, "out": None, **NOT_WRITTEN}),
    Case(("export", "own"), "export.work.export_to",
         {"name": "own", "settings": [], "frames": 41,
          "files": {".glb": None, ".trc": None, ".c3d": None, ".bvh": None}, "seconds": 1.0, "through": "top"}),
    Case(("live",), "live.work.live_to",
         {"names": [], "settings": [], "out": None, "port": 0, "host": "127.0.0.1", "browser": True,
          "through": None}),
    Case(("record", "add", "a.turnstill"), "record.work.add_given_to",
         {"target": "a.turnstill", "given": {}, "read": [], "sd": [], "again": False}),
    Case(("record", "body", "a.turnstill"), "record.body.body_to",
         {"target": "a.turnstill", "settings": [], "forget": [], "inches": False}),
    Case(("record", "show", "a.turnstill"), "record.work.show_to",
         {"target": "a.turnstill", "swing": "centred", "settings": [], "csv_file": None, "out": None,
          **NOT_WRITTEN}),
    Case(("record", "next", "a.turnstill"), "record.work.next_to",
         {"target": "a.turnstill", "swing": "centred", "settings": [], "piece": None, "missing": None,
          "missing_sd": None, **NOT_WRITTEN}),
]  # fmt: skip


@pytest.mark.parametrize("case", [*ALL, *NONE], ids=lambda case: " ".join(case.typed)[:40])
def test_what_is_typed_is_what_the_work_is_given(case: Case, monkeypatch: pytest.MonkeyPatch) -> None:
    room, name = case.work.rsplit(".", 1)
    module = importlib.import_module(f"turnstill.scenes.{room}")
    real = inspect.signature(getattr(module, name))
    calls: list[dict[str, Any]] = []

    def recorded(*given: Any, **named: Any) -> None:
        bound = real.bind(*given, **named)
        bound.apply_defaults()
        more = [name for name, one in real.parameters.items() if one.kind is one.VAR_KEYWORD]
        rest = {key: value for name in more for key, value in bound.arguments.pop(name).items()}
        calls.append(bound.arguments | rest)

    monkeypatch.setattr(module, name, recorded)
    monkeypatch.setattr("turnstill.scenes.setups.student.student_settings", lambda target: [f"kept of {target}"])
    done = RUNNER.invoke(app, list(case.typed))
    assert done.exit_code == 0, done.output
    assert calls == [case.given]


@pytest.mark.parametrize("case", ALL, ids=lambda case: " ".join(case.typed)[:40])
def test_what_a_user_can_mend_is_one_sentence_from_every_command(case: Case, monkeypatch: pytest.MonkeyPatch) -> None:
    def wrong(*_: Any, **__: Any) -> None:
        raise TurnstillError("That cannot be.")

    room, name = case.work.rsplit(".", 1)
    monkeypatch.setattr(importlib.import_module(f"turnstill.scenes.{room}"), name, wrong)
    monkeypatch.setattr("turnstill.scenes.setups.student.student_settings", lambda target: [f"kept of {target}"])
    done = RUNNER.invoke(app, list(case.typed))
    assert (done.exit_code, done.stdout, done.stderr) == (2, "", "turnstill: That cannot be.\n")


def test_a_bodys_options_win_over_a_students_record_and_set_over_both(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("turnstill.scenes.setups.student.student_settings", lambda target: [f"kept of {target}"])
    assert with_body(["hip_turn=1"], "171", "72", "female", True, "a") == ["kept of a", *OWN[:5]]
    assert with_body(None, None, None, None, False) == []
    one = [with_body(None, *given) for given in (("171", None, None, False), (None, "72", None, False),
                                                 (None, None, "male", False), (None, None, None, True))]  # fmt: skip
    assert one == [["stature=171"], ["mass=72"], ["sex=male"], ["handedness=left"]]


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (("--stature", "50"), "turnstill: --stature was 50, but must be a number between 120 and 230 cm.\n"),
        (("--mass-kg", "5lb"), 'turnstill: --mass was "5lb", but must be a number between 30 and 250 kg'),
        (("--sex", "x"), 'turnstill: --sex was "x", but must be "male" or "female".\n'),
        (("--set", "Trail-Flare=99"), "turnstill: --set Trail-Flare was 99, but must be a number between -45 and 75"),
    ],
)
def test_a_refused_value_is_called_as_it_was_typed(typed: tuple[str, ...], told: str) -> None:
    done = RUNNER.invoke(app, ["simulate", "centred", *typed])
    assert done.exit_code == 2 and done.stderr.startswith(told)


@pytest.mark.parametrize(
    ("wrong", "code", "sentence"),
    [
        (TurnstillError("One thing\nis wrong."), 2, "turnstill: One thing is wrong.\n"),
        (KeyboardInterrupt(), 130, "turnstill: Interrupted; nothing was left half-written.\n"),
        (MemoryError(), 2, "turnstill: There is not enough memory for this; ask for fewer --frames.\n"),
        (RecursionError(), 2, "turnstill: The input is nested too deeply.\n"),
        (OSError(28, "No space left on device"), 2, "turnstill: The system refused: no space left on device.\n"),
        (OSError(13, "Permission denied", "here.txt"), 2,
         "turnstill: The system refused: permission denied (here.txt).\n"),
        (OSError("Odd"), 2, "turnstill: The system refused: odd.\n"),
    ],
)  # fmt: skip
def test_what_goes_wrong_is_one_sentence_and_a_status(
    wrong: BaseException, code: int, sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    @spoken_errors
    def command(what: str, *, how: str) -> None:
        """A command."""
        assert (what, how) == ("what", "how")
        raise wrong

    assert command.__doc__ == "A command."
    with pytest.raises(typer.Exit) as ended:
        command("what", how="how")
    assert ended.value.exit_code == code
    assert capsys.readouterr() == ("", sentence)


def test_a_reader_that_went_away_needs_no_word_unless_something_was_written(capsys: pytest.CaptureFixture[str]) -> None:
    @spoken_errors
    def command(*kept: str) -> None:
        for what in kept:
            written.keep(what)
        raise BrokenPipeError

    for kept in ((), ("a.json", "entry 3 in b.turnstill")):
        written.begin()
        with pytest.raises(typer.Exit) as ended:
            command(*kept)
        assert ended.value.exit_code == 1
        assert bool(kept) == ("and whole: a.json, entry 3 in b.turnstill" in capsys.readouterr().err)


def test_a_sentence_goes_to_standard_error(capsys: pytest.CaptureFixture[str]) -> None:
    say("Two  lines\n in one.")
    with pytest.raises(typer.Exit) as ended:
        fail("Wrong.")
    assert ended.value.exit_code == 2
    assert capsys.readouterr() == ("", "turnstill: Two lines in one.\nturnstill: Wrong.\n")
