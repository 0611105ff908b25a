"""The ``diagnose`` command: known faults are named, units and hands do not matter, and nonsense is refused in words."""

from __future__ import annotations

import functools
import json
import re
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from turnstill.model.films.readings import READINGS
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.cli import app
from turnstill.scenes.compare.causes import causes, head_at_top
from turnstill.scenes.diagnose.readings import KINDS
from turnstill.scenes.setups.reports import numbers_at
from turnstill.scenes.words.feels import FEELS, HURT
from turnstill.scenes.words.units import CM_PER_INCH

RUNNER = CliRunner()
KEYS = {"each_piece", "largest", "candidates", "cannot_tell_apart", "measure_next", "fits", "feel"}
A_FILM = ("--head-toward-target-cm", "-6", "--head-up-cm", "0.5", "--head-sd-cm", "1", "--shoulder-turn-deg", "88")


def ask(*arguments: str) -> dict:
    """The JSON of a diagnosis."""
    return json.loads(printed(*arguments))


@functools.cache
def printed(*arguments: str) -> str:
    """What a diagnosis prints, each asking once."""
    done = RUNNER.invoke(app, ["diagnose", *arguments, "--json", "-"])
    assert done.exit_code == 0, done.output
    return done.stdout


def options_of(performed, preset: str, *settings: str) -> list[str]:
    """What films of a preset's swing would show, as options."""
    swing = performed(preset, *settings, frames=2).swing
    first, last = (numbers_at(swing, k) for k in (0, -1))
    values = {name: last.get(f"{name}_{unit}") for name, unit in READINGS.items() if name != "inclination_change"}
    values["inclination_change"] = last["inclination_down_the_line_deg"] - first["inclination_down_the_line_deg"]
    return [
        part
        for name, unit in READINGS.items()
        for part in (f"--{name.replace('_', '-')}-{unit}", f"{values[name]:.4f}")
    ]


def by_piece(report: dict, key: str = "probability") -> dict[str, float]:
    return {one["piece"]: one[key] for one in report["each_piece"]}


@pytest.mark.parametrize(
    ("preset", "piece", "amount"),
    [
        ("too-much-tilt", "tilt", 10.0),
        ("too-little-tilt", "tilt", -10.0),
        ("too-much-extension", "extension", 10.0),
        ("too-little-extension", "extension", -10.0),
    ],
)
def test_a_presets_fault_is_named_and_its_opposite_advised(performed, preset, piece, amount) -> None:
    report = ask(*options_of(performed, preset))
    assert report["fits"] and report["largest"] == piece and piece in report["candidates"]
    found = next(one for one in report["each_piece"] if one["piece"] == piece)
    assert found["low"] < amount < found["high"]
    feel = report["feel"]
    assert feel["piece"] == piece and feel["amount"] * amount < 0.0
    assert feel["amount"] == pytest.approx(-found["most_likely"])
    # Taken back, the head is nearer to its place: by about all of what it is off.
    heads = [f"{way}_cm" for way in ("head_toward_target", "head_up", "head_toward_ball")]
    read = {one["reading"]: one["value"] - one["without_a_fault"] for one in report["readings"]}
    off = np.array([read[name.removesuffix("_cm")] for name in heads])
    left = off + np.array([feel["alone_it_would_change"][name] for name in heads])
    assert np.linalg.norm(left) < 0.3 * np.linalg.norm(off)
    words = " ".join(report["sentences"])
    assert feel["do"] in words and feel["caution"] in words and "Film it again" in words


def test_the_feel_changes_the_film_the_way_its_words_say(performed) -> None:
    tilt, extension = (
        ask(*options_of(performed, preset))["feel"]["alone_it_would_change"]
        for preset in ("too-much-tilt", "too-little-extension")
    )
    assert tilt["shoulder_plane_deg"] < -1.0, "the shoulder line slopes less steeply"
    assert tilt["head_up_cm"] > 0.5
    assert extension["head_toward_target_cm"] > 1.0
    assert extension["lean_face_on_deg"] < -1.0


@pytest.mark.parametrize("sharp", [(), ("--head-sd-cm", "0.2", "--pelvis-sd-cm", "0.2", "--angle-sd-deg", "1")])
def test_compare_and_diagnose_tell_the_same_of_sway(performed, sharp) -> None:
    """Where the head would be without it, everything else as it was, tilt and extension in degrees included."""
    centred, sway = performed("centred", frames=2), performed("sway", frames=2)
    put_back = next(cause for cause in causes(centred, sway) if cause.name == "sway")
    moved = put_back.left - head_at_top(sway.swing)
    feel = ask(*options_of(performed, "sway"), *sharp)["feel"]
    assert feel["piece"] == "sway"
    ways = ("head_toward_ball_cm", "head_toward_target_cm", "head_up_cm")
    assert [feel["alone_it_would_change"][way] for way in ways] == pytest.approx(moved, abs=0.3)
    # About 0.6 cm of head for each centimetre of hips, and a trunk left with what held the head over hips that went.
    assert moved[1] == pytest.approx(0.6 * 5.0, abs=0.3)


def test_the_trunk_that_stays_is_said_to_have_more_than_holds_the_head(performed) -> None:
    """A sway of 5 cm whose head is held all the same: over hips put back it is too much extension."""
    held = performed("centred", "sway=5", frames=2).swing.steady["extension"][-1]
    due = performed("centred", frames=2).swing.steady["extension"][-1]
    more = float(np.degrees(held - due))
    assert more > 2.0
    report = ask(*options_of(performed, "centred", "sway=5"))
    feel = report["feel"]
    assert feel["piece"] == "sway" and feel["leaves_extension_deg"] == pytest.approx(more, abs=1.0)
    assert feel["brings_head_back_cm"] < -2.0
    assert report["sentences"][0].startswith("The head is no reason to change sway")
    assert f"{feel['leaves_extension_deg']:.1f}° more extension" in report["sentences"][1]


def test_hips_sideways_is_asked_for_where_sway_or_extension_moved_the_head() -> None:
    report = ask(*A_FILM, "--angle-sd-deg", "4")
    assert {"sway", "extension"} <= set(report["candidates"])
    assert report["measure_next"] == "pelvis_toward_target"
    assert "first read pelvis toward the target (face-on)" in report["sentences"][0]


def test_hands_and_units_do_not_matter() -> None:
    plain = ask(*A_FILM)
    left = ask(*A_FILM, "--left-handed")
    assert left["body"]["handedness"] == "left"
    assert left["sentences"] == plain["sentences"] and left["each_piece"] == plain["each_piece"]
    others = (
        ("--read", f"head_toward_target={-6 / CM_PER_INCH!r}in", "--read", "head_up=5mm"),
        ("--read", "head-toward-target=-0.375hw", "--read", "head_up_cm=0.5", "--head-width-cm", "16"),
        ("--read", "head_toward_target=-0.3hl", "--read", "head_up=+0.005m", "--head-length-cm", "20"),
    )
    for other in others:
        report = ask(*other, *A_FILM[4:])
        assert [one["value"] for one in report["readings"]] == pytest.approx([-6.0, 0.5, 88.0])
        assert by_piece(report) == pytest.approx(by_piece(plain), abs=1e-6)
    assert ask(*A_FILM, "--inches")["sentences"] == plain["sentences"], "the JSON is metric"


def test_the_heads_size_is_stated_where_it_is_used() -> None:
    shown = RUNNER.invoke(app, ["diagnose", "--read", "head_toward_target=-0.4hw", "--stature-cm", "180"])
    assert shown.exit_code == 0
    assert "ANSUR II" in shown.stdout
    report = ask("--read", "head_toward_ball=0.2hw", "--head-up-cm", "0")
    assert any("write hl" in line for line in report["warnings"])
    assert not any("head width" in line for line in ask(*A_FILM)["warnings"])


def test_the_json_keeps_its_keys_and_its_numbers_are_probabilities() -> None:
    report = ask(*A_FILM, "--angle-sd-deg", "4")
    assert set(report) >= KEYS
    assert {one["piece"] for one in report["each_piece"]} == set(DEPARTURES)
    for one in report["each_piece"]:
        assert set(one) >= {"piece", "probability", "most_likely", "low", "high", "unit"}
        assert 0.0 <= one["probability"] <= 1.0
        assert one["low"] <= one["most_likely"] <= one["high"]
    largest = by_piece(report, "largest_probability")
    assert sum(largest.values()) == pytest.approx(1.0, abs=1e-5)
    assert report["largest"] == max(largest, key=largest.__getitem__) == report["candidates"][0]
    assert sum(largest[piece] for piece in report["candidates"]) >= 0.9 - 1e-6
    for pair in report["cannot_tell_apart"]:
        assert len(pair) == 2 and set(pair) <= set(DEPARTURES)
    assert report["measure_next"] is None or report["measure_next"] in READINGS
    read = {one["reading"] for one in report["readings"]}
    assert report["measure_next"] not in read
    assert not read & {one["reading"] for one in report["told_apart_by"]}


@pytest.mark.parametrize("slipped", ["head_toward_target", "head_up"])
def test_a_reading_ten_times_too_large_is_found_out(performed, slipped) -> None:
    options = options_of(performed, "too-much-tilt")[:4] + options_of(performed, "too-much-tilt")[16:18]
    place = options.index(f"--{slipped.replace('_', '-')}-cm") + 1
    right = float(options[place])
    options[place] = str(10.0 * right if abs(right) > 3.0 else 60.0)
    report = ask(*options)
    assert not report["fits"]
    assert report["feel"] is None and report["measure_next"] is None
    words = " ".join(report["sentences"])
    assert "Nothing the body can do fits" in words and "unit" in words
    assert "What to do" not in words
    assert not any(" is at fault" in line for line in report["sentences"])
    if abs(right) > 3.0:
        assert report["check"]["slip"] == "tenfold" and report["check"]["readings"] == [slipped]
        mended = ask(*[*options[:place], str(right), *options[place + 1 :]])
        assert mended["fits"] and mended["check"] is None


def test_a_still_head_is_told_and_a_short_turn_is_no_fault_of_extension(performed) -> None:
    report = ask("--head-toward-target-cm", "0", "--head-up-cm", "0.3")
    words = " ".join(report["sentences"])
    assert report["head_still"] and report["feel"] is None
    assert "did not move" in words and "no fault" in words and "No piece stands out" in words
    short = ask(*options_of(performed, "centred", "shoulder_turn=70"))
    extension = next(one for one in short["departures"] if one["piece"] == "extension")
    assert abs(extension["from_what_holds_the_head"]) < 3.0 < -extension["from_centred"]
    assert "that is no fault of extension" in " ".join(short["sentences"])
    assert "extension" not in short["candidates"]


def test_a_lone_reading_says_how_little_it_tells_and_no_feel_comes_of_it() -> None:
    for lone in (("--head-toward-target-cm", "-9"), ("--hip-turn-deg", "20", "--sd", "hip_turn=1")):
        report = ask(*lone)
        words = " ".join(report["sentences"])
        assert report["feel"] is None
        assert "No feel is advised on one reading alone, since nothing checks it" in words and "tells little" in words


@pytest.mark.parametrize(
    "read",
    ["head_up=-3", "head_toward_target=-6", "hip_turn=20", "hip_turn=42", "shoulder_turn=110", "pelvis_toward_ball=5",
     "shoulder_plane=50", "belt_line_tilt=-5", "impact.hip_turn=-20", "impact.head_up=3",
     "impact.inclination_change=-10"],
)  # fmt: skip
def test_what_is_said_of_a_lone_reading_does_not_quarrel(read: str) -> None:
    lines = ask("--read", read)["sentences"]
    named = any(" is at fault with a probability of " in line for line in lines)
    assert sum("tells little" in line for line in lines) == 1
    assert any(line.startswith("Of the rest this one reading") for line in lines) == named
    assert any(line.startswith("No piece stands out") for line in lines) != named
    assert not any("departs furthest" in line for line in lines)


def test_what_moved_a_head_where_nothing_is_at_fault_is_told() -> None:
    report = ask("--head-toward-target-cm", "-4", "--head-up-cm", "0.3")
    assert report["likeliest_at_fault"] == []
    departures = {one["piece"]: one["from_what_holds_the_head"] for one in report["departures"]}
    (told,) = [line for line in report["sentences"] if "hardly larger than everybody's" in line]
    assert f"extension {-departures['extension']:.1f}° less" in told
    assert "hip turn" not in told and abs(departures["hip_turn"]) < 1.0


def test_only_the_uncertainties_that_were_taken_are_told() -> None:
    (note,) = [line for line in ask("--head-up-cm", "-2")["warnings"] if "No uncertainty" in line]
    assert "1 cm was taken" in note and "4°" not in note
    (note,) = [line for line in ask("--hip-turn-deg", "40")["warnings"] if "No uncertainty" in line]
    assert "4° was taken" in note and "cm" not in note


def test_without_a_fault_there_is_no_feel(performed) -> None:
    report = ask(*options_of(performed, "centred"))
    assert report["fits"] and report["feel"] is None
    assert "No piece stands out" in " ".join(report["sentences"])
    for one in report["readings"]:
        assert one["value"] == pytest.approx(one["without_a_fault"], abs=0.3)


def test_what_is_set_changes_the_turn_that_is_counted_from() -> None:
    read = ("--hip-turn-deg", "28", "--head-toward-target-cm", "0", "--head-up-cm", "0")
    plain, own = ask(*read), ask(*read, "--set", "hip_turn=28")
    assert by_piece(plain)["hip_turn"] > 0.8 > 0.3 > by_piece(own)["hip_turn"]
    assert plain["counted_from_centred"] and not own["counted_from_centred"]
    made = next(one for one in own["departures"] if one["piece"] == "hip_turn")
    assert abs(made["from_what_holds_the_head"]) < 2.0 and made["from_centred"] < -13.0


def test_uncertainties_are_those_that_were_given() -> None:
    report = ask(
        "--head-up-cm", "1", "--pelvis-toward-ball-cm", "1", "--hip-turn-deg", "40", "--shoulder-turn-deg", "80",
        "--head-sd-cm", "2", "--angle-sd-deg", "5", "--sd", "hip_turn=7deg", "--sd", "pelvis_toward_ball=0.5in",
    )  # fmt: skip
    sd = {one["reading"]: one["sd"] for one in report["readings"]}
    assert sd == pytest.approx({"head_up": 2.0, "pelvis_toward_ball": 1.27, "hip_turn": 7.0, "shoulder_turn": 5.0})
    assert not any("No uncertainty" in line for line in report["warnings"])
    usual = ask("--head-up-cm", "1", "--hip-turn-deg", "40")
    assert [one["sd"] for one in usual["readings"]] == [1.0, 4.0]
    assert any("No uncertainty" in line for line in usual["warnings"])


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), "at least one reading"),
        *((("--head-up-cm", number), "must be a number between") for number in ("nan", "inf", "1e300")),
        (("--shoulder-turn-deg", "900"), "between -180 and 180 deg"),
        (("--read", "head_up=nan"), "must be a number"),
        (("--read", "head_up=1e999"), "must be a number between"),
        (("--read", "head_up=0,4in"), "a point in place of the comma"),
        (("--read", "head_up=4deg"), "a number in cm, or as much in mm, m, in, ft, hw or hl"),
        (("--read", "hip_turn=4cm"), "must be a number in deg."),
        (("--read", "hip_turn=4hw"), "must be a number in deg."),
        (("--hip-turn-deg", "4hl"), "must be a number in deg."),
        (("--head-up-cm", "1", "--angle-sd-deg", "1hw"), "must be a number in deg."),
        (("--read", "head_up_cm=4kg"), "a number in cm, or as much"),
        (("--head-up-cm", "4°"), "a number in cm, or as much"),
        (("--head-up-cm", "1", "--head-width-cm", "6lb"), "a number in cm, or as much"),
        (("--read", "head_up"), "NAME=VALUE"),
        (("--read", "shoulder_trun=88"), "Did you mean shoulder_turn"),
        (("--head-up-cm", "1", "--sd", "hed_up=1"), "Did you mean head_up"),
        (("--head-up-cm", "1", "--read", "head_up=0.4in"), "given twice"),
        (("--head-up-cm", "1", "--head-up-cm", "2"), "given twice"),
        (("--head-up-cm", "1", "--sd", "head_up=1", "--sd", "head_up=2"), "twice"),
        (("--head-up-cm", "1", "--head-sd-cm", "0"), "uncertainty must be between"),
        (("--head-up-cm", "1", "--head-sd-cm", "nan"), "uncertainty must be between"),
        (("--head-up-cm", "1", "--sd", "head_up=-1"), "uncertainty must be between"),
        (("--head-up-cm", "1", "--head-width-cm", "0"), "a head is between"),
        (("--head-up-cm", "1", "--set", "tilt=40"), "set tilt=steady"),
        (("--head-up-cm", "1", "--out", "no/such/place"), "make it first"),
        (("--head-up-cm", "1", "--json", "no/such/place.json"), "make it first"),
        (("nobody", "--head-up-cm", "1"), "There is no preset or file"),
    ],
)  # fmt: skip
def test_nonsense_is_one_sentence_and_writes_nothing(arguments, words, tmp_path: Path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    own = () if {"--json", "--out"} & set(arguments) else ("--out", "page", "--json", "numbers.json")
    done = RUNNER.invoke(app, ["diagnose", *arguments, *own])
    assert done.exit_code == 2
    assert words in done.stderr and done.stderr.count("\n") == 1 and done.stderr.startswith("turnstill: ")
    assert not done.stdout
    assert not any(tmp_path.iterdir())


@pytest.mark.filterwarnings("error")
def test_the_farthest_readings_are_answered_without_a_murmur() -> None:
    report = ask("--head-up-cm", "200", "--head-toward-target-cm", "-200", "--head-sd-cm", "0.01")
    assert not report["fits"] and report["feel"] is None


def test_an_aim_beyond_steady_is_pointed_out() -> None:
    report = ask("too-much-tilt", *A_FILM)
    assert any("aims at tilt steady+10" in line for line in report["warnings"])


def test_every_reading_has_its_option_and_every_piece_its_words() -> None:
    done = RUNNER.invoke(app, ["diagnose", "--help"], env={"COLUMNS": "200"})
    for name, unit in READINGS.items():
        assert f"--{name.replace('_', '-')}-{unit} " in done.stdout
    assert re.search(r"--head-width-cm +CM ", done.stdout) and re.search(r"--head-length-cm +CM ", done.stdout)
    assert set(KINDS) == set(READINGS)
    assert set(FEELS) == set(HURT) == set(DEPARTURES)
    told = [word for both in FEELS.values() for feel in both for word in (feel.what, feel.do)]
    assert len(set(told)) == len(told)


def test_the_table_fits_a_terminal_of_a_hundred_columns() -> None:
    done = RUNNER.invoke(app, ["diagnose", *A_FILM, "--inches"], env={"COLUMNS": "100"})
    # What is to be copied stays in one line, whatever it takes.
    lines = [line for line in done.stdout.splitlines() if ": turnstill " not in line]
    assert done.exit_code == 0 and max(map(len, lines)) <= 100
    assert re.search(r"^ *extension +\d+%", done.stdout, re.M)
