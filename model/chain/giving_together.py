"""How far everything of the arms that can give way does so together, by the least that brings all joints inside.

A bounded least squares: what gives is unknown, the joints' angles are held inside their ranges. Who cannot hold a club
inside all of them stretches them, all alike and as little as is found.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import Batch
from ..numeric import bounded_least_squares as bls
from .arm_joints import ARM_LIMITS, ENDS, joint_ranges, mark_ended
from .arms import Asked, bent
from .reach import Give

GIVES = tuple(item.name for item in fields(Give))
"""What can give way, in the order of `Give`."""
WEIGHTS = np.array([1.0 if name.endswith(("_elbow", "_hand")) else 4.0 for name in GIVES])
"""Of each that gives together with others: elbows and hands sooner than the club (our choice)."""
MOST_ITERATIONS = 20
"""Ten are usual; who cannot hold a club inside his ranges is left where he then is."""
NUDGE = 1e-6
"""Rad, of the differences that stand for derivatives."""
NOTICEABLE = float(np.radians(0.1))
"""Rad given up: what a range must keep from giving less to be named."""
RANGED = tuple(f"{side}_{joint}" for side in ("lead", "trail") for joint in ENDS if not joint.startswith("collar_bone"))
"""Joints that what gives way must bring inside their ranges; collar bones never leave theirs (`Girdle.toward`)."""
STRETCH = 1e6
"""Weight of ranges stretched: so much that who can hold a club inside his ranges does so within `PAST`."""
FAR = 10.0
"""Rad, beyond whatever an angle can be: an end that is none."""


@dataclass(frozen=True)
class _Joints(Batch):
    """Angles of the arms' joints of what gives way and, last, of how far all ranges are stretched: each angle with the
    stretch added, for its lower end, then each with it taken off, for its upper end.
    """

    asked: Asked

    def evaluate(self, q: Array) -> tuple[Array, Array, BoolArray]:
        """As of `bls.Outputs`: angles ``(m, N)``, differences ``(m, n, N)``, and that arms always close."""
        n, count = q.shape
        tried = np.repeat(q[:-1, None], n, axis=1)
        tried[np.arange(n - 1), np.arange(1, n)] += NUDGE
        angles = bent(self.asked[np.tile(np.arange(count), n)], Give(*tried.reshape(n - 1, -1))).angles
        seen = np.array([angles[name] for name in RANGED]).reshape(-1, n, count)
        turned = (seen[:, 1:] - seen[:, :1]) / NUDGE
        stretch = np.ones_like(turned[:, :1])
        jacobian = np.concatenate(
            [np.concatenate([turned, stretch], axis=1), np.concatenate([turned, -stretch], axis=1)]
        )
        return np.concatenate([seen[:, 0] + q[-1], seen[:, 0] - q[-1]]), jacobian, np.ones(count, dtype=bool)


def together(asked: Asked, start: Array) -> tuple[Array, BoolArray]:
    """How far everything gives way ``(n, N)`` rad so that no joint is past its range, nearest to ``start``; and which
    ranges ask for it ``(N, len(ARM_LIMITS))``.

    Args:
        asked: of the arms.
        start: ``(n, N)`` rad, the order of `GIVES`.
    """
    ends = joint_ranges(asked.body.ranges)
    count = asked.share.size
    low, high = (np.array([ends[joint][k] + np.zeros(count) for joint in RANGED]) for k in range(2))
    goal = np.concatenate([start, np.zeros((1, count))])
    weight = np.concatenate([WEIGHTS, [STRETCH]])[:, None] + 0.0 * goal
    nothing = np.zeros((2 * len(RANGED), count))
    problem = bls.Problem(
        _Joints(asked), goal, weight, nothing, nothing,
        np.concatenate([low, low - FAR]), np.concatenate([high + FAR, high]),
    )  # fmt: skip
    solution = bls.solve(problem, goal, MOST_ITERATIONS)
    limited = np.zeros((count, len(ARM_LIMITS)), dtype=bool)
    below, above = solution.force.reshape(2, len(RANGED), count)
    for joint, down, up in zip(RANGED, below, -above, strict=True):
        mark_ended(limited, joint, down > NOTICEABLE, up > NOTICEABLE)
    return solution.q[:-1], limited
