"""The way back to the ball: what is asked at impact, and when each piece gets there.

The way goes from 0 at the top to 1 at impact and on to `LEVEL_PAST`, when the club is about level past the ball. Each
piece follows the centred golfer's own curve, and carries what it is off from it: first what it was off at the top,
more and more what it is asked to be off at impact. That change is over by `GIVEN_BACK_BY`, when the club is about level
before the ball, so that a fault of the top that is given back leaves nothing for the strike.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from ..arrays import Array, ArrayLike
from ..batch import Batch
from .head_place import HeadPlace
from .pieces import HEELS, Pieces, Quantity

_DEG = float(np.radians(1.0))
GIVEN_BACK_BY = 0.88
"""Way by which what was off at the top is given back (our choice)."""
LEVEL_PAST = 1.28
"""Way at which the club of an average golfer is level past the ball (found by trying; docs/strike.md)."""
COMES_TO_REST = 1.4
"""Way at which the pieces would come to rest (our choice)."""
EARLY: Mapping[str, float] = {
    "hip_turn": 2.5,
    "sway": 2.5,
    "hips_toward_ball": 2.5,
    "lead_flex_change": 2.5,
    "trail_flex_change": 2.5,
    "shoulder_turn": 2.0,
    "trail_heel_rise": 2.0,
}
"""How early each piece does its way back: the more, the earlier, as in `share_of_way`. Hips before shoulders before
hands is common practice; the numbers are our choice."""
HEEL_LEAVES = 0.6
"""Way at which the trail heel leaves the ground: when hips on their way come square to the target line (that it stays
down till then is common practice, the number our choice)."""
IMPACT: Mapping[str, Quantity] = {
    "hands_ahead": Quantity("cm", -10.0, 25.0, "hands at impact nearer the target than the ball, in a centred swing"),
    "wrist_hinge": Quantity("deg", 0.0, 60.0, "club to the line of the lead arm at impact, in a centred swing"),
}
"""What is asked of the arms at impact, with its unit at the border and the range that may be asked for."""


def centred_at_impact() -> Pieces:
    """The pieces of a centred swing at impact with a mid-iron: hips open and toward the target, the head held.

    Amounts are common practice without a source; against published samples see docs/strike.md. So it is that the trail
    heel is up by then and its knee bent with it; the 2.5 cm and the 12 degrees are our choice: on a flat foot the trail
    hip's abduction ends about the ball, and with less bend the heel lifts the trail hip so far that some trunks cannot
    lean as far as holding the head then takes.
    """
    return Pieces(
        hip_turn=-40.0 * _DEG,
        shoulder_turn=-25.0 * _DEG,
        lead_flex_change=-5.0 * _DEG,
        trail_flex_change=12.0 * _DEG,
        sway=-0.08,
        hips_toward_ball=0.02,
        trail_heel_rise=0.025,
    )


@dataclass(frozen=True)
class Impact(Batch):
    """What is asked at impact: radians and metres, scalars or arrays of any batch shape.

    Attributes:
        pieces: of the pivot, all against the address as at the top: a hip turn of -40 degrees is 40 degrees open.
        hands_ahead: m, of the ball, in this body's centred swing.
        wrist_hinge: rad, in this body's centred swing.
        head: where the head is wanted at impact, whatever was wanted at the top.
    """

    pieces: Pieces = field(default_factory=centred_at_impact)
    hands_ahead: ArrayLike = 0.06
    wrist_hinge: ArrayLike = 7.0 * _DEG
    head: HeadPlace = field(default_factory=HeadPlace)

    def __post_init__(self) -> None:
        for name, quantity in IMPACT.items():
            quantity.check(name, getattr(self, name))
        self.batch  # noqa: B018  The shapes must go together.

    def replace(self, **changes: ArrayLike | Pieces | HeadPlace) -> Impact:
        """A copy with some quantities changed."""
        return replace(self, **changes)  # type: ignore[arg-type]

    def centred(self) -> Impact:
        """The centred golfer's, the head held where it is wanted here.

        Heels stay as they are here: they rise as they are told, and are no departures.
        """
        told = {name: getattr(self.pieces, name) for name in HEELS}
        return self.replace(pieces=centred_at_impact().replace(**told))


def share_of_way(piece: str, way: Array) -> Array:
    """Share of its way from top to impact that a ``piece`` of the centred golfer has gone at ``way (...)``.

    It starts and comes to rest and rises between: I(w / W) / I(1 / W) with I(x) = 1 - (1 - x)^b (1 + b x), the
    regularised incomplete beta function of 2 and b (NIST Handbook 8.17), W `COMES_TO_REST` and b `EARLY`. It is
    smooth at impact, so that the club's path there has derivatives. The trail heel's way begins at `HEEL_LEAVES`, where
    it has one derivative and no second, and goes on past impact to 1.9 times what it is there.
    """
    start, early = _start(piece), EARLY[piece]
    gone = np.maximum(way - start, 0.0) / (COMES_TO_REST - start)
    return np.asarray(_done(gone, early) / _done((1.0 - start) / (COMES_TO_REST - start), early))


def pace_at_impact(piece: str) -> float:
    """The slope of `share_of_way` at impact: b (b + 1) x (1 - x)^(b - 1) / W / I(x) with x = 1 / W."""
    early, length = EARLY[piece], COMES_TO_REST - _start(piece)
    ball = (1.0 - _start(piece)) / length
    slope = early * (early + 1.0) * ball * (1.0 - ball) ** (early - 1.0)
    return float(slope / length / _done(ball, early))


def _start(piece: str) -> float:
    """Way at which a piece sets out."""
    return HEEL_LEAVES if piece == "trail_heel_rise" else 0.0


def _done(x: Array | float, early: float) -> Array:
    return np.asarray(1.0 - (1.0 - x) ** early * (1.0 + early * x))


def given_back(way: Array) -> Array:
    """Share of what was off at the top that is given back at ``way (...)``: from 0 to 1, twice differentiable."""
    share = np.clip(way / GIVEN_BACK_BY, 0.0, 1.0)
    return np.asarray(share**3 * (10.0 + share * (6.0 * share - 15.0)))
