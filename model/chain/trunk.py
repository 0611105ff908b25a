"""How far the ribcage can turn, tilt and bend on the pelvis, and the nearest it can do to what is asked.

The trunk's range is a rounded box in side bend, flexion and axial rotation, ``sum (angle / single range)^4 <= 1``: each
motion uses up some of what the others could have, but less than in an ellipsoid, because the lumbar spine makes
most of the bending and the thoracic spine most of the rotation, with different joints. The single ranges are
published; the shape, and the fourth power, are an assumption. (An ellipsoid of the same ranges stops an average
body short of a shoulder turn of 90 degrees with a still head, which ordinary golfers make.)
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import Batch, Frame
from ..numeric import bounded_least_squares as bls
from ..numeric import rotations, vectors

TURN, TILT, BEND = range(3)
_DEGREE = float(np.degrees(1.0))


@dataclass(frozen=True)
class RoundedBox(Batch):
    """A range of motion in three directions at once; arrays ``(...)`` rad, one-sided magnitudes."""

    side: Array
    forward: Array
    backward: Array
    axial: Array

    @classmethod
    def of(cls, ranges: Mapping[str, Array], joint: str) -> RoundedBox:
        """The range of ``"trunk"`` or ``"neck"`` from a body's ranges."""
        return cls(
            ranges[f"{joint}_side_bend"], ranges[f"{joint}_flexion"], ranges[f"{joint}_extension"],
            ranges[f"{joint}_rotation"],
        )  # fmt: skip

    def use(self, vector: Array) -> tuple[Array, Array]:
        """Sum of fourth powers ``(...)`` of ``vector (..., 3)`` in single ranges, and its gradient ``(..., 3)``.

        It is 1 on the boundary of the range, and its fourth root is the share of the range in use.
        """
        along = np.where(vector[..., 1] >= 0.0, self.forward, self.backward)
        single = vectors.vector(self.side, along, self.axial)
        share = vector / single
        cube = share * share * share  # products: powers take ten times as long
        return (cube * share).sum(axis=-1), 4.0 * cube / single


@dataclass(frozen=True)
class RibcageOutputs(Batch):
    """The trunk's use of its range as output of ribcage turn, tilt and bend, for the optimiser."""

    pelvis: Frame
    range: RoundedBox

    def evaluate(self, q: Array) -> tuple[Array, Array, BoolArray]:
        """Use of range ``(1, N)``, its Jacobian ``(1, 3, N)`` at ``q = (turn, tilt, bend) (3, N)``."""
        ribcage = rotations.from_turn_tilt_bend(q[TURN], q[TILT], q[BEND])
        use, gradient, _ = use_of_range(self.pelvis, ribcage, self.range)
        by_angles = (gradient[:, None, :] @ rotations.turn_tilt_bend_axes(q[TURN], q[TILT]))[:, 0]
        return use[None], by_angles.T[None], np.isfinite(use)


def use_of_range(pelvis: Array, ribcage: Array, range_: RoundedBox) -> tuple[Array, Array, Array]:
    """How much of the trunk's range is in use, and how that grows with the ribcage's angular velocity.

    Args:
        pelvis: ``(..., 3, 3)`` pelvis_to_world.
        ribcage: ``(..., 3, 3)`` ribcage_to_world.
        range_: the trunk's range.

    Returns:
        ``RoundedBox.use`` ``(...)``, its gradient ``(..., 3)`` per rad in the world, and the rotation vector
        ``(..., 3)`` rad in the pelvis frame.
    """
    to_pelvis = pelvis.mT
    vector = rotations.log(to_pelvis @ ribcage)
    use, by_vector = range_.use(vector)
    by_turning = by_vector[..., None, :] @ rotations.left_jacobian_inverse(vector) @ to_pelvis
    return use, by_turning[..., 0, :], vector


def nearest(pelvis: Array, asked: Array, range_: RoundedBox) -> tuple[Array, BoolArray, BoolArray]:
    """The turn, tilt and bend nearest to ``asked (3, N)`` rad that the trunk's range allows on ``pelvis (N, 3, 3)``.

    Nearest means least squares with a degree of each counted alike.

    Returns:
        angles ``(3, N)`` rad, whether the range stopped them ``(N,)``, whether the solver converged ``(N,)``.
    """
    ribcage = rotations.from_turn_tilt_bend(*asked)
    use, _ = range_.use(rotations.log(pelvis.mT @ ribcage))
    stopped = use > 1.0
    angles, converged = asked.copy(), np.ones(asked.shape[1], dtype=bool)
    index = np.flatnonzero(stopped)
    if index.size:
        one = np.ones((1, 1))
        pelvis_angles = np.array(rotations.to_turn_tilt_bend(pelvis[index]))
        problem = bls.Problem(
            RibcageOutputs(pelvis[index], range_[index]),
            asked[:, index], np.full((3, 1), _DEGREE**2), 0.0 * one, 0.0 * one, -one, one,
            scale=_DEGREE**2,  # a radian given up
        )  # fmt: skip
        # From the pelvis's own orientation, inside the range, every start goes the same way out.
        solution = bls.solve(problem, pelvis_angles)
        angles[:, index], converged[index] = solution.q, solution.converged
    return angles, stopped, converged
