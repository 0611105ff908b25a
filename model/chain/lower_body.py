"""Feet, legs and pelvis: what is asked of them, what the joints allow, and which range stopped the rest.

Order of priority, after the bones' lengths and the planted feet, which `legs` keeps exactly: joints stay inside
their ranges; what was asked is met as nearly as they allow (turn and bend count 1 per degree, knees 3 per degree,
sway and hips toward ball 1 per half centimetre); what is still free takes the least strain, the sum over joints of
((angle - reference) / half range)^2 with a small weight beside.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array, BoolArray
from ..batch import Batch, Flags, Rows, SideFrames
from ..golfer.body import Body
from ..golfer.ranges import SIDES, STRAIGHT_KNEE_SHARE, reference_ranges
from ..numeric import bounded_least_squares as bls
from ..numeric import rotations
from ..numeric.vectors import vector
from .legs import KNEES, LEG_OUTPUTS, SIDE, SWIVELS, TOWARD_BALL, TOWARD_TARGET, UNKNOWNS, LegPosture, Legs  # fmt: skip
from .tibia import TibialRange

PER_DEGREE = float(np.degrees(1.0)) ** 2
ASKING_WEIGHTS: Array = np.array(
    [PER_DEGREE, PER_DEGREE, 200.0**2, 200.0**2, 9.0 * PER_DEGREE, 9.0 * PER_DEGREE, 0.0, 0.0]
)
"""``(8,)`` weight of each unknown of ``legs.UNKNOWNS``; the swivels are free."""
STRAIN_WEIGHT = 0.1
MET_COST = 0.5
"""Below this the asking is met and only strain is left (a degree missed costs a half)."""
MOST_ITERATIONS = 70
"""Ordinary askings take 6 iterations, wild ones 13, 999 in 1,000 fewer than this; then another start is tried."""
STEEPEST_FOOT = 0.9
"""Sine of the steepest slope of a foot whose heel is up, 64 degrees (assumption)."""
NOTICEABLE = float(np.radians(0.1))
"""A range counts as stopping a move when it costs more than this of a turn (rad)."""

_ENDS: Mapping[str, tuple[str, str]] = {
    "hip_flexion": ("hip_extension", "hip_flexion"),
    "hip_abduction": ("hip_adduction", "hip_abduction"),
    "hip_external_rotation": ("hip_internal_rotation", "hip_external_rotation"),
    "knee_flexion": ("knee_straight", "knee_flexion"),
    "shin_share_of_range": ("shin_external_rotation", "shin_internal_rotation"),
    "ankle_dorsiflexion": ("ankle_plantarflexion", "ankle_dorsiflexion"),
    "ankle_inversion": ("ankle_eversion", "ankle_inversion"),
}
"""Which range limits an output from below and from above."""

LEG_LIMITS: tuple[str, ...] = tuple(
    f"{side}_{_ENDS[name][end]}" for name in LEG_OUTPUTS if name in _ENDS for side in SIDES for end in (0, 1)
)
"""Everything that can stop a leg, in the order of ``stopped_by``."""


@dataclass(frozen=True)
class LegLimits(Batch):
    """Ranges of the sixteen leg outputs: ``(16, N)`` rad each, and the fixed half ranges that scale strain."""

    low: Rows
    high: Rows
    half: Rows

    @classmethod
    def of(cls, body: Body) -> LegLimits:
        """The limits of flat bodies. Strain is scaled by the reference ranges, so that it does not change when a
        golfer's own range is measured.
        """
        low, high = cls._ends(body.ranges, body.stature.size)
        reference_low, reference_high = cls._ends(reference_ranges(body.female), body.stature.size)
        row = LEG_OUTPUTS.index("shin_share_of_range") * 2
        half = 0.5 * (reference_high - reference_low)
        low[row : row + 2], high[row : row + 2], half[row : row + 2] = -1.0, 1.0, np.inf
        return cls(low, high, half)

    @staticmethod
    def _ends(ranges: Mapping[str, Array], count: int) -> tuple[Array, Array]:
        low, high = np.full((16, count), -np.inf), np.full((16, count), np.inf)
        for row, name in enumerate(LEG_OUTPUTS):
            names = _ENDS.get(name)
            for leg, side in enumerate(SIDES):
                if name == "shin_internal_rotation":  # ranged through its share, so only its scale is needed
                    low[2 * row + leg] = -ranges[f"{side}_shin_external_rotation"]
                    high[2 * row + leg] = ranges[f"{side}_shin_internal_rotation"]
                elif names and name != "shin_share_of_range":
                    straight = names[0] == "knee_straight"
                    low[2 * row + leg] = 0.0 if straight else -ranges[f"{side}_{names[0]}"]
                    high[2 * row + leg] = ranges[f"{side}_{names[1]}"]
        return low, high


def tibial_range(body: Body) -> TibialRange:
    """Range of tibial rotation ``(2, N)`` of both legs of flat bodies."""

    def both(name: str) -> Array:
        return np.array([body.ranges[f"{side}_{name}"] for side in SIDES])

    internal, external = both("shin_internal_rotation"), both("shin_external_rotation")
    return TibialRange(
        internal_straight=internal * STRAIGHT_KNEE_SHARE["shin_internal_rotation"],
        internal_bent=internal,
        external_straight=external * STRAIGHT_KNEE_SHARE["shin_external_rotation"],
        external_bent=external,
    )


def heel_risen(body: Body, asked: Array) -> Array:
    """How far heels come up ``(2, N)`` m, lead and trail, when ``asked`` to: on a short foot not the whole way."""
    return asked.clip(0.0, STEEPEST_FOOT * body.lengths["heel_to_ball"])


def planted(body: Body, flare: Array, stance_width: Array, heel_rise: Array) -> Legs:
    """Legs on feet planted at ``flare (2, N)`` (lead, trail; outward, rad), ankles ``stance_width (N,)`` m apart.

    A heel raised by ``heel_rise (2, N)`` m turns its foot about the ball, which stays down.
    """
    size = body.lengths
    ball_ahead = size["heel_to_ball"] - size["heel_to_ankle"]
    rise = np.arcsin(heel_risen(body, heel_rise) / size["heel_to_ball"])
    flat = rotations.about_z(flare).transpose(2, 3, 0, 1)
    foot = (rotations.about_z(flare) @ rotations.about_y(rise)).transpose(2, 3, 0, 1)
    ankle = ball_ahead * (flat[:, 0] - foot[:, 0]) + size["ankle_height"] * foot[:, 2]
    ankle[1] += 0.5 * stance_width
    return Legs(size["thigh"], size["shank"], 0.5 * size["hip_joint_width"], ankle, foot, tibial_range(body))


@dataclass(frozen=True)
class LowerBody(Batch):
    """Solved legs and pelvis of ``N`` moments.

    Attributes:
        q: ``(8, N)`` unknowns of ``legs.UNKNOWNS``, achieved.
        angles: ``(16, N)`` rad, ``legs.LEG_OUTPUTS`` by lead and trail.
        posture: frames and joint centres.
        feet: ``(3, 3, 2, N)`` foot_to_world, trail reflected.
        stopped_by: ``(N, len(LEG_LIMITS))`` whether that range keeps the asking from being met.
        converged: ``(N,)``.
    """

    q: Rows
    angles: Rows
    posture: LegPosture
    feet: SideFrames
    stopped_by: Flags
    converged: BoolArray

    @property
    def pelvis(self) -> Array:
        """Pelvis_to_world ``(N, 3, 3)``."""
        return self.posture.pelvis[:, :, 0].transpose(2, 0, 1)

    @property
    def pelvis_centre(self) -> Array:
        """Midpoint of the hips ``(N, 3)`` m, world."""
        return vector(self.q[TOWARD_BALL], self.q[TOWARD_TARGET], self.posture.height)


def solve(
    legs: Legs,
    limits: LegLimits,
    asked: Array,
    reference: Array,
    start: Array,
    weights: Array = ASKING_WEIGHTS,
    home: Array | None = None,
) -> LowerBody:
    """Meet ``asked (8, N)`` as nearly as the joints allow.

    A knee can be caught on the wrong side of its swivel when an impossible asking starts far from where a body
    stands. From the address that happened in 25 of 16,000 impossible askings (and kept 1 that could be met from
    being met), from random starts five times as often. So the product starts from the address; a start from
    elsewhere should give the address as ``home``, from where unmet moments are tried again.

    Args:
        legs: the loop of each moment.
        limits: ranges of motion.
        asked: wanted unknowns; the swivels' entries are ignored by their zero weight.
        reference: ``(16, N)`` rad, joint angles of least strain.
        start: ``(8, N)`` any closed posture to start from.
        weights: ``(8,)`` weight of each unknown.
        home: ``(8, N)`` a second start for moments that the first leaves unmet; the nearer answer is kept.
    """
    problem = bls.Problem(
        legs,
        goal=asked,
        goal_weight=weights[:, None],
        reference=reference,
        reference_weight=STRAIN_WEIGHT * limits.half**-2.0,
        low=_ranged_only(limits.low, -np.inf),
        high=_ranged_only(limits.high, np.inf),
    )
    solution = bls.solve(problem, start, MOST_ITERATIONS)
    if home is not None:
        cost = np.where(solution.converged, problem.cost(solution.q, solution.y), np.inf)
        _try_again(problem, solution, np.flatnonzero(~(cost < MET_COST)), home)
    # Hardly ever does an impossible asking not converge; the knees over the toes is another way in.
    knees_over_toes = (start if home is None else home).copy()
    knees_over_toes[SWIVELS] = 0.0
    _try_again(problem, solution, np.flatnonzero(~solution.converged), knees_over_toes)
    row = [i for i, name in enumerate(LEG_OUTPUTS) if name in _ENDS]
    force = solution.force.reshape(8, 2, -1)[row]
    # The tibia's force is per share of its range; per radian like the others, it compares with them.
    internal, external, _, _ = legs.tibial.at(solution.q[KNEES])
    force[row.index(LEG_OUTPUTS.index("shin_share_of_range"))] /= 0.5 * (internal + external)
    cost = np.stack([force, -force], axis=2) / PER_DEGREE  # (outputs, legs, ends, N), rad of turn given up
    posture = legs.posture(solution.q)
    return LowerBody(
        q=solution.q,
        angles=solution.y,
        posture=posture,
        feet=legs.foot,
        stopped_by=(cost.reshape(len(LEG_LIMITS), -1) > NOTICEABLE).T,
        converged=solution.converged & posture.closed,
    )


def _try_again(problem: bls.Problem, solution: bls.Solution, again: NDArray[np.intp], start: Array) -> None:
    """Solve the moments ``again`` from another ``start`` and keep, in place, the answers that are nearer."""
    if again.size == 0:
        return
    part = problem[again]
    old = np.where(solution.converged[again], part.cost(solution.q[:, again], solution.y[:, again]), np.inf)
    other = bls.solve(part, start[:, again], MOST_ITERATIONS)
    better = other.converged & (part.cost(other.q, other.y) < old)
    for whole, new in zip(solution.arrays(), other.arrays(), strict=True):
        whole[..., again[better]] = new[..., better]


def _ranged_only(ends: Array, nothing: float) -> Array:
    """The ends of the ranges, without those of tibial rotation itself (its share is ranged instead)."""
    out = ends.copy()
    row = 2 * LEG_OUTPUTS.index("shin_internal_rotation")
    out[row : row + 2] = nothing
    return out


def unreflected(vectors: Array) -> Array:
    """``(3, 2, N)`` with the trail leg reflected, to ``(2, N, 3)`` in the world."""
    out = vectors.transpose(1, 2, 0).copy()
    out[..., 1] *= SIDE
    return out


def unreflected_frames(frames: Array) -> Array:
    """``(3, 3, 2, N)`` frames with the trail leg reflected, to ``(2, N, 3, 3)`` proper frames in the world."""
    out = frames.transpose(2, 3, 0, 1).copy()
    flip = np.array([1.0, -1.0, 1.0])
    out[1] *= flip[:, None] * flip
    return out


__all__ = [
    "LEG_LIMITS",
    "UNKNOWNS",
    "LegLimits",
    "LowerBody",
    "planted",
    "solve",
    "unreflected",
    "unreflected_frames",
]
