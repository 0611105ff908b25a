from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnstill.model.errors import TurnstillError
from turnstill.scenes.setups.perform import body_of, pieces_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.quantities import Departure, entries
from turnstill.scenes.setups.settings import apply, find

CENTRED = load("centred")


def test_every_quantity_can_be_set_with_and_without_its_unit() -> None:
    for entry in entries():
        unit = f"_{entry.quantity.unit}" if entry.quantity else ""
        value = f"{entry.quantity.high:g}" if entry.quantity else entry.words[-1]
        for name in (entry.name, entry.name + unit, entry.name.replace("_", "-"), entry.name.upper()):
            setup = apply(CENTRED, [f"{name}={value}"])
            expected = entry.quantity.high if entry.quantity else value
            assert setup.section(entry.section)[entry.key] == expected


def test_names_are_unambiguous() -> None:
    names = [entry.name for entry in entries()]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("text", "plus"),
    [("steady", 0.0), ("steady+10", 10.0), ("steady-15", -15.0), (" steady + 2.5 ", 2.5), ("steady-.5", -0.5)],
)
def test_steady_and_departures(text: str, plus: float) -> None:
    setup = apply(CENTRED, [f"tilt={text}"])
    assert setup.section("pieces")["tilt_deg"] == Departure(plus)
    tilt = pieces_of(setup).tilt
    assert np.isclose(np.degrees(tilt.plus), plus)  # type: ignore[union-attr]


def test_the_last_setting_wins_and_the_preset_stays_as_it_was() -> None:
    setup = apply(CENTRED, ["hip_turn=50", "hip_turn_deg=40", "thigh=43", "stature=180"])
    assert setup.section("pieces")["hip_turn_deg"] == 40.0
    assert CENTRED.section("pieces")["hip_turn_deg"] == 45.0
    assert np.isclose(body_of(setup).lengths["thigh"], 0.43) and np.isclose(body_of(setup).stature, 1.80)


@pytest.mark.parametrize(
    ("setting", "words"),
    [
        ("hip_turn", ["NAME=VALUE"]),
        ("=5", ["cannot be set"]),
        ("hip_trun=5", ["hip_trun", "Did you mean hip_turn?"]),
        ("hip_turn_cm=5", ["wrong unit", "hip_turn_deg"]),
        ("hip_turn=", ["--set hip_turn was", '""', "between", "deg"]),
        ("hip_turn=steady", ["--set hip_turn was", "steady", "between", "deg"]),
        ("tilt=steady+", ["--set tilt was", "steady+", "deg"]),
        ("tilt=steady+1e400", ["--set tilt was", "deg"]),
        ("tilt=nan", ["--set tilt was", "nan", "deg"]),
        ("stance_width=-inf", ["--set stance_width was", "-inf", "cm"]),
        ("sex=m", ["sex", "male"]),
        ("sway=1,5", ["--set sway was", "1,5", "cm"]),
    ],
)
def test_messages(setting: str, words: list[str]) -> None:
    with pytest.raises(TurnstillError) as wrong:
        apply(CENTRED, [setting])
    assert all(word in str(wrong.value) for word in ["--set", *words]), str(wrong.value)


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=60))
def test_any_text_is_a_setting_or_one_sentence(text: str) -> None:
    for setting in (text, f"{text}=5", f"tilt={text}", f"sex={text}"):
        try:
            apply(CENTRED, [setting])
        except TurnstillError as wrong:
            assert "\n" not in str(wrong) and len(str(wrong)) < 600


@settings(max_examples=200, deadline=None)
@given(st.floats(allow_nan=True, allow_infinity=True))
def test_numbers_pass_if_and_only_if_inside(value: float) -> None:
    quantity = find("hip_turn").quantity
    assert quantity
    if quantity.low <= value <= quantity.high:
        assert apply(CENTRED, [f"hip_turn={value!r}"]).section("pieces")["hip_turn_deg"] == value
    else:
        with pytest.raises(TurnstillError):
            apply(CENTRED, [f"hip_turn={value!r}"])
