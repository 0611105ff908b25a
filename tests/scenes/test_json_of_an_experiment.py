"""The JSON of an experiment: every key from its own array of the model."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from turnstill.model.chain.lower_body import LEG_LIMITS
from turnstill.model.questions.experiment import STRAINED
from turnstill.scenes.experiment.report import ExperimentReport
from turnstill.scenes.experiment.tried import Tried, try_out
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply


@pytest.fixture(scope="module")
def distinct() -> Tried:
    """A short hip turn, so that what is asked, had and available differ; what else is told is made distinct."""
    tried = try_out(apply(load("centred"), ["hip_turn=60"]), "flare", "0", "10", 2)
    found = tried.found
    limits, strained = len(LEG_LIMITS), len(STRAINED)
    stopped = np.zeros((3, limits), dtype=bool)
    stopped[0, 3] = stopped[1, [5, 8]] = stopped[2, 1] = True
    return replace(
        tried,
        found=replace(
            found,
            available=replace(found.available, hip_turn=np.radians([31.0, 32.0, 33.0]), stopped_by=stopped),
            strain=1000.0 + np.arange(3 * strained).reshape(3, strained),
            demand=np.radians(np.arange(3 * limits).reshape(3, limits) - 40.0),
            end=np.radians(np.arange(3 * limits).reshape(3, limits) / 3.0 + 300.0),
        ),
    )


def test_keys_of_the_json_are_what_they_say(distinct: Tried) -> None:
    report = ExperimentReport.of(distinct).model_dump()
    rows = [*report["steps"], report["as_given"]]
    for k, row in enumerate(rows):
        swing = distinct.swing(k)
        assert row["available_hip_turn_deg"] == pytest.approx(31.0 + k)
        assert row["hip_turn_asked_deg"] == pytest.approx(60.0)
        assert row["hip_turn_deg"] == pytest.approx(float(np.degrees(swing.achieved["hip_turn"][-1])), abs=1e-6)
        for j, name in enumerate(LEG_LIMITS):
            assert row["used_deg"][name] == pytest.approx(k * len(LEG_LIMITS) + j - 40.0, abs=1e-6)
            assert row["range_deg"][name] == pytest.approx((k * len(LEG_LIMITS) + j) / 3.0 + 300.0, abs=1e-6)
        for j, name in enumerate(STRAINED):
            assert row["strain_of"][name] == pytest.approx(1000.0 + k * len(STRAINED) + j)
        assert row["strain"] == max(row["strain_of"].values()) == 1000.0 + (k + 1) * len(STRAINED) - 1
        stops = [name for name, on in zip(swing.limit_names, swing.limited[-1], strict=True) if on]
        assert row["swing_limited_by"] == stops
        assert (row["met"], row["converged"]) == (bool(swing.met[-1]), True)
    assert [row["limited_by"] for row in rows] == [[LEG_LIMITS[3]], [LEG_LIMITS[5], LEG_LIMITS[8]], [LEG_LIMITS[1]]]
    assert not rows[0]["met"] and "trail_hip_internal_rotation" in rows[0]["swing_limited_by"]
    assert [row["value"] for row in rows[:2]] == [0.0, 10.0] and [row["setting"] for row in rows] == [
        "0°",
        "10°",
        "20°",
    ]
    assert report["as_given"]["values"] == {"lead_flare": 20.0, "trail_flare": 20.0}
    assert report["stops"] == [
        {"from_value": 0.0, "to_value": 0.0, "ranges": [LEG_LIMITS[3]]},
        {"from_value": 10.0, "to_value": 10.0, "ranges": [LEG_LIMITS[5], LEG_LIMITS[8]]},
    ]
    assert report["experiment"] == {
        "name": "flare", "words": "flare of both feet", "unit": "deg", "means": "lead flare and trail flare alike",
        "sets": ["lead_flare", "trail_flare"], "from_steady": False,
    }  # fmt: skip
    assert report["preset"] == "centred" and report["pieces"]["hip_turn_deg"] == 60.0


def test_a_knee_that_straightens_counts_as_the_other_that_flexes() -> None:
    given = ExperimentReport.of(try_out(load("centred"), "knee_flex_change", "0", "5", 2)).as_given
    assert given.values == {"lead_flex_change": 15.0, "trail_flex_change": -12.0} and given.setting == "15°, 12°"
