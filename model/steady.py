"""Steady: the tilt and extension, moment by moment, that keep this golfer's head where it was at address.

Still means face-on (toward the target) and in height; whether it also stays in depth (toward the ball) is a result.
The answer is for the turn this golfer makes: the pelvis is where the legs put it, and the ribcage turns as asked. Two
unknowns meet two wishes, inside the trunk's range; where no tilt and extension can hold the head, the nearest is
returned and the miss with it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from . import bounded_least_squares as bls
from . import head as heads
from . import rotations, spine
from .arrays import Array, BoolArray, Index
from .trunk import BEND, TILT, TURN, RoundedBox, nearest, use_of_range

_MILLIMETRE = 1e3
_TURN_WEIGHT = 5.0 * float(np.degrees(1.0))
"""A degree of turn weighs as much as 5 mm of head (our choice): a trunk at the end of its range gives up a little
turn before it contorts to squeeze out the last degree and throws the head far off."""
_HABIT_WEIGHT = 0.1 * float(np.degrees(1.0))
"""A degree of tilt or bend weighs as much as 0.1 mm of head: enough to choose where several postures are as near,
too little to move a head that can be held (by more than a few hundredths of a millimetre)."""
_DEPTH_WEIGHT = 0.02 * _MILLIMETRE
"""Depth is not asked for, but leaning back as far as forward would hold height and side as well: a millimetre of depth
counts as 0.02 mm, which tells the two apart and moves a head that can be held by as little."""
_NOTICEABLE_MISS = 5e-4
"""m: a head off by less counts as held."""
_INSIDE = 0.98
"""Where on the way from the pelvis to the habit's place in the range the solver starts."""


@dataclass(frozen=True)
class TrunkOnPelvis:
    """What carries the head: a pelvis in its place, the trunk, neck and gaze of ``N`` moments.

    Attributes:
        pelvis: ``(N, 3, 3)`` pelvis_to_world.
        lumbosacral: ``(N, 3)`` m, world.
        spine_length: ``(N,)`` m.
        range: the trunk's range.
        neck: neck and head.
        gaze: ``(N, 3, 3)`` head_to_world at address.
    """

    pelvis: Array
    lumbosacral: Array
    spine_length: Array
    range: RoundedBox
    neck: heads.Neck
    gaze: Array

    def take(self, index: Index) -> TrunkOnPelvis:
        """Some of the moments."""
        return TrunkOnPelvis(
            self.pelvis[index], self.lumbosacral[index], self.spine_length[index], self.range.take(index),
            self.neck.take(index), self.gaze[index],
        )  # fmt: skip

    def head(self, ribcage: Array) -> tuple[Array, Array]:
        """Centre of the head ``(N, 3)`` m and its velocity per angular velocity of ``ribcage`` ``(N, 3, 3)``."""
        neck_base, by_turning = spine.top(self.pelvis, ribcage, self.lumbosacral, self.spine_length)
        posture = heads.place(ribcage, self.gaze, self.neck)
        return neck_base + posture.from_neck_base, by_turning + posture.by_turning


@dataclass(frozen=True)
class _HeadOutputs:
    """Head toward ball, target and up, and the trunk's use of its range, of ribcage turn, tilt and bend."""

    trunk: TrunkOnPelvis

    def take(self, index: Index) -> _HeadOutputs:
        return _HeadOutputs(self.trunk.take(index))

    def evaluate(self, q: Array) -> tuple[Array, Array, BoolArray]:
        ribcage = rotations.from_turn_tilt_bend(q[TURN], q[TILT], q[BEND])
        axes = rotations.turn_tilt_bend_axes(q[TURN], q[TILT])
        centre, by_turning = self.trunk.head(ribcage)
        use, gradient, _ = use_of_range(self.trunk.pelvis, ribcage, self.trunk.range)
        rows = np.concatenate([by_turning, gradient[:, None, :]], axis=1) @ axes
        y = np.concatenate([centre.T, use[None]])
        return y, np.moveaxis(rows, 0, -1), np.asarray(np.isfinite(y).all(axis=0))


@dataclass(frozen=True)
class Held:
    """Ribcage angles that hold the head.

    Attributes:
        angles: ``(3, N)`` rad, turn, tilt and bend. The turn differs from the one asked only where the trunk's range
            makes turn and head compete.
        miss: ``(N,)`` m, how far the head is off face-on and in height even so.
        stopped: ``(N,)`` whether the trunk's range is why.
        converged: ``(N,)``.
    """

    angles: Array
    miss: Array
    stopped: BoolArray
    converged: BoolArray


def hold_head(trunk: TrunkOnPelvis, turn: Array, head: Array, habit: Array) -> Held:
    """Find the ribcage angles that hold the head.

    Args:
        trunk: what carries the head.
        turn: ``(N,)`` asked turn of the ribcage, rad.
        head: ``(N, 3)`` m, where the head shall be.
        habit: ``(2, N)`` rad, tilt and bend to prefer where several are as good, and to start from as far as the
            trunk's range allows.
    """
    zero, one = np.zeros((1, turn.size)), np.ones((1, turn.size))
    wanted = np.stack([turn, *habit])
    problem = bls.Problem(
        _HeadOutputs(trunk),
        goal=wanted,
        goal_weight=np.array([[_TURN_WEIGHT**2], [_HABIT_WEIGHT**2], [_HABIT_WEIGHT**2]]),
        reference=np.concatenate([head.T, zero]),
        reference_weight=np.array([[_DEPTH_WEIGHT**2], [_MILLIMETRE**2], [_MILLIMETRE**2], [0.0]]),
        low=np.concatenate([zero - np.inf] * 3 + [-one]),
        high=np.concatenate([zero + np.inf] * 3 + [one]),
    )
    on_pelvis = np.stack(rotations.to_turn_tilt_bend(trunk.pelvis))
    near, _, _ = nearest(trunk.pelvis, wanted, trunk.range)
    solution = bls.solve(problem, on_pelvis + _INSIDE * (near - on_pelvis))
    miss = np.hypot(*(solution.y[1:3] - problem.reference[1:3]))
    at_end = solution.y[3] > 1.0 - 1e-4
    return Held(solution.q, miss, at_end & (miss > _NOTICEABLE_MISS), solution.converged)
