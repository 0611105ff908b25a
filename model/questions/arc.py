"""A clubhead's path about the ball: where it is lowest, and which way it goes where it passes the ball.

Both are closed in on along the path (`closing_in`), so that where it is smooth about them they are the path's to far
less than a micrometre. A corner has no way of its own: one at the ball, or up to some 0.7 mm before it, is taken with
the way that the club comes, and height and side with it. A low point at a corner is found to 0.1 mm along the target
line where one side is up to 20 times as steep as the other, in height to 0.003 mm; where a side is all but level there,
to some millimetres and 0.02 mm. Where a corner bends down and leaves two low points that are all but equally low,
either is taken. From the path alone nothing is told of speed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import Batch
from .closing_in import Part, Places, closed_in


@dataclass(frozen=True)
class Arc(Batch):
    """What a path of batch shape ``(...)`` is at its lowest point and at the ball.

    Attributes:
        low_ahead: m, lowest point beyond the ball, toward the target positive; NaN where the path has none: where it is
            lowest at an end of its span, or may be where it is within a 128th of the span of one.
        low_up: m, lowest point above the ground; NaN where the path has none.
        up: m, clubhead above the ground where it passes the ball.
        out: m, clubhead beyond the ball there, away from the golfer positive.
        descent: rad, how much its way there goes down: up is negative.
        outward: rad, how much its way there goes off the target line, away from the golfer positive.
        slope: rad, inclination of the plane in which it turns there to the ground.
        descent_by_along, outward_by_along: rad per m that these grow along the path's way toward the target.
        passes: whether the path passes the ball; where it does not, all that is said of the ball is NaN.
    """

    low_ahead: Array
    low_up: Array
    up: Array
    out: Array
    descent: Array
    outward: Array
    slope: Array
    descent_by_along: Array
    outward_by_along: Array
    passes: BoolArray

    @classmethod
    def of(cls, places: Places, count: int, span: tuple[float, float]) -> Arc:
        """The arcs, batch shape ``(count,)``, of paths between two ways.

        Args:
            places: the paths, m from the ball, which lies on the ground: toward ball, toward target, up.
            count: how many they are.
            span: the ways between which they are looked at.
        """
        (ball, at), (low, low_way) = closed_in(places, count, span, (Part.passing, Part.lowest))
        passes = ~np.isnan(at)
        at_corner = np.flatnonzero(~ball.fits & passes)
        if at_corner.size:
            # The way the club comes: that of the path just before, taken on to the ball.
            before = ball[at_corner].earlier(places, at_corner)
            ball.put(at_corner, before)
            at[at_corner] = before.passing_near(at[at_corner])
        low_at = low.at(low_way)
        here, going, turning = (ball.at(at, order) for order in (0, 1, 2))
        level = np.hypot(going[:, 0], going[:, 1])
        normal = np.cross(going, turning)
        # How both angles grow, by the way toward the target.
        level_rate = (going[:, 0] * turning[:, 0] + going[:, 1] * turning[:, 1]) / level
        by_descent = (going[:, 2] * level_rate - turning[:, 2] * level) / (level**2 + going[:, 2] ** 2)
        by_outward = (turning[:, 0] * going[:, 1] - going[:, 0] * turning[:, 1]) / level**2
        return cls(
            low_ahead=low_at[:, 1],
            low_up=low_at[:, 2],
            up=here[:, 2],
            out=here[:, 0],
            descent=np.arctan2(-going[:, 2], level),
            outward=np.arctan2(going[:, 0], going[:, 1]),
            slope=np.arctan2(np.hypot(normal[:, 0], normal[:, 1]), np.abs(normal[:, 2])),
            descent_by_along=by_descent / going[:, 1],
            outward_by_along=by_outward / going[:, 1],
            passes=passes,
        )


LEVEL_M = 1e-3


def ground_before(path: Array) -> float | None:
    """How far before the ball a path ``(n, 3)`` m from it comes down to the ground, m; None where it does not.

    What is less than a millimetre below the ground before the ball counts as level with it.
    """
    before = np.flatnonzero(path[:, 1] < 0.0)
    below = before[path[before, 2] < 0.0]
    if not below.size or below[0] == 0 or path[before, 2].min() > -LEVEL_M:
        return None
    (y0, z0), (y1, z1) = path[below[0] - 1, 1:], path[below[0], 1:]
    return -float(y0 + (y1 - y0) * z0 / (z0 - z1))
