"""Measures, units, amounts and golfers in words: each label by hand, each number by the definition of its unit."""

from __future__ import annotations

import math
import re
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from turnstill import scenes
from turnstill.scenes.setups.reports import MomentNumbers
from turnstill.scenes.words import units
from turnstill.scenes.words.golfer import golfer_words
from turnstill.scenes.words.measures import MEASURES, Measure
from turnstill.scenes.words.pieces import NAMES, head_words, signed_amount, told_amount

TARGET, BALL, PLAIN = ("toward target", "away from target"), ("toward ball", "away from ball"), ("more", "less")
SAID: dict[str, tuple[str, str, str, tuple[str, str]]] = {
    "progress": ("backswing done", "done", "%", PLAIN),
    "head_toward_target_cm": ("head toward target", "head toward target", "cm", TARGET),
    "head_toward_ball_cm": ("head toward ball", "head toward ball", "cm", BALL),
    "head_up_cm": ("head up", "head up", "cm", ("up", "down")),
    "inclination_deg": ("inclination in space", "incl.", "°", ("more inclined", "more upright")),
    "inclination_down_the_line_deg": ("inclination down the line", "incl. down line", "°", PLAIN),
    "lean_face_on_deg": ("lean face-on", "lean face- on", "°", ("away from target", "toward target")),
    "shoulder_plane_deg": ("shoulder line to the horizontal", "shoul- der plane", "°", PLAIN),
    "hip_turn_deg": ("hip turn", "hip turn", "°", PLAIN),
    "shoulder_turn_deg": ("shoulder turn", "shoul- der turn", "°", PLAIN),
    "tilt_deg": ("tilt", "tilt", "°", PLAIN),
    "bend_deg": ("forward bend", "bend", "°", PLAIN),
    "extension_deg": ("extension", "ext.", "°", PLAIN),
    "belt_line_tilt_deg": ("belt line tilt", "belt line tilt", "°", PLAIN),
    "lead_knee_flex_deg": ("lead knee flex", "lead knee", "°", PLAIN),
    "trail_knee_flex_deg": ("trail knee flex", "trail knee", "°", PLAIN),
    "balance_margin_cm": ("balance margin, standing still", "bal- ance", "cm", ("inside the feet", "outside")),
    "trail_weight_share": ("weight on trail foot, standing still", "trail weight", "%", PLAIN),
    "pelvis_toward_target_cm": ("pelvis toward target", "pelvis toward target", "cm", TARGET),
    "pelvis_toward_ball_cm": ("pelvis toward ball", "pelvis toward ball", "cm", BALL),
    "low_point_shift_cm": ("low point toward target", "low point", "cm", TARGET),
}
"""Key to words, narrow heading, unit, and what its two ends mean, written by hand."""


def test_every_measure_is_called_what_its_key_says() -> None:
    told = {key: (one.words, " ".join(one.short), one.unit(), one.ends) for key, one in MEASURES.items()}
    assert told == SAID
    assert all(key == one.key for key, one in MEASURES.items())
    assert set(SAID) == set(MomentNumbers.model_fields)  # Nothing a report has of a moment is without a name.


def test_a_measures_number_is_its_own_field_in_the_unit_it_names() -> None:
    row = SimpleNamespace(**{key: 0.13 + 1.7 * k for k, key in enumerate(SAID)})
    for key, (_, _, unit, _) in SAID.items():
        value, measure = getattr(row, key), MEASURES[key]
        assert measure.number(row) == pytest.approx(value * (100.0 if unit == "%" else 1.0))
        assert measure.number(row, inches=True) == pytest.approx(
            value / 2.54 if unit == "cm" else value * 100.0 if unit == "%" else value
        )
        assert measure.unit(inches=True) == ("in" if unit == "cm" else unit)
        assert measure.unit(degree="deg") == ("deg" if unit == "°" else unit)
        assert (measure.is_length, measure.is_share) == (unit == "cm", unit == "%")
        decimals = {"cm": (1, 2), "%": (0, 0), "°": (1, 1)}[unit]
        assert (measure.decimals(), measure.decimals(inches=True)) == decimals


def test_a_measure_without_a_value_is_a_dash() -> None:
    nobody_stands = SimpleNamespace(trail_weight_share=None)
    assert MEASURES["trail_weight_share"].text(nobody_stands) == "–"
    assert math.isnan(MEASURES["trail_weight_share"].number(nobody_stands))


def test_a_measure_without_a_unit_has_none() -> None:
    count = Measure("count", "count", ("count",))
    assert (count.unit(), count.unit(inches=True)) == ("", "") and not (count.is_length or count.is_share)
    assert count.number(SimpleNamespace(count=4)) == 4.0 and count.text(SimpleNamespace(count=4)) == "4.0"
    progress = Measure("progress", "", ())
    assert progress.is_share and not Measure("progress_deg", "", ()).is_share


def test_lengths_have_a_sign_shares_are_whole_and_angles_are_plain() -> None:
    row = SimpleNamespace(
        head_up_cm=3.456, head_toward_ball_cm=-2.54, trail_weight_share=0.634, tilt_deg=-12.345, bend_deg=-0.04
    )

    def text(key: str, inches: bool = False, decimals: int = 1) -> str:
        return MEASURES[key].text(row, inches, decimals)

    assert (text("head_up_cm"), text("head_up_cm", True), text("head_up_cm", decimals=0)) == ("+3.5", "+1.36", "+3")
    assert (text("head_toward_ball_cm"), text("head_toward_ball_cm", True)) == ("-2.5", "-1.00")
    assert (text("trail_weight_share"), text("trail_weight_share", decimals=3)) == ("63", "63")
    assert (text("tilt_deg"), text("tilt_deg", decimals=0), text("tilt_deg", decimals=2)) == ("-12.3", "-12", "-12.35")
    assert (MEASURES["head_up_cm"].text(row), MEASURES["tilt_deg"].text(row)) == ("+3.5", "-12.3")
    assert text("bend_deg") == "0.0"  # No negative zero.


def test_a_difference_is_of_the_numbers_as_they_are_shown() -> None:
    here, there = SimpleNamespace(head_up_cm=-1.86, trail_weight_share=0.716, tilt_deg=41.26), SimpleNamespace(
        head_up_cm=-1.64, trail_weight_share=0.634, tilt_deg=20.04
    )  # fmt: skip
    assert MEASURES["head_up_cm"].difference(here, there) == -0.3  # -1.9 less -1.6.
    assert MEASURES["head_up_cm"].difference(here, there, inches=True) == -0.08  # -0.73 less -0.65.
    assert MEASURES["trail_weight_share"].difference(here, there) == 9.0  # 72 less 63.
    assert MEASURES["tilt_deg"].difference(here, there) == 21.3  # 41.3 less 20.0.
    assert MEASURES["tilt_deg"].difference(there, here) == -21.3


def test_an_inch_is_two_point_five_four_centimetres_everywhere() -> None:
    """International yard and pound agreement of 1959."""
    assert units.CM_PER_INCH == 2.54
    assert units.in_unit("head_up_cm", 5.08, True) == ("head_up_in", 2.0)
    assert units.in_unit("head_x_m", 0.0254, True) == ("head_x_in", 1.0)
    assert units.in_unit("head_up_cm", 1.0, True) == ("head_up_in", 0.393701)  # To a millionth.
    assert units.in_unit("head_up_cm", 5.08, False) == ("head_up_cm", 5.08)
    assert units.in_unit("tilt_deg", 5.08, True) == ("tilt_deg", 5.08)
    assert (units.length_unit(True), units.length_unit(False)) == ("in", "cm")
    assert (units.shown_length(3.81, True), units.shown_length(3.81, False)) == ("+1.50", "+3.8")
    assert (units.shown_length(-3.81, True, 0), units.shown_length(-3.81, False, 2)) == ("-1.5", "-3.81")
    assert (units.told_length(3.81, False), units.told_length(-3.81, True)) == ("3.8 cm", "-1.50 in")
    assert (units.told_stature(177.8, False), units.told_stature(177.8, True)) == ("178 cm", "70.0 in")


def test_lengths_are_in_centimetres_wherever_nobody_asks_for_inches() -> None:
    texts = [path.read_text(encoding="utf-8") for path in Path(scenes.__path__[0]).rglob("*.py")]
    unless_given = [told for text in texts for told in re.findall(r"\binches: \w+ = (\w+)", text)]
    assert len(unless_given) > 40 and set(unless_given) == {"False"}


def test_a_sign_stands_before_everything_but_a_rounded_zero() -> None:
    assert [units.signed(value) for value in (2.04, -2.06, 0.04, -0.04, 0.0)] == ["+2.0", "-2.1", "0.0", "0.0", "0.0"]
    assert (units.signed(-2.345, 2), units.signed(2.5, 0), units.signed(-0.004, 2)) == ("-2.35", "+2", "0.00")
    assert (told_amount(37.5, "deg"), told_amount(-3.94, "cm"), told_amount(2.54, "cm", True)) == (
        "37.5°", "-3.9 cm", "1.00 in",
    )  # fmt: skip
    assert (told_amount(-2.5, "deg", True), signed_amount(-2.5, "deg", True)) == ("-2.5°", "-2.5°")
    amounts = ((37.5, "deg", True), (3.94, "cm", False), (-2.54, "cm", True), (0.01, "cm", False))
    assert [signed_amount(*one) for one in amounts] == ["+37.5°", "+3.9 cm", "-1.00 in", "0.0 cm"]


def test_a_golfer_is_told_by_stature_mass_sex_and_hand() -> None:
    body = SimpleNamespace(stature_cm=171.4, mass_kg=66.7, sex="female", handedness="left")
    assert golfer_words(body) == "171 cm, 67 kg, female, left-handed"
    assert golfer_words(body, inches=True) == "67.5 in, 67 kg, female, left-handed"


def test_a_head_is_told_in_the_way_it_went_the_largest_part_first() -> None:
    def told(*place: float, inches: bool = False, axes: tuple[int, ...] = (0, 1, 2)) -> str:
        return head_words(np.array(place), inches, axes)

    assert told(3.2, 1.84, -3.9) == "3.9 cm lower, 3.2 cm nearer to the ball and 1.8 cm nearer to the target"
    assert told(-3.2, -4.84, 3.9) == "4.8 cm farther from the target, 3.9 cm higher and 3.2 cm farther from the ball"
    assert told(-3.2, -4.84, 3.9, axes=(0, 2)) == "3.9 cm higher and 3.2 cm farther from the ball"
    assert told(3.2, 4.84, 3.9, axes=(1, 2)) == "4.8 cm nearer to the target and 3.9 cm higher"
    assert told(-1.0, 0.29, 0.0) == "1.0 cm farther from the ball"  # Below 0.3 cm is not worth a word.
    assert told(0.0, -0.31, 0.0) == "0.3 cm farther from the target"
    assert told(-1.0, 0.1, -0.2, axes=(1, 2)) == "within 0.3 cm of its place"
    assert told(0.1, -0.2, 0.29) == "0.3 cm higher and 0.2 cm farther from the target"  # Together they are.
    assert told(0.0, -2.54, 0.0, inches=True) == "1.00 in farther from the target"
    assert told(0.0, 0.0, 0.0, inches=True) == "within 0.12 in of its place"


def test_pieces_have_a_word_or_two() -> None:
    assert NAMES == {
        "hip_turn": "hip turn", "shoulder_turn": "shoulder turn", "tilt": "tilt", "extension": "extension",
        "lead_flex_change": "lead knee", "trail_flex_change": "trail knee", "sway": "sway",
        "hips_toward_ball": "hips toward ball",
    }  # fmt: skip
