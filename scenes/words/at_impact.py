"""Pieces at impact in words, where most are below nought, and what to take care of there."""

from __future__ import annotations

from collections.abc import Mapping

MORE_LESS: Mapping[str, tuple[str, str]] = {
    "hip_turn": ("less open", "more open"),
    "shoulder_turn": ("less open", "more open"),
    "tilt": ("less to the trail side", "more to the trail side"),
    "extension": ("more", "less"),
    "lead_flex_change": ("more bent", "less bent"),
    "trail_flex_change": ("more bent", "less bent"),
    "sway": ("farther from the target", "nearer to the target"),
    "hips_toward_ball": ("nearer to the ball", "farther from the ball"),
}
"""What more and less of each piece are called at impact."""
SIGNS = "Less hip or shoulder turn is more open to the target, less tilt is more to the trail side."
"""How tables of impact are read, where more of a piece is not what it sounds like."""
BACK = "At impact the low back bends to the side while it turns, which some backs do not take well."
"""What belongs with impact where the cautions of every result follow, which say what to do about it."""
CAUTION = (
    f"{BACK.removesuffix('.')}: never force it, and leave pain or an earlier back injury to a clinician, the change of "
    "a swing to a qualified coach."
)
"""The same where it stands alone."""
TWO_FEELS = (
    "Two feels are told, one of the top and one of impact: work on one at a time, first that of the top, film again, "
    "then that of impact."
)
