"""What is said of an experiment, on reports whose numbers are given: every case of every sentence."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest
from distinct import filled

from turnstill.model.chain.lower_body import LEG_LIMITS
from turnstill.scenes.experiment.advice import LEFT_OUT, advice_sentences, why_flare
from turnstill.scenes.experiment.report import ExperimentReport, StepReport, TriedReport
from turnstill.scenes.experiment.shown import ROOM_WORDS
from turnstill.scenes.experiment.stretches import at_steps
from turnstill.scenes.experiment.sway import SwayAloneReport
from turnstill.scenes.experiment.words import limit_words, sentences
from turnstill.scenes.words.hip_ceiling import MEASURED_WORDS

BASE = filled(StepReport).model_dump() | {
    "converged": True, "hip_turn_deg": 45.0, "hip_turn_asked_deg": 45.0, "strain": 0.8,
    "strain_of": {"lead_hip_abduction": 0.4, "trail_shin_internal_rotation": 1.5, "lead_ankle_inversion": 0.1},
    "limited_by": ["trail_hip_internal_rotation"], "swing_limited_by": ["trunk"],
    "used_deg": dict.fromkeys(LEG_LIMITS, 20.0), "range_deg": dict.fromkeys(LEG_LIMITS, 35.0),
}  # fmt: skip


def steps(
    available: Sequence[float], values: Sequence[float] | None = None, **fields: Sequence[Any]
) -> list[StepReport]:
    """Steps that are alike but for what is given, a value each."""
    values = [10.0 * k for k in range(len(available))] if values is None else values
    return [
        StepReport(**BASE | {"value": v, "setting": f"{v:g}°", "available_hip_turn_deg": a}
                   | {name: each[k] for name, each in fields.items()})
        for k, (v, a) in enumerate(zip(values, available, strict=True))
    ]  # fmt: skip


def tried(name: str = "thing", from_steady: bool = False, sets: Sequence[str] = ("thing",)) -> TriedReport:
    return TriedReport(name=name, words="the thing", unit="deg", means="", sets=list(sets), from_steady=from_steady)


def report(
    made: Sequence[StepReport], what: TriedReport | None = None, alone: SwayAloneReport | None = None
) -> ExperimentReport:
    address = {"pelvis_bend_deg": 21.0, "forward_bend_deg": 38.0, "side_bend_deg": 5.0}
    return filled(ExperimentReport, experiment=what or tried(), steps=list(made), sway_alone=alone, address=address)


def said(made: Sequence[StepReport], what: TriedReport | None = None) -> list[str]:
    """All but the sentence on what people reach, which stands second and does not change."""
    return [line for line in sentences(report(made, what)) if not line.startswith("Take that as a ceiling")]


def test_what_people_reach_is_told_after_the_hip_turn_there_is() -> None:
    """The measured figures follow from what the abstract prints: 25.5 degrees less, which are 40 %."""
    ceiling = (
        "Take that as a ceiling, not as what people reach: 20 men (feet and knees not told) turned the pelvis at most "
        "about 64° standing upright and 38° with the trunk bent 45° (Montgomery et al. 2011); here it is bent"
    )
    assert sentences(report(steps((70.0, 71.0))))[1] == f"{ceiling} 38° at address."
    bends = sentences(report(steps((70.0, 71.0), values=(12.0, 30.4)), tried(sets=["forward_bend"])))
    assert bends[1] == f"{ceiling} 12° to 30° at address."
    assert MEASURED_WORDS in ROOM_WORDS
    assert MEASURED_WORDS == "Measured on 20 men: about 64° standing upright, 38° with the trunk bent 45°."


@pytest.mark.parametrize(
    ("turns", "told"),
    [
        ((70.0, 70.4, 70.9), "stays at 71°."),
        ((70.0, 75.0, 80.0), "goes from 70° to 80°."),
        ((80.0, 75.0, 70.0), "goes from 80° to 70°."),
        ((70.0, 85.0, 80.0), "goes from 70° to 80°, with the most, 85°, at 10°."),
        ((70.0, 80.9, 80.0), "goes from 70° to 80°."),
        ((70.0, 60.0, 80.0), "goes from 70° to 80°, with the least, 60°, at 10°."),
        ((70.0, 69.2, 80.0), "goes from 70° to 80°."),
        ((70.0, 71.0, 70.0), "goes from 70° to 70°, with the most, 71°, at 10°."),
    ],
)
def test_the_hip_turn_there_is(turns: Sequence[float], told: str) -> None:
    assert said(steps(turns))[0] == f"From 0° to 20° of the thing the most hip turn available {told}"


def test_what_stops_it() -> None:
    one, two = ["trail_hip_internal_rotation"], ["lead_hip_external_rotation", "lead_shin_external_rotation"]
    turns = (70.0, 71.0, 72.0, 73.0)
    assert said(steps(turns))[1] == "What stops it is trail hip internal rotation, at every step."
    assert said(steps(turns, limited_by=[two] * 4))[1] == (
        "What stops it is lead hip external rotation and lead shin external rotation together, at every step."
    )
    assert said(steps(turns, limited_by=[one, one, two, two]))[1] == (
        "What stops it changes: from 0° to 10° trail hip internal rotation; from 20° on lead hip external rotation and "
        "lead shin external rotation."
    )
    assert said(steps(turns, limited_by=[one, two, two, []]))[1] == (
        "What stops it changes: at 0° trail hip internal rotation; from 10° to 20° lead hip external rotation and lead "
        "shin external rotation; at 30° nothing within 156°."
    )
    shin = "The rotation of the shin is between knee and foot."
    assert said(steps(turns, limited_by=[one, one, one, two]))[-1] == shin and shin not in said(steps(turns))


def test_ranges_in_words() -> None:
    assert limit_words([]) == "nothing within 156°"
    assert limit_words(["lead_ankle_eversion", "trunk"]) == "lead ankle eversion and trunk"


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


def test_the_turn_that_is_asked_for() -> None:
    turns = (70.0, 71.0, 72.0, 73.0)
    there = "The 45° of hip turn that this swing asks for are there at every step."
    assert there in said(steps(turns))
    assert there in said(steps(turns, hip_turn_deg=[45.0, 44.1, 45.0, 45.0]))
    assert not any("of hip turn that this swing" in line for line in said(steps(turns), tried(sets=["hip_turn"])))
    short = said(steps(turns, hip_turn_deg=[43.0, 40.0, 45.0, 43.9]))
    (line,) = [line for line in short if line.startswith("This swing asks")]
    assert line == (
        "This swing asks for 45° of hip turn and does not get them at 0° to 10° and 30°: at 10° it gets 40°, stopped "
        "by trunk."
    )
    (one,) = [line for line in said(steps(turns, hip_turn_deg=[43.0, 45.0, 45.0, 45.0])) if "does not get" in line]
    assert one.endswith("does not get them at 0°: it gets 43°, stopped by trunk.")
    more = "The most hip turn available is counted with"
    assert not any(one.startswith(more) for one in short)
    beyond = said(steps((39.0, 71.0), hip_turn_deg=[39.6, 45.0]))
    assert sum(one.startswith(more) for one in beyond) == 1
    assert not any(one.startswith(more) for one in said(steps((39.0, 71.0), hip_turn_deg=[39.4, 45.0])))


def test_what_the_joints_that_stop_it_do() -> None:
    def told(used: Sequence[float], end: Sequence[float], **fields: Sequence[Any]) -> list[str]:
        name = "trail_hip_internal_rotation"
        made = steps(
            (70.0, 72.0), used_deg=[{name: u} for u in used], range_deg=[{name: e} for e in end], **fields
        )  # fmt: skip
        return [line for line in said(made) if line.startswith("At the top of this swing")]

    lead = "At the top of this swing, its hips at 45°, from 0° to 10°: trail hip internal rotation"
    assert told((20.0, 26.0), (35.0, 35.4)) == [f"{lead} goes from 20° to 26° of the 35° available."]
    assert told((20.0, 26.0), (35.0, 38.0)) == [f"{lead} goes from 20° to 26° of the 35° to 38° available."]
    assert told((20.0, 20.6), (35.0, 38.0)) == [f"{lead} stays at 21° of the 35° to 38° available."]
    assert told((20.0, 20.6), (35.0, 35.0)) == []
    # Only steps whose hips turned alike and as asked can be compared.
    assert told((20.0, 26.0), (35.0, 35.0), hip_turn_deg=[45.0, 44.0]) == []
    assert told((20.0, 26.0), (35.0, 35.0), hip_turn_deg=[45.0, 46.2], hip_turn_asked_deg=[45.0, 46.2]) == []
    knee = steps((70.0, 72.0), limited_by=[["trail_knee_straight"]] * 2,
                 used_deg=[{"trail_knee_straight": 1.0}, {"trail_knee_straight": 9.0}],
                 range_deg=[{"trail_knee_straight": 0.0}] * 2)  # fmt: skip
    assert not [line for line in said(knee) if line.startswith("At the top of this swing")]


COURSES = {
    "head_toward_target_cm": "head toward target",
    "head_toward_ball_cm": "head toward ball",
    "head_up_cm": "head up",
    "pelvis_toward_target_cm": "pelvis toward target",
    "lead_knee_flex_deg": "lead knee flex",
    "trail_knee_flex_deg": "trail knee flex",
    "belt_line_tilt_deg": "belt line tilt",
    "inclination_deg": "inclination in space",
    "tilt_deg": "tilt",
    "extension_deg": "extension",
}


def rest(made: Sequence[StepReport], inches: bool = False) -> str:
    (line,) = [one for one in sentences(report(made), inches) if one.startswith("From the first step")]
    return line.removeprefix("From the first step to the last, at the top: ")


@pytest.mark.parametrize(("field", "words"), COURSES.items())
def test_what_else_changes(field: str, words: str) -> None:
    def course(*values: float, inches: bool = False) -> str:
        return rest(steps([70.0] * len(values), **{field: values}), inches).split("strain")[0]

    if field.endswith("_cm"):
        assert course(-1.0, 2.5) == f"{words} -1.0 cm to +2.5 cm; "
        assert course(-2.54, 5.08, inches=True) == f"{words} -1.00 in to +2.00 in; "
        assert course(1.0, 1.29) == "" and course(1.0, 1.31) == f"{words} +1.0 cm to +1.3 cm; "
        assert course(1.0, 3.0, 1.5) == f"{words} +1.0 cm to +1.5 cm by way of +3.0 cm; "
        assert course(1.0, -2.0, 1.0) == f"{words} +1.0 cm to +1.0 cm by way of -2.0 cm; "
        assert course(1.0, 1.6, 1.5) == f"{words} +1.0 cm to +1.5 cm; "
    else:
        assert course(8.2, 15.4) == f"{words} 8° to 15°; "
        assert course(8.0, 8.9) == "" and course(8.0, 9.0) == f"{words} 8° to 9°; "
        assert course(8.0, 12.0, 9.0) == f"{words} 8° to 9° by way of 12°; "


def test_strain_is_told_with_where_most_of_it_is() -> None:
    most = "at the last step that of trail shin rotation."
    assert rest(steps((70.0, 71.0))) == f"strain of the legs stays at 0.80, {most}"
    assert rest(steps((70.0, 71.0), strain=[0.8, 0.95])) == f"strain of the legs 0.80 to 0.95, {most}"
    assert rest(steps((70.0, 71.0), strain=[0.8, 0.819])) == f"strain of the legs stays at 0.82, {most}"
    assert rest(steps((70.0, 71.0), strain=[0.8, 0.821])) == f"strain of the legs 0.80 to 0.82, {most}"
    for name, words in (
        ("lead_hip_abduction", "lead hip abduction or adduction"),
        ("lead_ankle_inversion", "lead ankle's sideways tilt"),
        ("trail_hip_external_rotation", "trail hip rotation"),
    ):
        parts = [{name: 0.1, "lead_hip_flexion": 9.0}, {name: 3.0, "lead_hip_flexion": 1.0}]
        assert rest(steps((70.0, 71.0), strain_of=parts)).endswith(f"at the last step that of {words}.")


def test_sway_alone() -> None:
    def told(hips: float, head: float, tips: float, places: Sequence[float] = (0.0, -2.0)) -> list[str]:
        alone = SwayAloneReport(
            hips_away_from_target_cm=hips, head_away_from_target_cm=head, belt_line_tilt_deg=tips
        )  # fmt: skip
        made = report(steps((70.0, 71.0), head_toward_target_cm=places), tried("sway"), alone)
        return [line for line in sentences(made) if line.startswith(("Sway alone", "The head goes less"))]

    lead = "Sway alone (everything else as it was, tilt and extension in degrees included) takes the head "
    why = "The head goes less far than the hips because both knees hold their flex: that tips the belt line "
    assert told(4.0, 3.0, 6.0) == [
        f"{lead}3.0 cm away from the target while the hips go 4.0 cm, 0.8 cm for each centimetre.",
        f"{why}6.0° lead side down, and the lower spine tips with it, toward the target.",
    ]
    assert told(-4.0, -3.0, -6.0)[1] == (
        f"{why}6.0° lead side up, and the lower spine tips with it, away from the target."
    )
    assert told(4.0, 3.0, 6.0, (0.0, -0.2))[0].endswith(
        "for each centimetre; in these steps tilt and extension make up for it."
    )
    # Nothing to explain, or not by this.
    assert len(told(4.0, 4.0, 6.0)) == len(told(4.0, 3.0, -6.0)) == 1


def test_sentences_come_in_the_order_of_what_matters() -> None:
    alone = SwayAloneReport(hips_away_from_target_cm=5.0, head_away_from_target_cm=3.0, belt_line_tilt_deg=6.0)
    order = (
        "From 0°", "Take that as a ceiling", "Sway alone", "The head goes less", "What stops it", "The 45°",
        "From the first step",
    )  # fmt: skip
    lines = sentences(report(steps((70.0, 71.0)), tried("sway"), alone))
    assert [line.startswith(start) for line, start in zip(lines, order, strict=True)] == [True] * 7


def test_steps_that_did_not_converge_are_left_out() -> None:
    good = said(steps((70.0, 75.0, 99.0), converged=[True, True, False]))
    assert good[0] == "From 0° to 10° of the thing the most hip turn available goes from 70° to 75°."
    few = said(steps((70.0, 75.0), converged=[True, False]))
    assert few == ["Too few steps could be computed to say anything; try values nearer to a usual stance."]


def test_neighbouring_steps_are_told_together() -> None:
    made = steps([70.0] * 6)
    for chosen, told in (
        ([0], "0°"), ([0, 1], "0° to 10°"), ([0, 1, 2, 5], "0° to 20° and 50°"), ([1, 3, 4], "10° and 30° to 40°"),
        ([0, 2, 4], "0°, 20° and 40°"), ([0, 1, 2, 3, 4, 5], "0° to 50°"),
    ):  # fmt: skip
        assert at_steps(made, [made[k] for k in chosen]) == told
