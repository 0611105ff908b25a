"""What people were measured to turn their hips, told beside what joints allow."""

from __future__ import annotations

from collections.abc import Sequence

from ...model.golfer.measured_turn import BENT, UPRIGHT

MEASURED_WORDS = (
    f"Measured on {UPRIGHT.people}: about {UPRIGHT.hip_turn_deg:.0f}° standing upright, {BENT.hip_turn_deg:.0f}° with "
    f"the trunk bent {BENT.trunk_bend_deg:.0f}°."
)
"""For a caption."""
_SAME_BEND_DEG = 0.5


def ceiling_sentence(bends_deg: Sequence[float]) -> str:
    """Said after a most hip turn: what people reach, and in which posture.

    Args:
        bends_deg: how far the trunks of the golfers that it was said of are bent at address, at least one.
    """
    least, most = min(bends_deg), max(bends_deg)
    here = f"{least:.0f}°" if most - least < _SAME_BEND_DEG else f"{least:.0f}° to {most:.0f}°"
    return (
        f"Take that as a ceiling, not as what people reach: {UPRIGHT.people} (feet and knees not told) turned the "
        f"pelvis at most about {UPRIGHT.hip_turn_deg:.0f}° standing upright and {BENT.hip_turn_deg:.0f}° with the "
        f"trunk bent {BENT.trunk_bend_deg:.0f}° ({UPRIGHT.study}); here it is bent {here} at address."
    )
