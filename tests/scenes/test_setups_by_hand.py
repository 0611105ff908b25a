"""Every quantity a person can set: section, unit, range and meaning by hand; how a number is read and told."""

from __future__ import annotations

import math

import numpy as np
import pytest
from quantities_by_hand import PIECES, SECTION_OF, WORDS

from turnstill.model.errors import TurnstillError
from turnstill.scenes.setups import knobs
from turnstill.scenes.setups.former_names import todays_name, with_todays_names
from turnstill.scenes.setups.knobs import both_names, knob, told_value
from turnstill.scenes.setups.naming import default_folder, slug, titled
from turnstill.scenes.setups.presets import Setup, load
from turnstill.scenes.setups.quantities import (
    SECTIONS,
    Departure,
    Entry,
    by_any_name,
    echo,
    entries,
    nearest,
    read_number,
    section_entries,
    to_border,
    to_model,
    without_unit,
)
from turnstill.scenes.setups.settings import UsualSetting, apply, find, read_setting

TILT, SWAY, SEX = (by_any_name()[name] for name in ("tilt", "sway", "sex"))


def test_every_quantity_has_its_own_section_key_unit_range_and_meaning() -> None:
    assert list(SECTION_OF) == list(SECTIONS)
    for section, known in SECTION_OF.items():
        found = {entry.name: entry for entry in section_entries(section).values() if entry.quantity}
        told = {name: (q.unit, q.low, q.high, q.meaning) for name, e in found.items() if (q := e.quantity)}
        assert told == known and list(told) == list(known)
        for name, entry in found.items():
            assert entry.key == (name if "." in section else f"{name.split('.')[-1]}_{known[name][0]}")
            assert section_entries(section)[entry.key] is entry
    words = {entry.name: entry.words for entry in entries() if not entry.quantity}
    assert words == WORDS and all(find(name).section == "body" and find(name).key == name for name in WORDS)
    assert sum(map(len, SECTION_OF.values())) + len(WORDS) == len(entries())


def test_a_quantity_is_known_by_its_name_and_by_its_name_with_the_unit() -> None:
    known = by_any_name()
    for entry in entries():
        unit = f"_{entry.quantity.unit}" if entry.quantity else ""
        assert known[entry.name] is known[entry.name + unit] is entry
        # What head and impact have in common with other sections is told with the section.
        assert (known.get(entry.key) is entry) == (entry.section not in ("head", "impact"))


def test_what_is_allowed_is_said_in_words() -> None:
    assert SWAY.allowed == "a number between -40 and 40 cm"
    assert TILT.allowed == 'a number between -60 and 90 deg, or "steady", "steady+10" or the like'
    assert SEX.allowed == '"male" or "female"'
    steady = {entry.name for entry in entries() if entry.may_be_steady}
    assert steady == {"tilt", "extension", "impact.tilt", "impact.extension"}
    assert not Entry("address", "tilt", "tilt_deg", TILT.quantity).may_be_steady


@pytest.mark.parametrize(
    ("entry", "given", "value"),
    [
        (TILT, 90, 90.0), (TILT, -60.0, -60.0), (TILT, "steady", Departure()), (TILT, " steady - 15 ", Departure(-15)),
        (TILT, "steady+90", Departure(90.0)), (TILT, "steady+.5", Departure(0.5)), (TILT, "30deg", 30.0),
        (SWAY, "2in", 5.08), (SWAY, "-400mm", -40.0), (SEX, "female", "female"),
    ],
)  # fmt: skip
def test_what_may_be_given_in_a_file(entry: Entry, given: object, value: object) -> None:
    assert entry.check(given) == value and type(entry.check(given)) is type(value)


@pytest.mark.parametrize(
    ("entry", "given", "told"),
    [
        (TILT, 90.1, 'tilt_deg was 90.1, but must be a number between -60 and 90 deg, or "steady", "steady+10" or the '
         "like."),
        (TILT, "steady-61", 'tilt_deg was "steady-61", but must be a number between -60 and 90 deg, or "steady", '
         '"steady+10" or the like.'),
        (SWAY, "steady", 'sway_cm was "steady", but must be a number between -40 and 40 cm, or as much in mm, m, in or '
         "ft."),
        (SWAY, "3", 'sway_cm was "3", but must be a number between -40 and 40 cm, or as much in mm, m, in or ft.'),
        (SWAY, "41cm", 'sway_cm was "41cm", but must be a number between -40 and 40 cm, or as much in mm, m, in or '
                       'ft.'),
        (SWAY, "1,5cm", 'sway_cm was "1,5cm", but must be a number between -40 and 40 cm, with a point in place of the '
         "comma."),
        (SWAY, True, "sway_cm was true, but must be a number between -40 and 40 cm."),
        (SWAY, None, 'sway_cm was "None", but must be a number between -40 and 40 cm.'),
        (SEX, "Male", 'sex was "Male", but must be "male" or "female".'),
        (SEX, 1, 'sex was 1, but must be "male" or "female".'),
    ],
)  # fmt: skip
def test_what_may_not_be_given_is_told_with_what_may(entry: Entry, given: object, told: str) -> None:
    with pytest.raises(TurnstillError) as wrong:
        entry.check(given)
    assert str(wrong.value) == told


def test_a_command_line_reads_plain_numbers_units_and_words() -> None:
    read = [SWAY.read("3", "a"), SWAY.read("2in", "a"), TILT.read("steady+5", "a"), TILT.read("-30", "a")]
    assert read == [3.0, 5.08, Departure(5), -30] and SEX.read(" FEMALE ", "a") == "female"
    for entry, text in ((SWAY, "steady"), (SWAY, "41"), (SEX, "f"), (TILT, "")):
        with pytest.raises(TurnstillError, match=f"^as typed was .*but must be {entry.allowed[:12]}"):
            entry.read(text, "as typed")


def test_a_departure_is_written_as_it_is_read() -> None:
    assert [str(Departure(plus)) for plus in (0.0, 10.0, -7.5)] == ["steady", "steady+10", "steady-7.5"]


def test_a_number_with_or_without_its_unit_and_a_hint_where_it_is_none() -> None:
    assert (read_number("--x", 3.5, "cm"), read_number("--x", "3.5", "cm")) == ((3.5, ""), (3.5, ""))
    assert read_number("--x", "2in", "cm") == (5.08, "in")
    assert read_number("--x", "2hw", "cm", {"hw": 16.0}) == (32.0, "hw")
    for unit, hint in (("cm", ", or as much in mm, m, in or ft"), ("kg", ", or as much in lb or st"), ("deg", "")):
        with pytest.raises(TurnstillError) as wrong:
            read_number("--x", "a", unit)
        assert str(wrong.value) == f'--x was "a", but must be a number in {unit}{hint}.'
    with pytest.raises(TurnstillError, match=r'--x was "a", but must be a number in cm, or as much in .* ft or hw\.'):
        read_number("--x", "a", "cm", {"hw": 16.0})


def test_what_somebody_gave_is_told_short_and_without_control_characters() -> None:
    told = {"ab": '"ab"', "a\x00b\n": '"a?b?"', "x" * 40: f'"{"x" * 40}"', "x" * 41: f'"{"x" * 37}..."'}
    assert {text: echo(text) for text in told} == told
    assert [echo(one) for one in ({}, [], (), 1.5, True, False, 7, -(10**39), 10**40, float("nan"))] == [
        "a table", "a list", "a list", "1.5", "true", "false", "7", "-1" + "0" * 39,
        "a number of more than 40 digits", "nan",
    ]  # fmt: skip
    assert echo(-(10**40)) == "a number of more than 40 digits"
    assert nearest("hip_trun", ["sway", "hip_turn"]) == " Did you mean hip_turn?" and nearest("zzz", ["sway"]) == ""


@pytest.mark.parametrize(
    ("text", "value"),
    [("1 inch", 2.54), ("2 inches", 5.08), ("1 foot", 30.48), ("2 feet", 60.96), ("1 m", 100.0), ("5 mm", 0.5)],
)
def test_units_written_out(text: str, value: float) -> None:
    assert read_number("x", text, "cm")[0] == value


def test_what_is_not_finite_is_read_as_such_however_it_is_written() -> None:
    assert read_number("x", "-INF", "cm") == (-math.inf, "") and math.isnan(read_number("x", "NaN", "deg")[0])


def test_units_at_the_border() -> None:
    assert [without_unit(f"a_b_{unit}") for unit in ("deg", "degrees", "rad", "cm", "mm", "m", "in", "inch", "inches",
                                                     "kg", "lb", "g")] == ["a_b"] * 12  # fmt: skip
    assert [without_unit(key) for key in ("stature", "a_cm_b", "cm")] == ["stature", "a_cm_b", "cm"]
    assert (to_model("deg", 180.0), to_model("cm", 94.0), to_model("kg", 70.0)) == (math.pi, 0.94, 70.0)
    assert (to_border("deg", math.pi), to_border("cm", 0.94), to_border("kg", np.array([70.0]))) == (180.0, 94.0, 70.0)


def test_settings_are_laid_over_in_their_order_and_say_what_is_wrong() -> None:
    setup = apply(Setup("a", "b", {"pieces": {"sway_cm": 1.0}}), ["sway=2", "lead_flare=3", "sway=4", "Stature-CM=180"])
    assert setup.values == {
        "pieces": {"sway_cm": 4.0}, "address": {"lead_flare_deg": 3.0}, "body": {"stature_cm": 180.0},
    }  # fmt: skip
    assert (setup.name, setup.shows) == ("a", "with lead flare and sway changed")
    entry, value = read_setting("trail-flare = 5")
    assert (entry.name, value) == ("trail_flare", 5.0)
    for text, told in (
        ("sway", '--set "sway" must be NAME=VALUE, for example hip_turn=50.'),
        ("sway=50", "--set sway was 50, but must be a number between -40 and 40 cm."),
        ("sway_deg=5", '--set: "sway_deg" has the wrong unit; sway is a number between -40 and 40 cm, written sway or '
         "sway_cm."),
    ):  # fmt: skip
        with pytest.raises(TurnstillError) as wrong:
            read_setting(text)
        assert str(wrong.value) == told
    with pytest.raises(TurnstillError) as wrong:
        find("hip_trun")
    assert str(wrong.value) == (
        f'"hip_trun" cannot be set; name a piece ({", ".join(PIECES)}), or a quantity of the address, the arms or the '
        "body. Did you mean hip_turn?"
    )
    with pytest.raises(TurnstillError, match="cannot be set"):
        find("sex_cm")
    for name, others in (("impact.foo", "head_up"), ("head.foo", "up")):
        with pytest.raises(TurnstillError, match=rf"^\"{name}\" is none of {name[:-4]}’s .*\b{others}\.$"):
            find(name)


def test_a_usual_address_gives_way_where_a_swing_departs_from_the_centred_one() -> None:
    centred = load("centred")
    usual = [UsualSetting("lead_flare=3"), UsualSetting("sway=2"), UsualSetting("stature=180")]
    kept = apply(centred, usual)
    assert kept.section("address")["lead_flare_deg"] == 3.0 and kept.section("pieces")["sway_cm"] == 2.0
    own = centred.changed("address", "lead_flare_deg", 9.0).changed("pieces", "sway_cm", 9.0)
    own = own.changed("body", "stature_cm", 150.0)
    kept = apply(own, usual)
    assert kept.section("address")["lead_flare_deg"] == 9.0  # The swing is about that.
    assert kept.section("pieces")["sway_cm"] == 2.0 and kept.section("body")["stature_cm"] == 180.0
    assert apply(own, ["lead_flare=3"]).section("address")["lead_flare_deg"] == 3.0


def test_a_knob_turns_one_quantity_or_both_sides() -> None:
    base = Setup("a")
    one = knob("Trail-Flare")
    assert (one.name, one.unit, one.words, one.meaning) == (
        "trail_flare",
        "deg",
        "trail flare",
        "trail foot turned outward",
    )
    assert one.set(base, 5.0).values == {"address": {"trail_flare_deg": 5.0}}
    both = knob("flare")
    assert (both.name, both.unit, both.words) == ("flare", "deg", "flare of both feet")
    assert both.meaning == "lead flare and trail flare alike"
    assert both.set(base, 5.0).values == {"address": {"lead_flare_deg": 5.0, "trail_flare_deg": 5.0}}
    hips = knob("hip_internal_rotation_deg")
    assert (hips.words, hips.unit) == ("hip internal rotation of both sides", "deg")
    assert hips.set(base, 30.0).values == {
        "body.ranges_deg": {"lead_hip_internal_rotation": 30.0, "trail_hip_internal_rotation": 30.0}
    }
    knees = knob("knee_flex_change")
    assert (knees.words, knees.unit) == ("knee flex change", "deg")
    assert knees.meaning == "the lead knee flexes by so much, the trail knee straightens by as much"
    assert knees.set(base, 5.0).values == {"pieces": {"lead_flex_change_deg": 5.0, "trail_flex_change_deg": -5.0}}
    assert knob("tilt").set(base, 5.0, steady=True).values == {"pieces": {"tilt_deg": Departure(5.0)}}
    assert knob("thigh").set(base, 40.0).values == {"body.lengths_cm": {"thigh": 40.0}}
    assert knob("stature").words == "stature" and knob("stature").meaning == "body height"
    assert knob("knee_flex").name == "knee_flex" and knob("mass").unit == "kg"
    same = Entry("pieces", "sway", "sway_cm", SWAY.quantity)
    assert knobs.Knob("pelvis_centre_away_from_the_target", ((same, 1),), "cm").meaning == ""


def test_a_knobs_value_is_read_and_told_in_its_unit() -> None:
    assert (knob("sway").read("2in", "--from"), knob("flare").read("7", "--to")) == (5.08, 7.0)
    with pytest.raises(TurnstillError, match=r"^--from of sway was 50, but must be"):
        knob("sway").read("50", "--from")
    assert [told_value(*one) for one in ((20.0, "deg"), (42.25, "cm"), (80.0, "kg"), (5.0, "deg", True))] == [
        "20°", "42.25 cm", "80 kg", "steady+5",
    ]  # fmt: skip
    assert (knob("sway").told(1.23456), knob("tilt").told(-3.0, True), knob("tilt").told(1 / 3)) == (
        "1.235 cm", "steady-3", "0.3333°",
    )  # fmt: skip


def test_what_cannot_be_turned_is_told() -> None:
    for name, told in (
        ("sex", '"sex" is a word without steps; an experiment varies a number, such as trail_flare.'),
        ("sway_deg", "has the wrong unit"),
        ("flrae", "Did you mean flare?"),
        ("heel_rises", "Did you mean heel_rise?"),
        ("knee_flex_chnge", "Did you mean knee_flex_change?"),
    ):
        with pytest.raises(TurnstillError) as wrong:
            knob(name)
        assert told in str(wrong.value) and str(wrong.value).count("Did you mean") <= 1


def test_both_sides_are_those_that_have_two() -> None:
    assert both_names() == [
        "ankle_dorsiflexion", "ankle_eversion", "ankle_inversion", "ankle_plantarflexion", "collar_bone_depression",
        "collar_bone_elevation", "collar_bone_protraction", "collar_bone_retraction", "elbow_bend", "elbow_flexion",
        "flare", "forearm_pronation", "forearm_supination", "heel_rise", "hip_abduction", "hip_adduction",
        "hip_extension",
        "hip_external_rotation", "hip_flexion", "hip_internal_rotation", "knee_flexion", "shin_external_rotation",
        "shin_internal_rotation", "shoulder_external_rotation", "shoulder_flexion", "shoulder_horizontal_adduction",
        "shoulder_internal_rotation", "wrist_extension", "wrist_flexion", "wrist_radial_deviation",
        "wrist_ulnar_deviation", "knee_flex_change",
    ]  # fmt: skip


def test_former_names_are_todays_wherever_they_stand() -> None:
    former = ("thrust_cm", "pelvis_obliquity_deg", "lead_tibial_internal_rotation", "sway")
    assert [todays_name(name) for name in former] == [
        "hips_toward_ball_cm", "belt_line_tilt_deg", "lead_shin_internal_rotation", "sway",
    ]  # fmt: skip
    document = {"pieces": {"thrust_cm": 1, "hips_toward_ball_cm": 2, "sway_cm": 3}, "shows": "thrust"}
    assert with_todays_names(document) == {"pieces": {"hips_toward_ball_cm": 2, "sway_cm": 3}, "shows": "thrust"}
    assert list(with_todays_names({"b": 1, "thrust": 2, "a": 3})) == ["b", "hips_toward_ball", "a"]


def test_names_of_swings_and_folders() -> None:
    setups = titled([Setup("centred", "shows"), Setup("my swing/№1"), Setup("centred"), Setup("centred")])
    assert [setup.name for setup in setups] == ["centred", "my swing/№1", "centred (2)", "centred (3)"]
    assert setups[0].shows == "shows"
    assert default_folder(setups[:3]) == "turnstill-centred-vs-my-swing-1-vs-centred-2"
    slugs = {"../..": "swing", "": "swing", "-a.b_c-": "a.b-c", "x" * 41: "x" * 40, "A9.z": "A9.z"}
    assert {name: slug(name) for name in slugs} == slugs


def test_many_long_names_make_a_short_folder_that_is_theirs_alone() -> None:
    setups = [Setup(f"{letter * 80} {number}") for number, letter in enumerate("abcdef")]
    others = [*setups[:5], Setup(f"{'f' * 80} 6")]
    names = {default_folder(setups), default_folder(others), default_folder(setups[::-1])}
    assert len(names) == 3  # Names that differ after what is cut off get folders that differ.
    for name in names:
        assert len(name.encode()) <= 120 and name.startswith("turnstill-") and name.count("-vs-") == 5
    assert default_folder(setups[:2]) == f"turnstill-{'a' * 40}-vs-{'b' * 40}"
