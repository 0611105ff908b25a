"""Feels of the way down in plain words: what to do so that impact shows it, and how impact then looks in both views.

As in `feels`: which way each is felt and seen follows from its definition (`tests/scenes/test_feels_at_impact.py` looks
at the figure), that feels must be exaggerated is common practice, and how to do it and what could be hurt are our own
wording and judgement.
"""

from __future__ import annotations

from collections.abc import Mapping

from .feels import FEELS, HURT, HURT_BY_LESS, Feel

_NOT_SEEN = "hardly to be seen: it is toward and away from the camera"

FEELS_AT_IMPACT: Mapping[str, tuple[Feel, Feel]] = {
    "hip_turn": (
        Feel(
            "less opening of the hips",
            "let the hips come round later, the trail foot staying down longer",
            "the belt buckle stays more toward the camera",
            "less of the seat comes into view",
        ),
        Feel(
            "more opening of the hips",
            "let the lead hip go back and round behind you on the way down, ahead of the hands",
            "the belt buckle turns further toward the target",
            "more of the seat comes into view",
        ),
    ),
    "shoulder_turn": (
        Feel(
            "less opening of the shoulders",
            "keep the chest on the ball a little longer while the arms come down",
            "the chest stays more toward the camera",
            "less of the back comes into view",
        ),
        Feel(
            "more opening of the shoulders",
            "let the chest turn on toward the target, the arms going with it",
            "the chest turns further toward the target",
            "more of the back comes into view",
        ),
    ),
    "tilt": (
        Feel(
            "less tilt to the trail side",
            "keep the trail side long as the chest comes round, the shoulders more level",
            "the trail shoulder is higher, the lead shoulder lower",
            "the line through the shoulders slopes less steeply",
        ),
        Feel(
            "more tilt to the trail side",
            "let the trail shoulder come down and under as the chest comes round, the trail side getting shorter",
            "the trail shoulder is lower, the lead shoulder higher",
            "the line through the shoulders slopes more steeply",
        ),
    ),
    "extension": (
        Feel(
            "more extension, the chest coming up out of its forward bend",
            "let the breastbone come up as the chest comes round, the seat staying back",
            "the breastbone and head are higher",
            "the chest is more upright, farther from the ball",
        ),
        Feel(
            "less extension, the chest staying in its forward bend",
            "stay down in the forward bend until the ball is gone, the breastbone not lifting",
            "the breastbone and head are lower",
            "the chest stays bent over the ball",
        ),
    ),
    "lead_flex_change": (
        Feel(
            "more flex in the lead knee",
            "let the lead knee stay soft a little longer as the hips come round",
            "the lead knee is flexed more, the lead hip lower",
            "hardly to be seen: the trail leg is before it",
        ),
        Feel(
            "less flex in the lead knee",
            "let the lead knee straighten as the lead hip goes back, well short of locked",
            "the lead knee is flexed less, the lead hip higher",
            "hardly to be seen: the trail leg is before it",
        ),
    ),
    "trail_flex_change": (
        Feel(
            "more flex in the trail knee",
            "let the trail knee come in and flex as the hips come round",
            "the trail knee is flexed more, the trail hip lower",
            "the trail knee is flexed more",
        ),
        Feel(
            "less flex in the trail knee",
            "let the trail leg stay longer as the hips come round",
            "the trail knee is flexed less, the trail hip higher",
            "the trail knee is flexed less",
        ),
    ),
    "sway": (
        Feel(
            "less of the move toward the target, the hips farther from it",
            "let the hips turn where they are before they move to the lead side",
            "the middle of the hips is less far over the lead foot",
            _NOT_SEEN,
        ),
        Feel(
            "more of the move toward the target, the hips nearer to it",
            "let the weight go to the lead foot early on the way down, before the chest comes round",
            "the middle of the hips is further over the lead foot",
            _NOT_SEEN,
        ),
    ),
    "hips_toward_ball": FEELS["hips_toward_ball"],
}
"""Piece to the feel of more and of less of it at impact; more hip turn is less open there."""
HURT_AT_IMPACT: Mapping[str, str] = {
    **HURT,
    "hip_turn": "Turning the hips over the lead foot works on the lead hip and both knees: never wring a foot on the "
    "ground, and stop at a pinch in the groin or a twist in the knee.",
    "shoulder_turn": "Turning the chest works on the low back and the ribs: stop where it gets tight.",
    "lead_flex_change": "It works on the lead knee: keep it over the foot, never press it inward, snap it straight or "
    "lock it.",
    "sway": "Moving the hips sideways works on hips and knees, and on balance: keep the lead foot flat, let the trail "
    "heel come up as it does by itself, and stop at a pinch.",
}
"""Piece to what could be hurt on the way down, where the trail heel comes up and the lead knee straightens."""


def hurt_at_impact(piece: str, amount: float) -> str:
    """What could be hurt by so much more of a piece at impact; less where it is below zero."""
    return HURT_BY_LESS.get(piece, HURT_AT_IMPACT[piece]) if amount < 0.0 else HURT_AT_IMPACT[piece]
