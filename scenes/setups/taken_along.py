"""A golfer's centred arc, taken along with the base of the neck: what a head that stays where it went costs.

It is the same arc as ``turnstill strike`` has it, the head held where it was at address, shifted as a whole.
"""

from __future__ import annotations

from typing import Self

import numpy as np

from ...model.arrays import Array
from ...model.golfer.head_place import HeadPlace
from ...model.golfer.pieces import Pieces
from ...model.questions.arc import Arc, ground_before
from ...model.questions.strike import Striking
from .perform import Performed, address_of, body_of, impact_of
from .presets import Setup
from .quantities import to_border
from .reports import Number, Report


class ArcAtBall(Report):
    """How an arc passes the ball."""

    low_point_ahead_cm: Number | None
    """its lowest point beyond the ball, toward the target positive; `null` where it has none near the ball"""
    club_up_at_ball_cm: Number
    """the clubhead above the ground where it passes the ball"""
    descent_deg: Number
    """how much the clubhead goes down there; going up is negative"""
    ground_before_ball_cm: Number | None
    """how far before the ball the club comes down to the ground's level, where it does"""

    @classmethod
    def of(cls, arc: Arc, path: Array) -> Self | None:
        """Of an arc without batch axes and its path ``(n, 3)``; none where it does not pass the ball."""
        if not arc.passes:
            return None
        before = ground_before(path)
        return cls(
            low_point_ahead_cm=None if np.isnan(arc.low_ahead) else to_border("cm", arc.low_ahead),
            club_up_at_ball_cm=to_border("cm", arc.up),
            descent_deg=to_border("deg", arc.descent),
            ground_before_ball_cm=None if before is None else to_border("cm", before),
        )


class CentredArc:
    """The arc of one golfer's centred swing, which can be taken along."""

    def __init__(self, setup: Setup) -> None:
        """Of the golfer of a setup.

        Raises:
            TurnstillError: what was asked cannot be simulated.
        """
        impact = impact_of(setup).centred().replace(head=HeadPlace())
        self._striking = Striking.of(body_of(setup), address_of(setup), Pieces(), impact)
        self._path = self._striking.drawn()

    def along(self, moved: Array | None = None) -> ArcAtBall | None:
        """Taken along by ``moved (3,)`` m toward ball, toward target and up; none where it then passes no ball."""
        by = np.zeros(3) if moved is None else moved
        return ArcAtBall.of(self._striking.arc(by), self._path + by)


def neck_moved(performed: Performed) -> Array:
    """``(3,)`` m, how far the base of the neck is from its place at address at the top, as of a right-hander."""
    return np.asarray(performed.swing.until_top().measures.neck_base_moved)[-1]
