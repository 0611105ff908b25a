"""What can be read off two films: each reading's words, view and sign by hand, how it is taken, what is said of it."""

from __future__ import annotations

import re
from types import SimpleNamespace

import pytest
import typer
from diagnosis_reports import READ, SHOWN, made

from turnstill.model.errors import TurnstillError
from turnstill.scenes.cli import app
from turnstill.scenes.diagnose import reading_words
from turnstill.scenes.diagnose.mend import SLIPS
from turnstill.scenes.diagnose.moments import IMPACT, TOP
from turnstill.scenes.diagnose.parts import ScaleReport
from turnstill.scenes.diagnose.readings import KINDS, Scale, asked, scale_of
from turnstill.scenes.setups.quantities import Departure

ASKED_FOR = {
    "head_toward_target": "Head toward the target", "head_up": "Head up", "head_toward_ball": "Head toward the ball",
    "pelvis_toward_target": "Middle of the pelvis toward the target",
    "pelvis_toward_ball": "Middle of the pelvis toward the ball",
    "inclination_change": "Line from pelvis to base of neck, top less address", "lean_face_on": "The same line",
    "shoulder_plane": "Shoulder line from the horizontal", "shoulder_turn": "Turn of the shoulder line",
    "hip_turn": "Turn of the pelvis", "lead_knee_flex": "Lead knee", "trail_knee_flex": "Trail knee",
    "belt_line_tilt": "Belt line from the horizontal",
}  # fmt: skip
"""How the help of a reading's option begins, by hand."""
SCALE = Scale(15.3, 19.4, (False, False))


def test_every_reading_has_its_words_its_view_and_its_sign() -> None:
    assert {name: (kind.view, kind.counted(TOP)) for name, kind in KINDS.items()} == SHOWN
    at_impact = {name: (view, way.replace("at the top", "at impact")) for name, (view, way) in SHOWN.items()}
    assert {name: (kind.view, kind.counted(IMPACT)) for name, kind in KINDS.items()} == at_impact
    assert {name: kind.words for name, kind in KINDS.items()} == {name: words for name, (words, _) in READ.items()}


def test_the_help_of_an_option_is_of_its_own_reading() -> None:
    helped = {one.opts[0]: one for one in typer.main.get_command(app).commands["diagnose"].params}
    for name, (_, unit) in READ.items():
        option = helped[f"--{name.replace('_', '-')}-{unit}"]
        assert option.help.startswith(ASKED_FOR[name]) and option.metavar == unit.upper(), name
        for told, view in {"Face-on.": "face-on", "Down the line.": "down the line"}.items():
            if option.help.endswith(told):
                assert SHOWN[name][0] == view, name
        positive = re.search(r"(?<=; )[\w ]+(?= positive)", option.help)
        assert positive is None or positive[0] in SHOWN[name][1], name
    for group, unit, usual in (("head", "cm", "1 if"), ("pelvis", "cm", "1 if"), ("angle", "deg", "4 if")):
        option = helped[f"--{group}-sd-{unit}"]
        assert group in option.help and usual in option.help and option.metavar == unit.upper()
    assert "hw" in helped["--head-width-cm"].help and "ear to ear" in helped["--head-width-cm"].help
    assert "hl" in helped["--head-length-cm"].help and "brow to back" in helped["--head-length-cm"].help


@pytest.mark.parametrize(("option", "low", "high"), [("--head-width-cm", 10, 25), ("--head-length-cm", 13, 32)])
def test_a_head_is_as_large_as_it_was_measured_within_what_heads_are(option: str, low: float, high: float) -> None:
    def taken(size: float | str) -> Scale:
        return scale_of(*((size, None) if "width" in option else (None, size)), 0.151, 0.192)

    for size in (low, high, f"{low}cm", "6in"):
        scale, number = taken(size), 15.24 if size == "6in" else float(str(size).removesuffix("cm"))
        expected = (number, 19.2, (True, False)) if "width" in option else (15.1, number, (False, True))
        assert (scale.width_cm, scale.length_cm, scale.measured) == (*map(pytest.approx, expected[:2]), expected[2])
    for size in (low - 0.1, high + 0.1):
        told = f"{option} was {size}, but a head is between {low} and {high} cm; measure it."
        with pytest.raises(TurnstillError, match=f"^{re.escape(told)}$"):
            taken(size)
    # The survey's mean is no measurement to be doubted.
    assert scale_of(None, None, 0.09, 0.35) == Scale(9.0, 35.0, (False, False))


def test_an_uncertainty_is_ones_own_then_the_groups_then_the_usual_one() -> None:
    read = {name: ["1"] for name in READ}
    every = asked(read, [], {"head": "2.1", "pelvis": "0.8in", "angle": 5.2}, ["hip_turn=7.3", "head_up=1hw"], SCALE)
    own = {"hip_turn": 7.3, "head_up": 15.3}
    groups = {
        name: 2.1 if name.startswith("head") else 2.032 if unit == "cm" else 5.2 for name, (_, unit) in READ.items()
    }
    assert every.sd == pytest.approx(groups | own)
    assert {one.name: one.sd for one in every.readings} == pytest.approx(groups | own)
    assert all(one.sd_given and one.value == 1.0 for one in every.readings)
    usual = asked(read, [], {"head": None, "pelvis": 3, "angle": None}, [], SCALE)
    assert usual.sd == {
        name: 3.0 if name.startswith("pelvis") else 1.0 if unit == "cm" else 4.0 for name, (_, unit) in READ.items()
    }
    assert [one.name for one in usual.readings if one.sd_given] == ["pelvis_toward_target", "pelvis_toward_ball"]
    to_model = {"cm": 0.01, "deg": 0.017453292519943295}
    assert every.seen_sd == pytest.approx({name: every.sd[name] * to_model[unit] for name, (_, unit) in READ.items()})


def test_what_was_read_is_kept_as_it_was_written_and_in_what_unit() -> None:
    own = {"head_up": [" -0.2hw "], "hip_turn": [41.5]}
    found = asked(own, ["head-toward-target_in=-2.5", "lean_face_on = 11deg", "head_toward_ball=0.3hl"], {}, [], SCALE)
    told = {one.name: (one.value, one.unit, one.given) for one in found.readings}
    assert told == {
        "head_toward_target": (pytest.approx(-6.35), "cm", "--read head-toward-target_in=-2.5"),
        "head_up": (pytest.approx(-3.06), "cm", "--head-up-cm -0.2hw"),
        "head_toward_ball": (pytest.approx(5.82), "cm", "--read head_toward_ball=0.3hl"),
        "lean_face_on": (11.0, "deg", "--read lean_face_on = 11deg"),
        "hip_turn": (41.5, "deg", "--hip-turn-deg 41.5"),
    }
    assert list(told) == [name for name in READ if name in told]
    assert found.used == {"hw": ("head_up",), "in": ("head_toward_target",), "hl": ("head_toward_ball",)}
    assert (found.value("hip_turn"), found.value("shoulder_turn")) == (41.5, None)
    assert found.seen == pytest.approx({
        "head_toward_target": -0.0635, "head_up": -0.0306, "head_toward_ball": 0.0582, "lean_face_on": 0.191986,
        "hip_turn": 0.724312,
    }, abs=1e-6)  # fmt: skip
    assert set(found.seen_sd_of_read) == set(told) and found.seen_sd_of_read["hip_turn"] == pytest.approx(0.0698132)


def test_a_reading_given_twice_is_told_as_both() -> None:
    told = "Head up was given twice, as --head-up-cm 1 and as --read head_up=2in; give it once, in one unit."
    with pytest.raises(TurnstillError, match=f"^{re.escape(told)}$"):
        asked({"head_up": ["1"]}, ["head_up=2in"], {}, [], SCALE)


@pytest.mark.parametrize(
    ("unit", "name", "most", "sd"), [("cm", "head_up", 200, (0.01, 200)), ("deg", "hip_turn", 180, (0.01, 360))]
)
def test_how_large_a_reading_and_its_uncertainty_may_be(unit: str, name: str, most: int, sd: tuple) -> None:
    for value in (-most, most):
        (one,) = asked({name: [value]}, [], {}, [f"{name}={sd[value > 0]}"], SCALE).readings
        assert (one.value, one.sd) == (value, sd[value > 0])
    with pytest.raises(TurnstillError, match=rf"between -{most} and {most} {unit}; check its unit"):
        asked({name: [most + 0.1]}, [], {}, [], SCALE)
    for beyond in (sd[0] / 2, sd[1] + 0.1):
        with pytest.raises(TurnstillError, match=rf"--sd {name} was .* must be between 0.01 and {sd[1]} {unit}"):
            asked({name: [1]}, [], {}, [f"{name}={beyond}"], SCALE)


@pytest.mark.parametrize(("slip", "question"), [
    ("tenfold", "was it read in millimetres, or the decimal point misplaced?"),
    ("sign", "was the sign the other way round?"), ("tenth", "was the decimal point misplaced?"),
])  # fmt: skip
def test_each_slip_has_its_question(slip: str, question: str) -> None:
    report = made(fits=False, feel=None)
    check = {
        "slip": slip,
        "factor": 0.5,
        "readings": ["head_up", "hip_turn"],
        "furthest": "head_up",
        "furthest_sd": 7.0,
    }
    up, turn = (next(one for one in report.readings if one.reading == name) for name in ("head_up", "hip_turn"))
    assert SLIPS[slip] == {"tenfold": 0.1, "sign": -1.0, "tenth": 10.0}[slip]
    lines = reading_words.nothing_fits(type(report).model_validate(report.model_dump() | {"check": check}), False)
    assert lines[1] == (
        f"They would fit with head up {0.5 * up.value:.1f} cm in place of {up.value:.1f} cm and hip turn "
        f"{0.5 * turn.value:.1f}° in place of {turn.value:.1f}°: {question}"
    )
    assert len(reading_words.nothing_fits(report, False)) == 2, "nothing to look at first"


def test_heads_as_a_unit_are_told_as_what_they_were_taken_for() -> None:
    def told(used: dict[str, list[str]], measured: tuple[bool, bool], inches: bool = False) -> list[str]:
        scale = ScaleReport(head_width_cm=15.24, head_length_cm=20.32, measured=measured, used=used)
        return reading_words.scale_words(made(scale=scale), inches)

    survey = (
        "the mean of the ANSUR II survey for this body, two people in three being within 3 % of it; measure it for "
        "better."
    )
    both = {"hw": ["head_toward_target"], "hl": ["head_toward_ball"]}
    assert told({"in": ["head_up"]}, (False, False)) == []
    assert told(both, (True, False)) == [
        "One head width (ear to ear) was taken as 15.2 cm, as measured.",
        f"One head length (brow to back) was taken as 20.3 cm, {survey}",
    ]
    assert told(both, (False, True), inches=True) == [
        f"One head width (ear to ear) was taken as 6.00 in, {survey}",
        "One head length (brow to back) was taken as 8.00 in, as measured.",
    ]
    # Down the line one sees a head's length.
    assert told({"hw": list(READ)[:4]}, (True, True))[1:] == [
        "Head toward the ball was given in head widths; down the line one sees the head's length, so if that was the "
        "measure, write hl in place of hw."
    ]
    (two,) = told({"hw": ["head_toward_ball", "inclination_change"]}, (True, True))[1:]
    assert two.startswith("Head toward the ball and change of inclination were given in head widths;")


@pytest.mark.parametrize(
    ("open_", "told"),
    [
        ([], None),
        (["head_up"], "No uncertainty was given for head up; 1 cm was taken"),
        (["hip_turn", "shoulder_plane"], "No uncertainty was given for shoulder plane and hip turn; 4° was taken"),
        (["hip_turn", "head_up"], "No uncertainty was given for head up and hip turn; 1 cm and 4° were taken"),
    ],
)
def test_the_usual_uncertainty_is_told_of_what_has_none_of_its_own(open_: list[str], told: str | None) -> None:
    report = made()
    report = report.replaced(readings=[one.replaced(sd_given=one.reading not in open_) for one in report.readings])
    end = " (assumption: careful reading of a film)."
    assert reading_words.usual_sd_words(report, False) == [f"{told}{end}"] * (told is not None)
    inches = [told.replace("1 cm", "0.39 in") + end] if told else []
    assert reading_words.usual_sd_words(report, True) == inches


def test_warnings_of_the_turn_that_is_counted_from_are_told_as_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    own = ["The hips turn 90°.", "Ranges stop it."]
    swing = object()
    monkeypatch.setattr(reading_words.cautions, "warnings", lambda of, inches: own if of is swing else [])
    pieces = {"tilt_deg": Departure(7.0), "extension_deg": Departure(), "hip_turn_deg": 44.0}
    setup = SimpleNamespace(name="mine", section=lambda name: pieces if name == "pieces" else {})
    report = made(scale=ScaleReport(head_width_cm=15.0, head_length_cm=20.0, measured=(True, True), used={}))
    report = report.replaced(readings=[one.replaced(sd_given=True) for one in report.readings])
    sizes = [
        line for line in reading_words.warnings(report, SimpleNamespace(setup=setup, swing=swing)) if "given" in line
    ]
    assert sizes == [
        "The head width was given, but no reading is in hw, so it changes nothing.",
        "The head length was given, but no reading is in hl, so it changes nothing.",
    ]
    report = report.replaced(
        scale=report.scale.replaced(used={"hw": ["head_up"], "hl": ["head_up"]}, measured=(False, False))
    )
    monkeypatch.setattr(reading_words, "scale_words", lambda *_: [])
    assert reading_words.warnings(report, SimpleNamespace(setup=setup, swing=swing)) == [
        "mine aims at tilt steady+7 itself, and departures are counted from there; take the centred preset, or set it "
        "to steady, to count from what holds the head.",
        "Of the turn without a fault: the hips turn 90°.",
        "Of the turn without a fault: ranges stop it.",
    ]
    pieces["tilt_deg"] = Departure()
    assert len(reading_words.warnings(report, SimpleNamespace(setup=setup, swing=swing))) == 2
