"""A diagnosis whose numbers are all different, and what its pieces and readings are called, written out by hand."""

from __future__ import annotations

from distinct import filled

from turnstill.scenes.diagnose import words
from turnstill.scenes.diagnose.feel import ChangeReport, FeelReport
from turnstill.scenes.diagnose.parts import DepartureReport, HeadReport, PieceReport, ReadingReport
from turnstill.scenes.diagnose.report import DiagnosisReport, MomentDiagnosis

PIECES = {
    "hip_turn": ("hip turn", "deg"), "shoulder_turn": ("shoulder turn", "deg"), "tilt": ("tilt", "deg"),
    "extension": ("extension", "deg"), "lead_flex_change": ("lead knee", "deg"),
    "trail_flex_change": ("trail knee", "deg"), "sway": ("sway", "cm"), "hips_toward_ball": ("hips toward ball", "cm"),
}  # fmt: skip
"""How a piece is called and its unit, written out by hand."""
READ = {
    "head_toward_target": ("head toward the target", "cm"), "head_up": ("head up", "cm"),
    "head_toward_ball": ("head toward the ball", "cm"), "pelvis_toward_target": ("pelvis toward the target", "cm"),
    "pelvis_toward_ball": ("pelvis toward the ball", "cm"), "inclination_change": ("change of inclination", "deg"),
    "lean_face_on": ("trunk lean face-on", "deg"), "shoulder_plane": ("shoulder plane", "deg"),
    "shoulder_turn": ("shoulder turn", "deg"), "hip_turn": ("hip turn", "deg"),
    "lead_knee_flex": ("lead knee flexion", "deg"), "trail_knee_flex": ("trail knee flexion", "deg"),
    "belt_line_tilt": ("belt line tilt", "deg"),
}  # fmt: skip
"""Names with what they are called and their units, written out by hand."""
SHOWN = {
    "head_toward_target": ("face-on", "toward the target since address"),
    "head_up": ("either view", "up since address"),
    "head_toward_ball": ("down the line", "toward the ball since address"),
    "pelvis_toward_target": ("face-on", "toward the target since address"),
    "pelvis_toward_ball": ("down the line", "toward the ball since address"),
    "inclination_change": ("down the line", "more toward the ball than at address"),
    "lean_face_on": ("face-on", "away from the target, from the vertical, at the top"),
    "shoulder_plane": ("down the line", "lead shoulder down, from the horizontal, at the top"),
    "shoulder_turn": ("either view", "away from the target, at the top"),
    "hip_turn": ("either view", "away from the target, at the top"),
    "lead_knee_flex": ("face-on", "flexed, 0 is straight, at the top"),
    "trail_knee_flex": ("down the line", "flexed, 0 is straight, at the top"),
    "belt_line_tilt": ("face-on", "lead side down, from the horizontal, at the top"),
}
"""The film that shows a reading, and what is positive, by hand."""
EITHER_WAY = "trail_flex_change"


def made(shift: int = 0, **given: object) -> DiagnosisReport:
    """A report with a feel of sway, all pieces, all readings; the trail knee's sign is open.

    Args:
        shift: of what its numbers count from, so that two reports share none.
        given: fields that must be something in particular.
    """
    each = [
        filled(
            PieceReport, start=shift + 40 * k, piece=name, unit=unit, probability=0.91 - 0.07 * k,
            low=-3.5 - 2.1 * k if name == EITHER_WAY else 1.3 + 2.1 * k, most_likely=3.4 + 2.1 * k, high=5.9 + 2.1 * k,
            not_at_fault_sd=0.61 + 0.13 * k,
            head_by_itself=HeadReport(
                head_toward_target_cm=-1.1 - 0.7 * k, head_up_cm=2.3 + 0.4 * k, head_toward_ball_cm=4.7 - 0.9 * k
            ),
        )
        for k, (name, (_, unit)) in enumerate(PIECES.items())
    ]  # fmt: skip
    read = [
        filled(ReadingReport, start=shift + 400 + 10 * k, reading=name, unit=unit, sd=0.45 + 0.17 * k)
        for k, (name, (_, unit)) in enumerate(READ.items())
    ]
    departed = [
        filled(DepartureReport, start=shift + 700 + 10 * k, piece=name, unit=unit)
        for k, (name, (_, unit)) in enumerate(PIECES.items())
    ]
    feel = filled(
        FeelReport, start=shift + 900, piece="sway", unit="cm", amount=-31.7, brings_head_back_cm=21.3,
        alone_it_would_change=filled(ChangeReport, start=shift + 1000), leaves_tilt_deg=-6.2, leaves_extension_deg=7.3,
        then=["tilt"],
    )  # fmt: skip
    usual = {
        "fits": True, "check": None, "head_still": False, "counted_from_centred": False, "preset": "mine",
        "each_piece": each, "readings": read, "departures": departed, "feel": feel, "withheld": [],
        "candidates": ["sway", "tilt", EITHER_WAY], "likeliest_at_fault": ["sway", "extension"], "told_apart_by": [],
        "cannot_tell_apart": [], "measure_next": "hip_turn", "nothing_at_fault": 0.04, "probability_before": 0.15,
        "largest": "sway", "moment": "top", "at_impact": None, "doubted": None,
    }  # fmt: skip
    report = filled(DiagnosisReport, start=shift + 1200, **(usual | given))
    body = report.body.replaced(handedness=given.get("hand", "right"))
    return report.replaced(body=body)


def both_moments(**given: object) -> DiagnosisReport:
    """A report of the top with one of impact beside it, which share no number."""
    other = made(5000, moment="impact", **given)
    own = {name: getattr(other, name) for name in MomentDiagnosis.model_fields}
    return made(at_impact=MomentDiagnosis(**own))


def said(report: DiagnosisReport, part: str, inches: bool = False) -> str:
    """The one sentence with these words."""
    (line,) = [line for line in words.sentences(report, inches) if part in line]
    return line
