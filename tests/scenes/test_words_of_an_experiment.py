"""What is said of an experiment, on reports whose numbers are given: every case of every sentence."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest
from experiment_reports import report, said, steps, tried

from turnstill.scenes.experiment.report import StepReport
from turnstill.scenes.experiment.shown import ROOM_WORDS
from turnstill.scenes.experiment.stretches import at_steps
from turnstill.scenes.experiment.sway import SwayAloneReport
from turnstill.scenes.experiment.words import limit_words, sentences
from turnstill.scenes.words.hip_ceiling import MEASURED_WORDS


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
    assert said(steps(turns))[1] == "What stops the hips is trail hip internal rotation, at every step."
    assert said(steps(turns, limited_by=[two] * 4))[1] == (
        "What stops the hips is lead hip external rotation and lead shin external rotation together, at every step."
    )
    assert said(steps(turns, limited_by=[one, one, two, two]))[1] == (
        "What stops the hips changes: from 0° to 10° trail hip internal rotation; from 20° on lead hip external "
        "rotation and lead shin external rotation."
    )
    assert said(steps(turns, limited_by=[one, two, two, []]))[1] == (
        "What stops the hips changes: at 0° trail hip internal rotation; from 10° to 20° lead hip external rotation "
        "and lead shin external rotation; at 30° nothing within 156°."
    )
    shin = "The rotation of the shin is between knee and foot."
    assert said(steps(turns, limited_by=[one, one, one, two]))[-1] == shin and shin not in said(steps(turns))


def test_ranges_in_words() -> None:
    assert limit_words([]) == "nothing within 156°"
    assert limit_words(["lead_ankle_eversion", "trunk"]) == "lead ankle eversion and trunk"


def test_the_turn_that_is_asked_for() -> None:
    turns = (70.0, 71.0, 72.0, 73.0)
    there = "This swing gets the 45° of hip turn that it asks for at every step."
    assert there in said(steps(turns))
    assert there in said(steps(turns, hip_turn_deg=[45.0, 44.1, 45.0, 45.0]))
    ends = [{"trail_shin_rotation": share, "lead_knee": 0.4} for share in (1.0, 0.996, 0.99, 0.7)]
    assert (
        f"{there} At 0° to 10° that takes trail shin rotation all the way to the end of its range, with nothing left."
        in said(steps(turns, strain_of=ends, strain=[max(one.values()) for one in ends]))
    )
    assert not any("of hip turn that it asks" in line for line in said(steps(turns), tried(sets=["hip_turn"])))
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
        "From 0°", "Take that as a ceiling", "Sway alone", "The head goes less", "What stops the hips",
        "This swing gets", "From the first step",
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
