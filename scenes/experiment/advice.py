"""Where the model agrees with common advice about what was tried, where it does not, and why."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from ..setups.knobs import FLARE_BOTH
from ..words.cautions import NOTICEABLE_DEG

if TYPE_CHECKING:
    from .report import StepReport, TriedReport

_ADVICE: dict[str, tuple[str, int]] = {
    "flare": ("feet turned out help the hips turn", 1),
    "lead_flare": ("feet turned out help the hips turn", 1),
    "trail_flare": ("feet turned out help the hips turn", 1),
    "knee_flex_change": ("knees that change flex help the hips turn", 1),
    "lead_flex_change": ("knees that change flex help the hips turn", 1),
    "trail_flex_change": ("knees that change flex help the hips turn", -1),
    "stance_width": ("a narrower stance lets the hips turn further", -1),
    "lead_heel_rise": ("a lead heel that comes up lets the hips turn further", 1),
    **{
        f"{side}hip_{way}_rotation": ("freer hips turn further", 1)
        for side in ("", "lead_", "trail_")
        for way in ("internal", "external")
    },
}
"""What is widely taught (common practice, no source), and which way of the quantity is said to give more hip turn."""
_BY_FLARE = {
    "lead": (
        "turning the lead foot out takes that leg outward with it, and turning the hips away from the target rotates "
        "the same leg outward as well, so the two add up",
        ("lead_hip_external_rotation", "lead_shin_external_rotation"),
    ),
    "trail": (
        "turning the trail foot out takes that leg the way the hips go, so hip and shin have less left to rotate "
        "inward",
        ("trail_hip_internal_rotation", "trail_shin_internal_rotation"),
    ),
}
LEFT_OUT = (
    "One thing alone is tried here, by bones and joints: what usually goes along with it, muscles, balance and the "
    "downswing are left out, and the advice may be about those."
)
_SMALL_DEG = 3.0
"""Less hip turn than this is less than bodies of the same size differ by (our judgement)."""
_STEEP = 0.05
"""Degrees of a joint for each degree of flare that are worth a word."""


def advice_sentences(tried: TriedReport, steps: Sequence[StepReport]) -> list[str]:
    """Whether the most hip turn does what common advice says it does; nothing where there is none about it.

    Args:
        tried: what was tried.
        steps: those that can be relied on, in order.
    """
    if tried.name not in _ADVICE or tried.from_steady:
        return []
    said, way = _ADVICE[tried.name]
    ordered = sorted(steps, key=lambda step: way * step.value)
    best = max(ordered, key=lambda step: step.available_hip_turn_deg)
    most = best.available_hip_turn_deg
    gain, loss = (most - ordered[k].available_hip_turn_deg for k in (0, -1))
    # The earliest step that already has what the best one has.
    enough = next(step for step in ordered if step.available_hip_turn_deg > most - NOTICEABLE_DEG)
    up_to, past = ("up to", "past that") if way > 0 else ("down to", "below that")
    lead = f"Common advice is that {said}; "
    if gain < NOTICEABLE_DEG and loss < NOTICEABLE_DEG:
        return [f"{lead}for the most hip turn the model finds no noticeable difference here."]
    if loss < NOTICEABLE_DEG:
        plateau = enough is not ordered[-1]
        rest = f" {up_to} about {enough.setting}, and {past} nothing more comes" if plateau else ""
        return [f"{lead}the model agrees{rest}."]
    if gain < NOTICEABLE_DEG and loss < _SMALL_DEG:
        return [
            f"{lead}the model finds next to nothing: following it takes {loss:.0f}° of hip turn away, less than bodies "
            "differ by.",
            LEFT_OUT,
        ]
    if gain < NOTICEABLE_DEG:
        free = next(
            one
            for one, after in pairwise(ordered)
            if after.available_hip_turn_deg <= most - NOTICEABLE_DEG
        )  # fmt: skip
        none = "" if free is ordered[0] else f", none of it {up_to} about {free.setting}"
        return [f"{lead}the model disagrees here: following it takes {loss:.0f}° of hip turn away{none}.", LEFT_OUT]
    return [
        f"{lead}the model agrees in part: {up_to} about {enough.setting} it gives {gain:.0f}° of hip turn, {past} it "
        f"takes {loss:.0f}° away.",
        LEFT_OUT,
    ]


def why_flare(tried: TriedReport, first: StepReport, last: StepReport) -> list[str]:
    """Why turning a foot out helps or hampers, by what hip and shin have to do for it between two steps."""
    lines = []
    for side, (reason, joints) in _BY_FLARE.items():
        if tried.name not in (FLARE_BOTH, f"{side}_flare"):
            continue
        slope = sum(last.used_deg[j] - first.used_deg[j] for j in joints) / (last.value - first.value)
        if slope * (1 if side == "lead" else -1) > _STEEP:
            way = "outward" if side == "lead" else "inward"
            more = "more" if slope > 0 else "less"
            lines.append(
                f"Why, for the {side} foot: {reason}; each degree of flare asks {abs(slope):.1f}° {more} {way} "
                "rotation of hip and shin together."
            )
    return lines
