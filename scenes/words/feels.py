"""Feels of the pieces in plain words: what to do, how it looks in both views, and what could be hurt.

Which way each piece is felt and seen follows from its definition; that a feel must be exaggerated is common practice;
what could be hurt is our own judgement, from which joints the piece works on, and no study's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

SLOWLY = (
    "A feel is for slow practice swings without a ball. Stop with pain, never force a range to reach an amount, and "
    "let a qualified coach watch it."
)
FILM_AGAIN = "Film it again from both views and read it again; stop where the film shows the change."
CHECK_AGAIN = (
    "Something to be exaggerated, in slow practice swings without a ball first: of what is felt a film shows only a "
    f"part (common practice). {FILM_AGAIN}"
)


@dataclass(frozen=True)
class Feel:
    """More, or less, of one piece.

    Attributes:
        what: the change by its name, after an amount.
        do: what to do.
        face_on, down_the_line: how that looks.
    """

    what: str
    do: str
    face_on: str
    down_the_line: str


FEELS: Mapping[str, tuple[Feel, Feel]] = {
    "hip_turn": (
        Feel(
            "more hip turn",
            "let the trail hip go back and round behind you, earlier and further",
            "the belt buckle turns further away from the target",
            "the trail hip goes further behind, without the seat leaving its line",
        ),
        Feel(
            "less hip turn",
            "keep the hips quieter while the chest turns over them",
            "the belt buckle stays more toward the camera",
            "the trail hip stays less far behind",
        ),
    ),
    "shoulder_turn": (
        Feel(
            "more shoulder turn",
            "turn the chest further round, the lead shoulder coming in front of the chin",
            "the lead shoulder comes further across",
            "the chest faces the camera more squarely",
        ),
        Feel(
            "less shoulder turn",
            "stop the turn of the chest sooner",
            "the lead shoulder comes less far across",
            "the chest turns less toward the camera",
        ),
    ),
    "tilt": (
        Feel(
            "more tilt, lead side down",
            "turn the lead shoulder down and the trail shoulder up, the lead side getting shorter",
            "the lead shoulder is lower, the trail shoulder higher",
            "the line through the shoulders slopes more steeply",
        ),
        Feel(
            "less tilt, lead side higher",
            "turn the shoulders more level, the lead side staying long",
            "the lead shoulder is higher, the trail shoulder lower",
            "the line through the shoulders slopes less steeply",
        ),
    ),
    "extension": (
        Feel(
            "more extension, the chest coming up out of its forward bend",
            "let the breastbone come up as the chest turns, the upper back bending back over the lead side",
            "the upper back and head come back toward the target",
            "hardly to be seen: with the chest turned toward the camera the bend is toward and away from it",
        ),
        Feel(
            "less extension, the chest staying in its forward bend",
            "stay down in the forward bend as the chest turns, the breastbone not lifting",
            "the upper back and head stay farther from the target",
            "hardly to be seen: with the chest turned toward the camera the bend is toward and away from it",
        ),
    ),
    "lead_flex_change": (
        Feel(
            "more flex in the lead knee",
            "let the lead knee soften and flex as the hips turn",
            "the lead knee is flexed more, the lead hip lower",
            "the lead knee goes further toward the ball line",
        ),
        Feel(
            "less flex in the lead knee",
            "keep the lead knee closer to what it was at address",
            "the lead knee is flexed less, the lead hip higher",
            "the lead knee goes less far toward the ball line",
        ),
    ),
    "trail_flex_change": (
        Feel(
            "more flex in the trail knee",
            "keep the flex in the trail knee as the hips turn",
            "the trail hip is lower, the belt line more level",
            "the trail knee is flexed more",
        ),
        Feel(
            "less flex in the trail knee",
            "let the trail knee straighten as the hips turn, well short of locked",
            "the trail hip is higher",
            "the trail knee is flexed less",
        ),
    ),
    "sway": (
        Feel(
            "less of the move toward the target, the hips farther from it",
            "turn the hips over the middle of the feet, as if a post stood outside the lead hip",
            "the middle of the hips stays on the line drawn through it at address",
            "hardly to be seen: it is toward and away from the camera",
        ),
        Feel(
            "less sway, the hips nearer to the target",
            "turn the hips over the middle of the feet, as if a post stood outside the trail hip",
            "the middle of the hips stays on the line drawn through it at address",
            "hardly to be seen: it is toward and away from the camera",
        ),
    ),
    "hips_toward_ball": (
        Feel(
            "less of the move away from the ball, the hips nearer to it",
            "keep the hips from backing away from the ball",
            "hardly to be seen: it is toward and away from the camera",
            "the seat stays on the line drawn along it at address, and does not back away from it",
        ),
        Feel(
            "less of the move toward the ball, the hips farther from it",
            "keep the seat back, as if against a wall behind you",
            "hardly to be seen: it is toward and away from the camera",
            "the seat stays on the line drawn along it at address",
        ),
    ),
}
"""Piece to the feel of more and of less of it."""
HURT: Mapping[str, str] = {
    "hip_turn": "Turning the hips on planted feet works on hips and knees: never wring a foot that stays planted, "
    "and stop at a pinch in the groin or a twist in the knee.",
    "shoulder_turn": "Turning the chest works on the low back, the ribs and the lead shoulder: stop where it gets "
    "tight.",
    "tilt": "Side bend together with turn works on the low back and on the ribs of the short side: small steps, and "
    "stop at a pinch.",
    "extension": "Bending back works on the low back: let it come from the upper back, in small steps, and stop at a "
    "pinch in the low back.",
    "lead_flex_change": "It works on the lead knee: let it flex over the foot, never press it inward.",
    "trail_flex_change": "It works on the trail knee: never press it straight or lock it, and never let it be twisted "
    "on a planted foot.",
    "sway": "Moving the hips sideways works on hips and knees, and on balance: keep the feet flat, and stop at a "
    "pinch.",
    "hips_toward_ball": "It works on the low back and the hips: keep the knees soft, and do not arch the low back "
    "to do it.",
}
"""Piece to what could be hurt."""
HURT_BY_LESS: Mapping[str, str] = {
    "extension": "Turning while staying bent forward works on the low back: keep the knees soft, go in small steps, "
    "and stop at a pinch or an ache in the low back.",
}
"""The same of less of a piece, where that works on the body in another way than more of it."""


def hurt_by(piece: str, amount: float) -> str:
    """What could be hurt by so much more of a piece; less where it is below zero."""
    return HURT_BY_LESS.get(piece, HURT[piece]) if amount < 0.0 else HURT[piece]


def feel_of(piece: str, amount: float) -> Feel:
    """The feel of so much more of a piece; less where it is below zero."""
    return FEELS[piece][int(amount < 0.0)]
