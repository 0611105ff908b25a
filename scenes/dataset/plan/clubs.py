"""The clubs a golfer may swing: how long each is and where its ball lies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Club:
    """One club, common practice throughout.

    Attributes:
        length_m: for an average man; other bodies get one as much longer or shorter as a mid-iron that fits them.
        ball_m: where the ball lies toward the target from mid-stance.
        head: of which kind its head is.
    """

    length_m: float
    ball_m: float
    head: Literal["iron", "wood"]


CLUBS: Mapping[str, Club] = {
    "short-iron": Club(0.905, 0.02, "iron"),
    "mid-iron": Club(0.94, 0.04, "iron"),
    "long-iron": Club(0.98, 0.07, "iron"),
    "fairway-wood": Club(1.07, 0.10, "wood"),
    "driver": Club(1.14, 0.14, "wood"),
}
