"""What a classifier's score comes to, in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...words.pieces import NAMES
from .losses import FLOOR
from .swings import NO_FAULT

if TYPE_CHECKING:
    from .parts import HitScore


def fault_words(name: str) -> str:
    """A fault, several parted by ``+``, or none, in words."""
    if name == NO_FAULT:
        return "no fault"
    return " and ".join(NAMES.get(one, one) for one in name.split("+"))


def answered_words(split: str, swings: int, left_out: int) -> str:
    """How many swings have an answer."""
    end = "; the others count as missed." if left_out else "."
    return f"{swings - left_out} of {swings} swings of {split} have an answer{end}"


def hit_words(accuracy: HitScore, several: Sequence[HitScore]) -> list[str]:
    """How often the first choice is right, and whether that is more than chance."""
    told, two = [], several[0]
    if accuracy.right_share is not None:
        told += [_hit(f"Of swings with one fault at most ({accuracy.swings}) the first choice is right in", accuracy)]
        told += [_verdict(accuracy)]
    if two.right_share is not None:
        told += [_hit(f"Of swings with two faults ({two.swings}) the first choice is one of them in", two)]
    return told


def loss_words(loss: float | None, chance: float | None) -> list[str]:
    """The log loss beside chance."""
    if loss is None or chance is None:
        return []
    return [f"Log loss: {loss:.3f} nats a swing; these swings' own shares, said of each, have {chance:.3f}."]


def _hit(begin: str, one: HitScore) -> str:
    return (
        f"{begin} {_percent(one.right_share)} (95% interval {_percent(one.least_share)} to "
        f"{_percent(one.most_share)}); always to say {fault_words(one.fixed)} is right in {_percent(one.fixed_share)}."
    )


def _verdict(one: HitScore) -> str:
    least, most, chance = one.least_share, one.most_share, one.fixed_share
    assert least is not None and most is not None and chance is not None
    if least > chance:
        return "That is more than chance."
    if most < chance:
        return "That is less than chance."
    return "That is not told apart from chance."


def notes(of_one: bool, two_faults: int, floored: int) -> list[str]:
    """What should not be overlooked."""
    told = []
    if of_one and two_faults:
        told.append(
            f"Swings with two faults: {two_faults}. With a column {NO_FAULT} an answer names one thing out of nine, so "
            "these count in their own two rows only."
        )
    if floored:
        told.append(
            f"Probabilities of what came about that were under {FLOOR:f}: {floored}. Each counts as that in the log "
            "loss, which would be infinite for 0."
        )
    return told


def _percent(share: float | None) -> str:
    return "none" if share is None else f"{share:.0%}"
