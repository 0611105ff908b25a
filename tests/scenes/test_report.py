from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest

from turnstill.model.chain.skeleton import JOINTS
from turnstill.scenes.delivery.json_text import json_text
from turnstill.scenes.setups.perform import Performed
from turnstill.scenes.setups.presets import backswing_names
from turnstill.scenes.simulate.report import SwingReport
from turnstill.scenes.simulate.table import swing_table
from turnstill.scenes.words.cautions import CAUTIONS, warnings

Perform = Callable[..., Performed]

TOP_KEYS = {"preset", "body", "address", "asked", "achieved", "limited_by", "warnings", "moments"}
MOMENT_KEYS = {
    "progress", "head_toward_target_cm", "head_toward_ball_cm", "head_up_cm", "inclination_deg",
    "inclination_down_the_line_deg", "hip_turn_deg", "shoulder_turn_deg", "tilt_deg", "bend_deg", "extension_deg",
    "belt_line_tilt_deg", "lead_knee_flex_deg", "trail_knee_flex_deg", "joint_angles_deg", "trail_weight_share",
    "joints_m",
}  # fmt: skip


def swing_report(performed: Performed) -> dict[str, Any]:
    """As a program reads it."""
    read: dict[str, Any] = json.loads(json_text(SwingReport.of(performed)))
    return read


def numbers(value: Any) -> Iterator[float]:
    if isinstance(value, dict):
        for inner in value.values():
            yield from numbers(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from numbers(inner)
    elif isinstance(value, float):
        yield value


def keys(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from keys(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from keys(inner)


@pytest.mark.parametrize("name", backswing_names())
def test_every_preset_gives_whole_finite_json(performed: Perform, name: str) -> None:
    report = swing_report(performed(name))
    assert set(report) >= TOP_KEYS
    assert len(report["moments"]) == 9
    for moment in report["moments"]:
        assert set(moment) >= MOMENT_KEYS
        assert list(moment["joints_m"]) == list(JOINTS)
        assert all(len(place) == 3 for place in moment["joints_m"].values())
        assert 0.0 <= moment["trail_weight_share"] <= 1.0
    assert all(math.isfinite(number) for number in numbers(report))
    assert report["preset"] == name
    assert report["moments"][0]["progress"] == 0.0 and report["moments"][-1]["progress"] == 1.0


def test_numbers_agree_with_the_swing(performed: Perform) -> None:
    one = performed("too-much-tilt")
    report, swing = swing_report(one), one.swing
    top = report["moments"][-1]
    moved = swing.skeleton.joints["head"][-1] - swing.skeleton.joints["head"][0]
    said = [top["head_toward_ball_cm"], top["head_toward_target_cm"], top["head_up_cm"]]
    np.testing.assert_allclose(said, moved * 100, atol=1e-6)
    np.testing.assert_allclose(top["joints_m"]["head"], swing.skeleton.joints["head"][-1], atol=1e-6)
    trunk = swing.skeleton.joints["neck_base"][-1] - swing.skeleton.joints["pelvis"][-1]
    assert top["inclination_deg"] == pytest.approx(np.degrees(np.arccos(trunk[2] / np.linalg.norm(trunk))), abs=1e-5)
    assert report["asked"]["tilt_deg"] == pytest.approx(report["steady"]["tilt_deg"] + 10.0, abs=1e-5)
    assert report["steady"]["tilt_departure_deg"] == pytest.approx(10.0, abs=0.1)
    assert report["pieces"]["tilt_deg"] == "steady+10"
    assert top["extension_deg"] == pytest.approx(report["moments"][0]["bend_deg"] - top["bend_deg"], abs=1e-5)


def test_a_left_handed_golfer_is_mirrored_in_places_only(performed: Perform) -> None:
    right, left = (swing_report(performed("sway", f"handedness={hand}")) for hand in ("right", "left"))
    for one, other in zip(right["moments"], left["moments"], strict=True):
        for name in MOMENT_KEYS - {"joints_m", "joint_angles_deg"}:
            assert one[name] == pytest.approx(other[name], abs=2e-6), name
        for name in JOINTS:
            np.testing.assert_allclose(
                np.multiply(one["joints_m"][name], [1, -1, 1]), other["joints_m"][name], atol=2e-6
            )
    assert left["body"]["handedness"] == "left"


def test_limits_and_reference_ranges_are_said(performed: Perform) -> None:
    stopped = performed("pinched-toes", "hip_turn=60", "trail_hip_internal_rotation=15")
    report = swing_report(stopped)
    top = next(limit for limit in report["limited_by"] if limit["range"] == "trail_hip_internal_rotation")
    assert top["at_top"] and top["to_progress"] == 1.0
    assert report["achieved"]["hip_turn_deg"] < report["asked"]["hip_turn_deg"] - 1.0
    assert any("trail hip internal rotation" in line for line in report["warnings"])
    # A measured range beyond the published mean lets the body go there, and the person is told.
    supple = performed(
        "pinched-toes", "hip_turn=60", "trail_hip_internal_rotation=90", "trail_shin_internal_rotation=60"
    )
    said = " ".join(warnings(supple.swing))
    assert "published mean" in said and "do not force" in said
    assert warnings(performed("centred").swing) == []


def test_the_centred_preset_needs_what_it_has(performed: Perform) -> None:
    steady = swing_report(performed("centred", "stature=160", "sex=female"))["steady"]
    for piece in ("tilt", "extension"):
        assert steady[f"{piece}_departure_deg"] == pytest.approx(0.0, abs=0.01)
        assert steady[f"{piece}_more_than_centred_deg"] == pytest.approx(0.0, abs=1e-4)
    more = swing_report(performed("centred", "hip_turn=30"))["steady"]
    assert abs(more["tilt_more_than_centred_deg"]) > 0.1


def test_the_table_fits_a_terminal_and_says_what_matters(performed: Perform, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    report = SwingReport.of(performed("pinched-toes", frames=41))
    text = swing_table(report)
    lines = text.splitlines()
    assert max(map(len, lines)) <= 80
    assert sum(1 for line in lines if re.match(r"^ +(?:[\d.]+|top) +[-+0]", line)) == 9
    flat = " ".join(text.split())
    for sentence in (*CAUTIONS, *report.warnings):
        assert sentence in flat
    assert "turn, tilt, bend" in flat and " cm" in text
    # The row of units under the headings, metric and not.
    for inches, unit, other in ((False, "cm", "in"), (True, "in", "cm")):
        units = next(line for line in swing_table(report, inches).splitlines() if re.match("^ +% ", line)).split()
        assert units.count(unit) == 3 and other not in units
