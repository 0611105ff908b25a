"""The ``diagnose`` command: from what two films show of one swing to the pieces that moved the head."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import Inches_, Json_, of_a_golfer
from .options import (
    AngleSd_,
    BeltLineTilt_,
    HeadLength_,
    HeadSd_,
    HeadTowardBall_,
    HeadTowardTarget_,
    HeadUp_,
    HeadWidth_,
    HipTurn_,
    InclinationChange_,
    LeadKneeFlex_,
    LeanFaceOn_,
    PelvisSd_,
    PelvisTowardBall_,
    PelvisTowardTarget_,
    Read_,
    Sd_,
    ShoulderPlane_,
    ShoulderTurn_,
    TrailKneeFlex_,
)


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(diagnose)


@of_a_golfer
def diagnose(
    preset_or_file: Annotated[
        str,
        typer.Argument(
            metavar="[PRESET_OR_FILE]",
            help="Whose body and address, and the turn departures are counted from; centred if not given.",
        ),
    ] = "centred",
    head_toward_target_cm: HeadTowardTarget_ = None,
    head_up_cm: HeadUp_ = None,
    head_toward_ball_cm: HeadTowardBall_ = None,
    pelvis_toward_target_cm: PelvisTowardTarget_ = None,
    pelvis_toward_ball_cm: PelvisTowardBall_ = None,
    inclination_change_deg: InclinationChange_ = None,
    lean_face_on_deg: LeanFaceOn_ = None,
    shoulder_plane_deg: ShoulderPlane_ = None,
    shoulder_turn_deg: ShoulderTurn_ = None,
    hip_turn_deg: HipTurn_ = None,
    lead_knee_flex_deg: LeadKneeFlex_ = None,
    trail_knee_flex_deg: TrailKneeFlex_ = None,
    belt_line_tilt_deg: BeltLineTilt_ = None,
    read: Read_ = None,
    head_sd_cm: HeadSd_ = None,
    pelvis_sd_cm: PelvisSd_ = None,
    angle_sd_deg: AngleSd_ = None,
    sd: Sd_ = None,
    head_width_cm: HeadWidth_ = None,
    head_length_cm: HeadLength_ = None,
    *,
    settings: list[str],
    json_file: Json_ = None,
    out: Annotated[
        str | None, typer.Option(metavar="FOLDER", help="Write a page with charts and drawings, and the JSON.")
    ] = None,
    inches: Inches_ = False,
) -> None:
    """Say which pieces of the pivot moved the head, from what two films of one swing show.

    Give what was read between address and the top, any of it: turnstill diagnose --head-toward-target-cm -6
    --head-up-cm 0.5 --head-sd-cm 1 --shoulder-turn-deg 88 --angle-sd-deg 4. What was read at impact, by --read
    impact.NAME=VALUE, is told beside it or alone. It says how probable each piece is at
    fault, by how much, what these readings cannot tell apart, what to read next, and the opposite feel. Not medical
    advice.
    """
    from .work import diagnose_to

    options = {
        "head_toward_target": head_toward_target_cm,
        "head_up": head_up_cm,
        "head_toward_ball": head_toward_ball_cm,
        "pelvis_toward_target": pelvis_toward_target_cm,
        "pelvis_toward_ball": pelvis_toward_ball_cm,
        "inclination_change": inclination_change_deg,
        "lean_face_on": lean_face_on_deg,
        "shoulder_plane": shoulder_plane_deg,
        "shoulder_turn": shoulder_turn_deg,
        "hip_turn": hip_turn_deg,
        "lead_knee_flex": lead_knee_flex_deg,
        "trail_knee_flex": trail_knee_flex_deg,
        "belt_line_tilt": belt_line_tilt_deg,
    }
    diagnose_to(
        preset_or_file,
        settings,
        options={name: values or [] for name, values in options.items()},
        read=read or [],
        group_sd={"head": head_sd_cm, "pelvis": pelvis_sd_cm, "angle": angle_sd_deg},
        sd=sd or [],
        head_width_cm=head_width_cm,
        head_length_cm=head_length_cm,
        json_file=json_file,
        out=out,
        inches=inches,
    )
