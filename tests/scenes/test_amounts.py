"""Units in: an amount is what the agreement of 1959 makes of it, wherever it is taken; anything else is refused."""

from __future__ import annotations

import json
import math
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from turnstill.model.errors import TurnstillError
from turnstill.scenes.cli import app
from turnstill.scenes.record.csv import csv_entries
from turnstill.scenes.record.store import entries_of
from turnstill.scenes.setups.amounts import amount
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.quantities import entries
from turnstill.scenes.setups.settings import apply

RUNNER = CliRunner()
POUND = Fraction(45359237, 100_000_000)
"""kg, exact; an inch is 2.54 cm, exact: international yard and pound agreement of 1959."""


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [
        ("3", "cm", 3.0), ("-2.5", "deg", -2.5), ("+3cm", "cm", 3.0), ("35mm", "cm", 3.5), ("1.78 m", "cm", 178.0),
        ("-2.4in", "cm", -6.096), ("−2.4in", "cm", -6.096), ("2 inches", "cm", 5.08), ('4"', "cm", 10.16),
        ("4″", "cm", 10.16), ("6ft", "cm", 182.88), ("6'", "cm", 182.88), ("5ft10", "cm", 177.8),
        ("5'10\"", "cm", 177.8), ("5’10”", "cm", 177.8), ("5 ft 10 in", "cm", 177.8), ("5ft10.5in", "cm", 179.07),
        ("5FT10", "cm", 177.8), ("-1ft2", "cm", -35.56), ("0ft11.5", "cm", 29.21), (".5in", "cm", 1.27),
        ("170lb", "kg", 77.1107029), ("170 lbs", "kg", 77.1107029), ("80kg", "kg", 80.0),
        ("12st", "kg", 76.20351816), ("12st4", "kg", 78.01788764), ("12 st 4 lb", "kg", 78.01788764),
        ("45deg", "deg", 45.0), ("-45°", "deg", -45.0), ("1e1in", "cm", 25.4),
    ],
)  # fmt: skip
def test_an_amount_with_its_unit_is_converted_exactly(text: str, unit: str, number: float) -> None:
    found = amount(text, unit)
    assert found is not None and found[0] == number


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 8), st.integers(0, 11), st.integers(0, 30), st.integers(0, 13))
def test_feet_and_stones_are_the_nearest_float_to_the_exact_amount(ft: int, inch: int, st_: int, lb: int) -> None:
    assert amount(f"{ft}ft{inch}", "cm") == (float(Fraction(254, 100) * (12 * ft + inch)), "ft")
    assert amount(f"{st_}st{lb}", "kg") == (float(POUND * (14 * st_ + lb)), "st")
    assert amount(f"{lb}lb", "kg") == (float(POUND * lb), "lb")


@pytest.mark.parametrize(
    "text",
    ["", " ", "-", "in", "5ft-2", "5ft+2", "5ft14", "5ft12in", "5.5ft10", "5ft10lb", "5ft10ft", "5 10", "10in5ft",
     "5in10", "1,5", "1,5in", "1_0", "0x10", "５", "５ft", "２in", "--2", "2in2", "2 in ch", "2furlong", "12st",
     "170lb", "4deg", "1" * 401, "1" * 401 + "in", "5ft\n10", "5ft10\x00", "steady", "2in;", "٣"],
)  # fmt: skip
def test_what_is_no_length_is_none(text: str) -> None:
    assert amount(text, "cm") is None


def test_kinds_do_not_mix() -> None:
    for unit, texts in (("kg", ("5ft10", "12st14", "2°")), ("deg", ("5ft", "12st4", "1m"))):
        assert [amount(text, unit) for text in texts] == [None] * 3


@pytest.mark.parametrize("text", ["nan", "-NaN", "inf", "Infinity", "1e999", "-1e999in", "1e999ft", "9" * 400])
def test_what_is_not_finite_is_in_no_range(text: str) -> None:
    found = amount(text, "cm")
    assert found is None or not math.isfinite(found[0])
    for entry in entries():
        if entry.quantity:
            with pytest.raises(TurnstillError, match=rf"^--set {entry.name} was"):
                apply(load("centred"), [f"{entry.name}={text}"])


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet="0123456789.,+-−e'\"°ftinsblkgcmdeg ５", max_size=14), st.sampled_from(["cm", "kg", "deg"]))
def test_any_text_is_an_amount_or_none(text: str, unit: str) -> None:
    found = amount(text, unit)
    assert found is None or isinstance(found[0], float)


@settings(max_examples=80, deadline=None)
@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_plain_number_is_read_as_it_was_written(value: float) -> None:
    assert amount(repr(value), "cm") == (value, "")


def set_(*settings_: str) -> dict[str, dict]:
    setup = apply(load("centred"), settings_)
    return {section: dict(values) for section, values in setup.values.items()}


def test_settings_take_units() -> None:
    got = set_("stature=5ft10", "mass=12st4", "sway=-2in", "hip_turn=50°", "thigh=17in", "trail_flare_deg=5deg")
    assert got["body"]["stature_cm"] == 177.8 and got["body"]["mass_kg"] == 78.01788764
    assert got["pieces"]["sway_cm"] == -5.08 and got["pieces"]["hip_turn_deg"] == 50.0
    assert got["body.lengths_cm"]["thigh"] == 43.18 and got["address"]["trail_flare_deg"] == 5.0


@pytest.mark.parametrize(
    ("setting", "sentence"),
    [
        ("hip_turn=5ft", r'--set hip_turn was "5ft", but must be a number between \S+ and \S+ deg\.$'),
        ("sway=12st", r'--set sway was "12st", .* cm, or as much in mm, m, in or ft\.$'),
        ("mass=5ft10", r'--set mass was "5ft10", .* kg, or as much in lb or st\.$'),
        ("stature=9ft", r'--set stature was "9ft", but must be a number between .* cm'),
        ("stature=1,78m", r'--set stature was "1,78m", .* with a point in place of the comma\.$'),
        ("tilt=2in", r'--set tilt was "2in", .* deg, or "steady"'),
    ],
)
def test_a_setting_of_the_wrong_kind_is_one_sentence(setting: str, sentence: str) -> None:
    with pytest.raises(TurnstillError, match=sentence):
        apply(load("centred"), [setting])


def test_a_file_takes_units_and_its_keys_say_what_a_plain_number_is(tmp_path: Path) -> None:
    file = tmp_path / "own.toml"
    file.write_text(
        'extends = "centred"\n[address]\nstance_width_cm = "17in"\n[pieces]\nsway_cm = "-1in"\nhip_turn_deg = 40\n'
        '[body]\nstature_cm = "5ft2"\nmass_kg = "10st"\n[body.lengths_cm]\nthigh = "400mm"\n'
    )
    setup = load(str(file))
    assert setup.section("address")["stance_width_cm"] == 43.18
    assert setup.section("pieces")["sway_cm"] == -2.54 and setup.section("pieces")["hip_turn_deg"] == 40.0
    assert setup.section("body")["stature_cm"] == 157.48 and setup.section("body")["mass_kg"] == 63.5029318
    assert setup.section("body.lengths_cm")["thigh"] == 40.0
    for wrong in ('stature_cm = "12st"', 'stature_cm = "170"', 'mass_kg = "5ft"', 'stature_cm = "nan"'):
        file.write_text(f"[body]\n{wrong}\n")
        with pytest.raises(TurnstillError, match=r"own\.toml: (stature_cm|mass_kg) was .* must be a number between"):
            load(str(file))


def run(*arguments: str, code: int = 0) -> str:
    done = RUNNER.invoke(app, list(arguments))
    assert done.exit_code == code, done.output
    return done.stdout if code == 0 else done.stderr


def json_of(*arguments: str) -> dict:
    return json.loads(run(*arguments, "--json", "-"))


@pytest.mark.parametrize("options", [("--stature-cm", "--mass-kg"), ("--stature", "--mass")])
def test_the_bodys_options_take_units_under_both_names(options: tuple[str, str]) -> None:
    body = json_of("simulate", "centred", "--frames", "2", options[0], "5'10\"", options[1], "12st4")["body"]
    assert body["stature_cm"] == 177.8 and body["mass_kg"] == pytest.approx(78.017888, abs=1e-6)
    assert json_of("simulate", "centred", "--frames", "2", options[0], "182")["body"]["stature_cm"] == 182.0


def test_readings_take_units_and_signs() -> None:
    read = ("--head-up-cm", "-2.4in", "--pelvis-toward-ball-cm=-1in", "--hip-turn-deg", "40°", "--head-sd-cm", "0.5in",
            "--sd", "pelvis_toward_ball=0.3in", "--angle-sd-deg", "3deg", "--head-width-cm", "6in")  # fmt: skip
    report = json_of("diagnose", *read, "--read", "head_toward_target=-0.5hw", "--stature", "5ft10")
    rows = {one["reading"]: (one["value"], one["sd"], one["given"]) for one in report["readings"]}
    assert rows == {
        "head_toward_target": (-7.62, 1.27, "--read head_toward_target=-0.5hw"),
        "head_up": (-6.096, 1.27, "--head-up-cm -2.4in"),
        "pelvis_toward_ball": (-2.54, 0.762, "--pelvis-toward-ball-cm -1in"),
        "hip_turn": (40.0, 3.0, "--hip-turn-deg 40°"),
    }
    assert report["scale"]["head_width_cm"] == 15.24
    assert report["scale"]["used"] == {"in": ["head_up", "pelvis_toward_ball"], "hw": ["head_toward_target"]}
    # The unit in a reading's name is only what a plain number has.
    for text in ("head_up_in=-2.4", "head_up_cm=-2.4in", "head_up=-2.4in"):
        (one,) = json_of("diagnose", "--read", text)["readings"]
        assert one["value"] == -6.096


def test_a_maps_ends_and_an_experiments_take_units() -> None:
    report = json_of("map", "centred", "--x", "sway", "--x-from", "-1in", "--x-to", "2in", "--size", "5")
    assert report["x"]["values"][0] == -2.54 and report["x"]["values"][-1] == 5.08
    report = json_of("experiment", "stance_width", "--from", "15in", "--to", "20in", "--steps", "2")
    assert [step["value"] for step in report["steps"]] == [38.1, 50.8]
    assert '--x-from was "2°", but must be a number in cm' in run(
        "map", "centred", "--x", "sway", "--x-from", "2°", code=2
    )
    assert '--from of stance_width was "2st"' in run(
        "experiment", "stance_width", "--from", "2st", "--to", "20in", code=2
    )


def test_a_records_entries_take_units(tmp_path: Path) -> None:
    target = str(tmp_path / "a.turnstill")
    run("record", "add", target, "--piece", "sway", "--felt", "-1in", "--got", "-4mm", "--got-sd", "0.5in",
        "--head-toward-target-cm", "-2.4in", "--head-toward-ball-cm", "1in", "--head-up-cm=-5mm",
        "--head-sd-cm", "0.2in", "--inclination-change-deg", "-3°")  # fmt: skip
    ((_, entry),) = entries_of(target)
    assert (entry.felt, entry.got, entry.got_sd) == (-2.54, -0.4, 1.27)
    assert (entry.head_toward_target_cm, entry.head_toward_ball_cm, entry.head_up_cm) == (-6.096, 2.54, -0.5)
    assert (entry.head_sd_cm, entry.inclination_change_deg) == (0.508, -3.0)
    assert '--felt was "1in", but must be a number in deg.' in run(
        "record", "add", target, "--piece", "tilt", "--felt", "1in", code=2
    )
    assert "hips 2.5 cm" in run("record", "next", target, "--missing", "1in", "--missing-sd", "5mm")


def test_a_records_csv_takes_units_whatever_the_order_of_its_columns(tmp_path: Path) -> None:
    file = tmp_path / "in.csv"
    file.write_text(
        "felt;date;piece;head_up_cm;head_toward_target_cm\n−1,5in;2025-03-01;sway;-2,4in;1\n10°;2025-03-02;tilt;;\n"
    )
    (first, second), _ = csv_entries(str(file))
    assert (first.felt, first.head_up_cm, first.head_toward_target_cm) == (-3.81, -6.096, 1.0)
    assert (second.felt, second.piece) == (10.0, "tilt")
    file.write_text("date,piece,felt\n2025-03-01,tilt,1in\n")
    with pytest.raises(TurnstillError, match=r'Row 2 .*felt was "1in", but must be a number in deg'):
        csv_entries(str(file))
