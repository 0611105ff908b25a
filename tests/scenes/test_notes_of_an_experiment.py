"""What a person must not overlook in an experiment: each note where it belongs and nowhere else."""

from __future__ import annotations

from dataclasses import replace

import pytest

from turnstill.scenes.experiment.notes import warnings
from turnstill.scenes.experiment.report import StepReport
from turnstill.scenes.experiment.tried import Tried, try_out
from turnstill.scenes.setups.knobs import knob
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply


@pytest.fixture(scope="module")
def plain() -> tuple[Tried, list[StepReport]]:
    tried = try_out(load("centred"), "trail_flare", "10", "20", 3)
    steps = [StepReport.of(tried, k).replaced(steady_miss_cm=0.0) for k in range(3)]
    return tried, [one.replaced(lead_knee_flex_deg=30.0, trail_knee_flex_deg=10.0) for one in steps]


def told(plain: tuple[Tried, list[StepReport]], inches: bool = False, **fields: list[object]) -> list[str]:
    tried, steps = plain
    changed = [one.replaced(**{name: each[k] for name, each in fields.items()}) for k, one in enumerate(steps)]
    return warnings(tried, changed, inches)


def test_a_swing_inside_everything_has_no_note(plain: tuple[Tried, list[StepReport]]) -> None:
    assert told(plain) == []
    assert told(plain, steady_miss_cm=[0.5, 0.1, 0.0], trail_knee_flex_deg=[5.0, 6.0, 7.0]) == []


def test_steps_not_to_be_relied_on(plain: tuple[Tried, list[StepReport]]) -> None:
    line = "the address could not be balanced or a solver did not converge; do not rely on those steps."
    assert told(plain, converged=[False, True, True]) == [f"At 10° {line}"]
    assert told(plain, converged=[True, False, False]) == [f"At 15° to 20° {line}"]
    # Nothing else is said of them, but for knees.
    assert len(told(plain, converged=[False, True, True], steady_miss_cm=[9.0, 0.0, 0.0])) == 1


def test_a_head_that_cannot_be_held(plain: tuple[Tried, list[StepReport]]) -> None:
    missed = [0.51, 0.0, 3.8]
    assert told(plain, steady_miss_cm=missed) == [
        "No tilt and extension can hold the head at 10° and 20°; the nearest leaves it up to 3.8 cm off."
    ]
    assert told(plain, inches=True, steady_miss_cm=missed)[0].endswith("leaves it up to 1.50 in off.")


def test_a_golfer_who_would_fall_over(plain: tuple[Tried, list[StepReport]]) -> None:
    margins = [0.01, -0.01, -2.3]
    note = "the area around both soles); bring the hips back over the feet."
    assert told(plain, balance_margin_cm=margins) == [
        "Standing still, the golfer would fall over at 15° to 20°: the centre of mass is up to 2.3 cm outside the base "
        f"of support ({note}"
    ]
    assert " 0.91 in outside " in told(plain, inches=True, balance_margin_cm=margins)[0]
    assert told(plain, balance_margin_cm=[0.0, 0.01, 0.9]) == []


def test_a_knee_that_is_nearly_straight(plain: tuple[Tried, list[StepReport]]) -> None:
    def line(at: str, side: str) -> str:
        return (
            f"At {at} the {side} knee is nearly straight (under 5°) under the body's weight; do not press it straight, "
            "and leave it out if that knee has ever been hurt."
        )

    both = told(plain, lead_knee_flex_deg=[30.0, 4.9, 1.0], trail_knee_flex_deg=[4.0, 9.0, 9.0])
    assert both == [line("15° to 20°", "lead"), line("10°", "trail")]
    after = told(plain, lead_knee_flex_deg=[30.0, 4.9, 1.0], steady_miss_cm=[1.0, 0.0, 0.0])
    assert after[0].startswith("No tilt") and after[1] == line("15° to 20°", "lead")


def test_ranges_are_no_goals(plain: tuple[Tried, list[StepReport]]) -> None:
    tried, steps = plain
    for name, words in (("trail_hip_internal_rotation", "trail hip internal rotation"),
                        ("ankle_eversion", "ankle eversion of both sides")):  # fmt: skip
        assert warnings(replace(tried, knob=knob(name)), steps) == [
            f"These steps are golfers with different {words}, not one who stretches: a range is for a clinician to "
            "measure, without pushing, and nothing here is a range to reach."
        ]


def test_ranges_past_the_published_mean_are_named_once() -> None:
    wide = apply(load("centred"), ["trail_hip_internal_rotation=60", "hip_turn=60"])
    tried = try_out(wide, "trail_flare", "0", "5", 2)
    steps = [StepReport.of(tried, k) for k in range(2)]
    past = [line for line in warnings(tried, steps) if "published mean" in line]
    assert past == [
        "Some of these steps go past the published mean of trail hip internal rotation; do not force a range."
    ]
