"""Arms on the way back to the ball, as `reach` takes them instead of those of the way up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..arrays import Array, BoolArray
from ..batch import Batch, Vector


@dataclass(frozen=True)
class Carried(Batch):
    """Arms of ``N`` moments on the way back; directions unit, in the girdle's frame.

    Attributes:
        back: ``(N,)`` whether a moment is on the way back; the others do as on the way up, whatever else stands here.
        share: ``(N,)`` of a full swing of the arms that shoulders and elbows still have.
        arm: ``(N, 3)`` from the lead shoulder, nothing drawn, to the lead hand's grip.
        far: ``(N,)`` m, how far that is at impact.
        near: ``(N,)`` of that, how much counts, and of how far it is on the way up, the rest.
        shaft, palms: ``(N, 3)`` as of `lie.Held`.
        hands: by side, ``(N,)`` of `hands_given` that the hand's angle to the shaft still has.
        uncocked: by side, ``(N,)`` rad, how much smaller those angles are than at address: the fingers give.
    """

    back: BoolArray
    share: Array
    arm: Vector
    far: Array
    near: Array
    shaft: Vector
    palms: Vector
    hands: Mapping[str, Array]
    uncocked: Mapping[str, Array]
