"""Every quantity that can be set, written down by hand: unit, what may be given, what it is."""

from __future__ import annotations

from turnstill.model.golfer.body import LENGTH_NAMES, RANGE_NAMES

ADDRESS = {
    "lead_flare": ("deg", -45, 75, "lead foot turned outward"),
    "trail_flare": ("deg", -45, 75, "trail foot turned outward"),
    "stance_width": ("cm", 10, 120, "distance between the ankle centres"),
    "knee_flex": ("deg", 0, 80, "both knees"),
    "forward_bend": ("deg", 0, 75, "forward bend of the ribcage"),
    "pelvis_bend": ("deg", -20, 70, "forward bend of the pelvis"),
    "side_bend": ("deg", -25, 25, "ribcage side tilt at address, trail side down"),
    "ball_position": ("cm", -60, 60, "ball toward the target from mid-stance"),
    "club_length": ("cm", 50, 130, "from the end of the grip to the clubhead"),
}
PIECES = {
    "hip_turn": ("deg", -60, 150, "pelvis turn away from the target"),
    "shoulder_turn": ("deg", -90, 200, "turn of the shoulder line away from the target"),
    "tilt": ("deg", -60, 90, "side tilt of the ribcage, lead side down"),
    "extension": ("deg", -60, 100, "forward bend given up since address"),
    "lead_flex_change": ("deg", -90, 90, "lead knee: more flexed than at address is positive"),
    "trail_flex_change": ("deg", -90, 90, "trail knee: straighter than at address is negative"),
    "sway": ("cm", -40, 40, "pelvis centre away from the target"),
    "hips_toward_ball": ("cm", -40, 40, "pelvis centre toward the ball"),
    "lead_heel_rise": ("cm", 0, 10, "lead heel off the ground, the ball of the foot staying down"),
    "trail_heel_rise": ("cm", 0, 10, "trail heel off the ground, the ball of the foot staying down"),
}
HEAD = {
    "toward_target": ("cm", -15, 15, "head wanted nearer the target than at address"),
    "up": ("cm", -15, 15, "head wanted higher than at address"),
}
AT_IMPACT = {
    **PIECES,
    "hands_ahead": ("cm", -10, 25, "hands at impact nearer the target than the ball, in a centred swing"),
    "wrist_hinge": ("deg", 0, 60, "club to the line of the lead arm at impact, in a centred swing"),
    **{f"head_{name}": told for name, told in HEAD.items()},
}
ARMS = {
    "lead_elbow_bend": ("deg", 2, 60, "lead elbow at address"),
    "trail_elbow_bend": ("deg", 2, 60, "trail elbow at address"),
    "lead_elbow_bend_at_top": ("deg", 2, 90, "lead elbow at a full swing of the arms"),
    "hands_ahead": ("cm", -15, 15, "hands at address toward the target from where they hang"),
    "hands_out": ("deg", -10, 40, "arms at address in front of the vertical"),
    "arm_across": ("deg", 0, 70, "lead arm past straight ahead of the shoulder line at a full swing"),
    "arm_lift": ("deg", -45, 60, "lead arm above square to the trunk at a full swing"),
    "wrist_hinge": ("deg", 45, 160, "club to the line of the lead arm at a full swing"),
    "club_roll": ("deg", -270, 0, "plane of lead arm and club about the arm at a full swing"),
    "turn_of_full_swing": ("deg", 45, 180, "turn of the shoulder line with which the arms swing fully"),
}
BODY = {"stature": ("cm", 120, 230, "body height"), "mass": ("kg", 30, 250, "body mass")}
WORDS = {"sex": ("male", "female"), "handedness": ("right", "left")}
SECTION_OF = {
    "address": ADDRESS, "pieces": PIECES,
    "head": {f"head.{name}": told for name, told in HEAD.items()},
    "impact": {f"impact.{name}": told for name, told in AT_IMPACT.items()},
    "arms": ARMS, "body": BODY,
    "body.lengths_cm": dict.fromkeys(LENGTH_NAMES, ("cm", 0.5, 150, "measured length")),
    "body.ranges_deg": dict.fromkeys(RANGE_NAMES, ("deg", 1, 180, "measured range of motion")),
}  # fmt: skip
