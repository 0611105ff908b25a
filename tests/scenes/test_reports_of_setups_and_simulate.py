"""Every key of a swing's report is read from where its name says: a swing in which no number stands twice."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from distinct_swing import ARM_LIMITS, JOINT_ANGLES, LIMITS, distinct_swing, performed_as
from pydantic import ValidationError

from turnstill.model.chain.skeleton import JOINTS
from turnstill.model.swing.swing import Swing
from turnstill.scenes.setups.perform import Performed
from turnstill.scenes.setups.presets import Setup
from turnstill.scenes.setups.quantities import Departure
from turnstill.scenes.setups.reports import (
    BodyReport,
    at_moment,
    border_unit,
    closing_fields,
    golfer_fields,
    limits_at,
    numbers_at,
    rounded,
)
from turnstill.scenes.simulate.report import MomentReport, SteadyReport, SwingReport
from turnstill.scenes.words.cautions import ANGLE_ORDER, CAUTIONS

DEG, CM, AS_IS = 180.0 / math.pi, 100.0, 1.0
SOURCES: dict[str, tuple[str, float]] = {
    "progress": ("progress", AS_IS),
    "head_toward_target_cm": ("measures.head_moved.1", CM),
    "head_toward_ball_cm": ("measures.head_moved.0", CM),
    "head_up_cm": ("measures.head_moved.2", CM),
    "inclination_deg": ("measures.inclination", DEG),
    "inclination_down_the_line_deg": ("measures.inclination_down_the_line", DEG),
    "hip_turn_deg": ("achieved.hip_turn", DEG),
    "shoulder_turn_deg": ("achieved.shoulder_turn", DEG),
    "tilt_deg": ("achieved.tilt", DEG),
    "bend_deg": ("achieved.bend", DEG),
    "extension_deg": ("achieved.extension", DEG),
    "belt_line_tilt_deg": ("achieved.belt_line_tilt", DEG),
    "lead_knee_flex_deg": ("achieved.lead_knee_flex", DEG),
    "trail_knee_flex_deg": ("achieved.trail_knee_flex", DEG),
    "balance_margin_cm": ("measures.balance_margin", CM),
    "trail_weight_share": ("measures.trail_weight_share", AS_IS),
    "pelvis_toward_target_cm": ("measures.pelvis_moved.1", CM),
    "pelvis_toward_ball_cm": ("measures.pelvis_moved.0", CM),
    "lean_face_on_deg": ("measures.lean_face_on", DEG),
    "shoulder_plane_deg": ("measures.shoulder_plane", DEG),
    "low_point_shift_cm": ("measures.low_point_shift", CM),
    "steady_tilt_deg": ("steady.tilt", DEG),
    "steady_extension_deg": ("steady.extension", DEG),
    "steady_miss_cm": ("steady_miss", CM),
}
"""Key to the array of a swing it is read from and what one of that is in the key's unit, written by hand."""
UNITS = {
    "hip_turn": "deg", "shoulder_turn": "deg", "tilt": "deg", "extension": "deg", "lead_flex_change": "deg",
    "trail_flex_change": "deg", "sway": "cm", "hips_toward_ball": "cm", "lead_heel_rise": "cm", "trail_heel_rise": "cm",
    "pelvis_bend": "deg",
    "pelvis_toward_ball": "cm", "pelvis_toward_target": "cm", "lead_knee_flex": "deg", "trail_knee_flex": "deg",
    "bend": "deg", "belt_line_tilt": "deg",
}  # fmt: skip
ADDRESS = {
    "lead_flare": "deg", "trail_flare": "deg", "stance_width": "cm", "knee_flex": "deg", "forward_bend": "deg",
    "pelvis_bend": "deg", "side_bend": "deg", "ball_position": "cm", "club_length": "cm",
}  # fmt: skip
SIZE = {"deg": DEG, "cm": CM}
SWING = distinct_swing()
ONE = performed_as(
    SWING,
    Setup(
        "mine", "what it shows",
        {
            "pieces": {"hip_turn_deg": 41.5, "tilt_deg": Departure(7.0), "extension_deg": Departure()},
            "body": {"handedness": "left"},
            "body.lengths_cm": {"thigh": 44.0},
            "body.ranges_deg": {"lead_hip_flexion": 99.0},
        },
        {"hip_turn": ((0.0, 0.0), (0.5, 0.75), (1.0, 1.0))},
    ),
)  # fmt: skip


def source(swing: Swing, path: str, moment: int) -> float:
    """What an array of a swing holds at a moment; a place's axis is the path's last part."""
    found: Any = swing
    *names, last = path.split(".")
    axis = int(last) if last.isdigit() else None
    for name in names if axis is not None else [*names, last]:
        found = found[name] if isinstance(found, dict) else getattr(found, name)
    return float(found[moment] if axis is None else found[moment][axis])


@pytest.mark.parametrize("moment", [0, 1, -1])
def test_each_number_of_a_moment_is_read_from_its_own_array(moment: int) -> None:
    got = numbers_at(SWING, moment)
    expected = {key: source(SWING, path, moment) * size for key, (path, size) in SOURCES.items()}
    if expected["balance_margin_cm"] < 0.0:  # Nobody stands there.
        assert got.pop("trail_weight_share") is None
        del expected["trail_weight_share"]
    assert got == pytest.approx(expected)
    shown = [round(value, 6) for value in got.values() if value not in (0.0, 1.0)]
    assert len(set(shown)) == len(shown)  # Or a number from the wrong place would pass.


def test_a_moments_report_has_its_own_joints_limits_and_flags() -> None:
    limited = np.zeros((3, len(LIMITS)), bool)
    limited[1, [1, 3]] = True
    swing = replace(SWING, limited=limited, met=np.array([1, 0, 1], bool), converged=np.array([0, 1, 1], bool))
    reports = [MomentReport.of(swing, moment) for moment in range(3)]
    assert [one.limited_by for one in reports] == [[], ["lead_hip_flexion", "lead_knee_flexion"], []]
    assert [one.met for one in reports] == [True, False, True]
    assert [one.converged for one in reports] == [False, True, True]
    for moment, one in enumerate(reports):
        assert one.joint_angles_deg == pytest.approx(
            {name: float(swing.joint_angles[name][moment]) * DEG for name in JOINT_ANGLES}, abs=1e-6
        )
        for name in JOINTS:
            assert one.joints_m[name] == pytest.approx(tuple(swing.skeleton.joints[name][moment]), abs=1e-6)
        assert one.tilt_deg == rounded(source(swing, "achieved.tilt", moment) * DEG)
    assert limits_at(swing, 1) == ["lead_hip_flexion", "lead_knee_flexion"]


def test_asked_and_achieved_carry_their_units() -> None:
    for moment in (0, -1):
        for values in (SWING.asked, SWING.achieved):
            assert at_moment(values, moment) == pytest.approx(
                {f"{name}_{UNITS[name]}": float(array[moment]) * SIZE[UNITS[name]] for name, array in values.items()}
            )
    assert {name: border_unit(name) for name in UNITS} == UNITS


def test_a_body_is_told_as_it_was_simulated() -> None:
    body = BodyReport.of(ONE)
    assert (body.stature_cm, body.mass_kg, body.sex, body.handedness) == (183.4, 84.7, "female", "left")
    assert body.measured == ["lead_hip_flexion", "thigh"]
    for told, had, size in ((body.lengths_cm, SWING.body.lengths, CM), (body.ranges_deg, SWING.body.ranges, DEG)):
        assert told == pytest.approx({name: float(np.squeeze(value)) * size for name, value in had.items()}, abs=1e-6)
    him = performed_as(replace(SWING, body=replace(SWING.body, female=np.array(0.0))))
    assert (BodyReport.of(him).sex, BodyReport.of(him).handedness, BodyReport.of(him).measured) == ("male", "right", [])


def test_the_address_and_the_pieces_are_those_that_were_asked() -> None:
    told = golfer_fields(ONE)
    assert (told["preset"], told["shows"], told["body"]) == ("mine", "what it shows", BodyReport.of(ONE))
    assert told["address"] == pytest.approx(
        {f"{name}_{unit}": float(getattr(SWING.address, name)) * SIZE[unit] for name, unit in ADDRESS.items()}
    )
    arms = {
        "hands_ahead_cm": 1.37, "hands_out_deg": 0.2351 * DEG, "lead_elbow_bend_deg": 0.1277 * DEG,
        "trail_elbow_bend_deg": 0.1913 * DEG, "lead_elbow_bend_at_top_deg": 0.1511 * DEG,
        "arm_across_deg": 0.7019 * DEG, "arm_lift_deg": 0.1693 * DEG,
        "wrist_hinge_deg": 2.0711 * DEG, "club_roll_deg": -3.0303 * DEG,
        "turn_of_full_swing_deg": 1.6161 * DEG,
    }  # fmt: skip
    assert told["arms"] == pytest.approx(arms)
    assert told["pieces"] == {"hip_turn_deg": 41.5, "tilt_deg": "steady+7", "extension_deg": "steady"}


def test_what_holds_the_head_is_told_of_the_top_for_tilt_and_extension_each() -> None:
    """Departure is what the swing has less that; more than centred is that less the centred swing's."""
    steady = SteadyReport.of(ONE)
    for piece in ("tilt", "extension"):
        holds, has, centred = (float(of[piece][-1]) * DEG for of in (SWING.steady, SWING.achieved, ONE.centred.steady))
        told = [getattr(steady, f"{piece}_{what}deg") for what in ("", "departure_", "more_than_centred_")]
        assert told == pytest.approx([holds, has - holds, holds - centred], abs=1e-6)
    swing = replace(SWING, steady_miss=np.array([0.001, 0.007, 0.004]))
    at_most = SteadyReport.of(performed_as(swing))
    assert (at_most.head_miss_cm, at_most.largest_head_miss_cm) == (0.4, 0.7)


def whole(**changed: Any) -> tuple[Performed, SwingReport]:
    one = replace(ONE, swing=replace(SWING, **changed))
    return one, SwingReport.of(one)


def test_a_swings_report_puts_each_part_under_its_key() -> None:
    limited = np.zeros((3, len(LIMITS)), bool)
    limited[0:2, 1] = limited[1:, 4] = True
    arms = np.zeros((3, len(ARM_LIMITS)), bool)
    arms[1:, 0] = arms[1, 2] = True
    one, report = whole(limited=limited, arms_limited=arms)
    golfer = golfer_fields(one)
    assert {key: getattr(report, key) for key in golfer if key not in ("address", "arms")} == {
        key: value for key, value in golfer.items() if key not in ("address", "arms")
    }
    assert report.address == pytest.approx(golfer["address"], abs=1e-6)
    assert report.arms == pytest.approx(golfer["arms"], abs=1e-6)
    assert report.timing == {"hip_turn": [(0.0, 0.0), (0.5, 0.75), (1.0, 1.0)]}
    assert report.asked == pytest.approx(at_moment(one.swing.asked, -1), abs=1e-6)
    assert report.achieved == pytest.approx(at_moment(one.swing.achieved, -1), abs=1e-6)
    assert report.steady == SteadyReport.of(one)
    assert [tuple(stop.model_dump().values()) for stop in report.limited_by] == [
        ("girdle", 0.5, 1.0, True),
        ("lead_hip_flexion", 0.0, 0.5, False),
    ]
    assert [tuple(stop.model_dump().values()) for stop in report.arms_limited_by] == [
        ("lead_shoulder_horizontal_adduction", 0.5, 1.0, True),
        ("lead_forearm_pronation", 0.5, 0.5, False),
    ]
    assert [moment.arms_limited_by for moment in report.moments] == [
        [], ["lead_shoulder_horizontal_adduction", "lead_forearm_pronation"], ["lead_shoulder_horizontal_adduction"],
    ]  # fmt: skip
    told = "The arms swing less far than asked, where this body's ranges end: lead shoulder horizontal adduction (from "
    assert (
        f"{told}50% of the backswing) and lead forearm pronation (from 50% to 50% of the backswing)." in report.warnings
    )
    assert list(report.limited_by[0].model_dump()) == ["range", "from_progress", "to_progress", "at_top"]
    assert report.moments == [MomentReport.of(one.swing, moment) for moment in range(3)]
    assert report.cautions == list(CAUTIONS) and report.angle_order == ANGLE_ORDER
    assert closing_fields() == {"cautions": list(CAUTIONS), "angle_order": ANGLE_ORDER}


def test_only_a_reports_sentences_are_in_inches() -> None:
    one, _ = whole(steady_miss=np.full(3, 0.0254))
    metric, imperial = SwingReport.of(one), SwingReport.of(one, inches=True)
    assert "2.5 cm off" in " ".join(metric.warnings) and "1.00 in off" in " ".join(imperial.warnings)
    assert metric.replaced(warnings=[]) == imperial.replaced(warnings=[])


def test_a_report_stays_as_it_was_made_and_has_nothing_that_it_does_not_name() -> None:
    steady = SteadyReport.of(ONE)
    with pytest.raises(ValidationError, match="frozen"):
        steady.tilt_deg = 1.0  # type: ignore[misc]
    with pytest.raises(ValidationError, match="Extra inputs"):
        SteadyReport(**steady.model_dump(), more=1.0)


def test_a_reports_number_is_rounded_once_to_a_millionth_without_a_negative_zero() -> None:
    assert rounded(1.23456749) == 1.234567 and rounded(np.float64(-2.0000004)) == -2.0
    assert str(rounded(-1e-9)) == "0.0"
