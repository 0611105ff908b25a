"""Steady: the tilt and extension, moment by moment, that keep this golfer's head where it was at address.

Still means face-on (toward the target) and in height; whether it also stays in depth (toward the ball) is a result.
The answer is for the turn this golfer makes: the pelvis is where the legs put it, and the ribcage turns as asked. Two
unknowns meet two wishes, inside the trunk's range; where no tilt and extension can hold the head, the nearest is
returned and the miss with it.

What is solved for is the spine's shared vector (see `spine`), of which turn, tilt and bend are readings like the head:
so the spine is closed for any trial, and need not be closed anew for each.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import Batch, Frame, Rows, Vector
from ..numeric import bounded_least_squares as bls
from ..numeric import rotations
from ..numeric.vectors import matrix
from . import head as heads
from . import spine
from .trunk import TILT, TURN, RoundedBox, use_of_range

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
STILL_M = 0.005
"""A head is still within this of its place, sideways and in height together: half of the centimetre to which a film is
read, so that no film tells such a head from a still one (our choice)."""
_NOTICEABLE_MISS = 5e-4
"""m: a head off by less counts as held."""
_SCALE = 0.5 * 70.0**2
"""A head 7 cm off, or 14 degrees of turn given up: the order of what a trunk at the end of its range has to miss."""
_INSIDE = 0.98
"""Share of the trunk's range within which the solver starts."""
_WELL_READ = 1.5
"""rad: turn, tilt and bend that far from the pelvis's, all three together, are less than half a turn away from it, so
that the rotation still says which way round it goes."""


@dataclass(frozen=True)
class TrunkOnPelvis(Batch):
    """What carries the head: a pelvis in its place, the trunk, neck and gaze of ``N`` moments.

    Attributes:
        pelvis: ``(N, 3, 3)`` pelvis_to_world.
        lumbosacral: ``(N, 3)`` m, world.
        spine_length: ``(N,)`` m.
        range: the trunk's range.
        neck: neck and head.
        gaze: ``(N, 3, 3)`` head_to_world at address.
    """

    pelvis: Frame
    lumbosacral: Vector
    spine_length: Array
    range: RoundedBox
    neck: heads.Neck
    gaze: Frame


_HEAD, _USE, _ANGLES = slice(0, 3), 3, slice(4, 7)
"""Rows of the outputs: head toward ball, target and up; use of the trunk's range; turn, tilt and bend."""


@dataclass(frozen=True)
class _HeadOutputs(Batch):
    """Head, use of the trunk's range and the ribcage's angles, of the spine's shared vector."""

    trunk: TrunkOnPelvis

    def evaluate(self, q: Array) -> tuple[Array, Array, BoolArray]:
        on = self.trunk
        reach = spine.reach(q, on.spine_length)
        ribcage = on.pelvis @ reach.ribcage
        posture = heads.place(ribcage, on.gaze, on.neck)
        use, gradient, _ = use_of_range(on.pelvis, ribcage, on.range)
        angles = np.array(rotations.to_turn_tilt_bend(ribcage))
        by_turning = np.concatenate([posture.by_turning, gradient[:, None, :], _angle_rates(angles)], axis=1)
        rows = by_turning @ (on.pelvis @ reach.turning)
        rows[:, _HEAD] += on.pelvis @ reach.moving
        centre = on.lumbosacral + (on.pelvis @ reach.neck_base[..., None])[..., 0] + posture.from_neck_base
        y = np.concatenate([centre.T, use[None], angles])
        return y, np.ascontiguousarray(rows.transpose(1, 2, 0)), np.asarray(np.isfinite(y).all(axis=0))


def _angle_rates(angles: Array) -> Array:
    """Rates of turn, tilt and bend per angular velocity in the world ``(N, 3, 3)``, of ``angles (3, N)``.

    The inverse of `rotations.turn_tilt_bend_axes`; singular at a tilt of a right angle.
    """
    st, ct = np.sin(angles[TURN]), np.cos(angles[TURN])
    secant, tangent = 1.0 / np.cos(angles[TILT]), np.tan(angles[TILT])
    return matrix([[-tangent * st, -tangent * ct, -1.0], [-ct, st, 0.0], [secant * st, secant * ct, 0.0]])


@dataclass(frozen=True)
class Held(Batch):
    """Ribcage angles that hold the head.

    Attributes:
        angles: ``(3, N)`` rad, turn, tilt and bend. The turn differs from the one asked only where the trunk's range
            makes turn and head compete.
        miss: ``(N,)`` m, how far the head is off face-on and in height even so.
        stopped: ``(N,)`` whether the trunk's range is why.
        converged: ``(N,)``.
    """

    angles: Rows
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
    wanted = np.array([turn, *habit])
    weight = np.array(
        [_DEPTH_WEIGHT, _MILLIMETRE, _MILLIMETRE, 0.0, _TURN_WEIGHT, _HABIT_WEIGHT, _HABIT_WEIGHT]
    )  # fmt: skip
    end, free = np.full((7, 1), np.inf), np.zeros((3, 1))
    end[_USE] = 1.0
    problem = bls.Problem(
        _HeadOutputs(trunk),
        goal=free,
        goal_weight=free,
        reference=np.concatenate([head.T, np.zeros((1, turn.size)), wanted]),
        reference_weight=weight[:, None] ** 2,
        low=-end,
        high=end,
        scale=_SCALE,
    )
    solution = bls.solve(problem, _start(trunk, wanted))
    miss = np.hypot(*(solution.y[1:3] - problem.reference[1:3]))
    at_end = solution.y[_USE] > 1.0 - 1e-4
    return Held(solution.y[_ANGLES], miss, at_end & (miss > _NOTICEABLE_MISS), solution.converged)


def _start(trunk: TrunkOnPelvis, wanted: Array) -> Array:
    """The spine's shared vector ``(3, N)``, nearly, for ``wanted (3, N)`` as far as the trunk's range goes that way."""
    on_pelvis = np.array(rotations.to_turn_tilt_bend(trunk.pelvis))
    away = wanted - on_pelvis
    away *= _WELL_READ / np.maximum(np.linalg.norm(away, axis=0), _WELL_READ)
    ribcage = rotations.from_turn_tilt_bend(*(on_pelvis + away))
    use, _, vector = use_of_range(trunk.pelvis, ribcage, trunk.range)
    # Use grows with the fourth power of the way out.
    share = np.maximum(use, _INSIDE**4) ** 0.25
    return spine.first_guess(vector.T * (_INSIDE / share))
