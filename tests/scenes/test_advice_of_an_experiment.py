"""What an experiment says of common advice: whether its steps bear it out, and why."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from experiment_reports import said, steps, tried

from turnstill.scenes.experiment.advice import LEFT_OUT, advice_sentences, why_flare

TAKES = "following it takes 10° of hip turn away"
AGREES, DISAGREES, IN_PART = "the model agrees", f"the model disagrees here: {TAKES}", "the model agrees in part:"


@pytest.mark.parametrize(
    ("name", "turns", "told"),
    [
        ("flare", (70.0, 70.5, 70.9), "for the most hip turn the model finds no noticeable difference here."),
        ("flare", (60.0, 65.0, 70.0), f"{AGREES}."),
        ("flare", (60.0, 70.0, 70.5), f"{AGREES} up to about 10°, and past that nothing more comes."),
        (
            "flare", (70.0, 69.0, 68.0),
            "the model finds next to nothing: following it takes 2° of hip turn away, less than bodies differ by.",
        ),
        ("flare", (70.0, 65.0, 60.0), f"{DISAGREES}."),
        ("flare", (70.0, 69.5, 60.0), f"{DISAGREES}, none of it up to about 10°."),
        ("flare", (70.0, 69.0, 67.0), f"{DISAGREES.replace('10', '3')}."),
        (
            "flare", (60.0, 72.0, 68.0),
            f"{IN_PART} up to about 10° it gives 12° of hip turn, past that it takes 4° away.",
        ),
        ("stance_width", (60.0, 65.0, 70.0), f"{DISAGREES}."),
        ("stance_width", (70.0, 65.0, 60.0), f"{AGREES}."),
        ("stance_width", (70.5, 70.0, 60.0), f"{AGREES} down to about 10°, and below that nothing more comes."),
        (
            "stance_width", (68.0, 72.0, 60.0),
            f"{IN_PART} down to about 10° it gives 12° of hip turn, below that it takes 4° away.",
        ),
        ("stance_width", (60.0, 69.5, 70.0), f"{DISAGREES}, none of it down to about 10°."),
        ("trail_flex_change", (70.0, 65.0, 60.0), f"{AGREES}."),
        ("lead_flex_change", (60.0, 65.0, 70.0), f"{AGREES}."),
        ("lead_heel_rise", (60.0, 65.0, 70.0), f"{AGREES}."),
        ("knee_flex_change", (60.0, 65.0, 70.0), f"{AGREES}."),
    ],
)  # fmt: skip
def test_advice(name: str, turns: Sequence[float], told: str) -> None:
    advice = {
        "flare": "feet turned out help the hips turn",
        "stance_width": "a narrower stance lets the hips turn further",
        "lead_heel_rise": "a lead heel that comes up lets the hips turn further",
    }.get(name, "knees that change flex help the hips turn")
    lines = advice_sentences(tried(name), steps(turns))
    assert lines[0] == f"Common advice is that {advice}; {told}"
    away = "takes" in told
    assert lines[1:] == ([LEFT_OUT] if away else [])
    assert said(steps(turns), tried(name))[2] == lines[0]


@pytest.mark.parametrize(
    ("name", "advice"),
    [
        *((f"{side}flare", "feet turned out help the hips turn") for side in ("lead_", "trail_")),
        *((f"{side}hip_{way}_rotation", "freer hips turn further")
          for side in ("", "lead_", "trail_") for way in ("internal", "external")),
    ],
)  # fmt: skip
def test_every_advice_has_its_way(name: str, advice: str) -> None:
    assert advice_sentences(tried(name), steps((60.0, 65.0, 70.0))) == [
        f"Common advice is that {advice}; the model agrees."
    ]


def test_no_advice_where_there_is_none() -> None:
    turns = steps((60.0, 65.0, 70.0))
    assert advice_sentences(tried("sway"), turns) == []
    assert advice_sentences(tried("flare", from_steady=True), turns) == []


def test_why_flare_is_the_slope_of_hip_and_shin() -> None:
    joints = [f"{side}_{joint}_{way}_rotation"
              for side, way in (("lead", "external"), ("trail", "internal")) for joint in ("hip", "shin")]  # fmt: skip
    used = [dict(zip(joints, angles, strict=True)) for angles in ((10.0, 3.0, 30.0, 12.0), (18.0, 6.0, 23.0, 10.0))]
    first, last = steps((60.0, 70.0), used_deg=used)
    lead = "each degree of flare asks 1.1° more outward rotation of hip and shin together."
    trail = "each degree of flare asks 0.9° less inward rotation of hip and shin together."
    both = why_flare(tried("flare"), first, last)
    assert both[0].startswith("Why, for the lead foot: ") and both[0].endswith(lead) and "the two add up" in both[0]
    assert both[1].startswith("Why, for the trail foot: ") and both[1].endswith(trail)
    assert why_flare(tried("lead_flare"), first, last) == both[:1]
    assert why_flare(tried("trail_flare"), first, last) == both[1:]
    assert why_flare(tried("stance_width"), first, last) == []
    # Where the joints do not do what the reason says, it is not given.
    assert why_flare(tried("flare"), first, last.replaced(used_deg=first.used_deg)) == []
    assert (
        why_flare(tried("flare"), first, first.replaced(value=10.0, used_deg=dict.fromkeys(first.used_deg, 50.0)))[1:]
        == []
    )
