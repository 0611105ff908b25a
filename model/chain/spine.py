"""The spine from pelvis to ribcage: one rotation shared by level in proportion to published mobility, exactly.

Each of seventeen levels, L5/S1 to T1/T2, turns by ``exp(W_i v)``: the same rotation vector ``v``, scaled by the
level's share of side bend, flexion and rotation. A Newton iteration finds the ``v`` for which the product of all
levels is the rotation from pelvis to ribcage. (Taking ``v`` as the logarithm of the whole closes only where the
shares of the three motions agree, and iterating that naively does not converge.)

Rotation vectors here are in the pelvis frame: x side bend (lead side down is negative), y flexion, z axial
rotation (away from the target is negative).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import factorial

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import Batch, Frame, Frames, Vector
from ..numeric import rotations

LEVELS: tuple[str, ...] = (
    "L5/S1", "L4/5", "L3/4", "L2/3", "L1/2",
    "T12/L1", "T11/12", "T10/11", "T9/10", "T8/9", "T7/8", "T6/7", "T5/6", "T4/5", "T3/4", "T2/3", "T1/2",
)  # fmt: skip
LUMBAR = 5

# Within each region the pattern by level is White & Panjabi 1990 (representative values, from memory); for the
# lumbar region Pearcy & Tibrewal 1984, Spine 9:582-7 (side bend and rotation, from memory). The regions' totals
# are those of ``ranges``: lumbar 25.4, 91.4, 7 deg (side bend, flexion and extension, rotation; Troke et al. 2005 at
# 30 years), thoracic 15.6, 34.8, 24.9 deg (Fujimori 2014, Jiang 2025, Fujimori 2012).
_SIDE_BEND = ((3, 6, 10, 11, 10), (8, 9, 7, 6, 6, 6, 6, 6, 6, 5, 6, 5))
_FLEXION = ((17, 16, 15, 14, 12), (12, 12, 9, 6, 6, 6, 5, 4, 4, 4, 4, 4))
_ROTATION = ((2, 3, 3, 2, 2), (2, 2, 2, 4, 6, 7, 7, 8, 8, 8, 8, 9))
_TOTALS = ((25.4, 15.6), (91.4, 34.8), (7.0, 24.9))


def _shares() -> Array:
    columns = []
    for pattern, totals in zip((_SIDE_BEND, _FLEXION, _ROTATION), _TOTALS, strict=True):
        by_region = [np.asarray(p) / sum(p) * t / sum(totals) for p, t in zip(pattern, totals, strict=True)]
        columns.append(np.concatenate(by_region))
    return np.stack(columns, axis=1)


SHARES: Array = _shares()
"""``(17, 3)``: what each level does of side bend, flexion and rotation; every column adds to one."""

LUMBAR_LENGTH_SHARE = 0.385
"""Share of L5/S1 to C7/T1 that is lumbar, about 18 of 47 cm (from memory)."""

SEGMENT_SHARES: Array = np.concatenate(
    [np.full(LUMBAR, LUMBAR_LENGTH_SHARE / LUMBAR), np.full(12, (1.0 - LUMBAR_LENGTH_SHARE) / 12)]
)
"""``(17,)`` length of the vertebra above each level as a share of the spine: equal within a region (assumption)."""

_STEPS = 12
_NEWTON_STEPS = 2
"""After two Newton steps the derivative hardly changes; keeping it costs a step and saves its price."""
_TOLERANCE = 1e-12


@dataclass(frozen=True)
class Spine(Batch):
    """A closed spine.

    Attributes:
        vector: ``(..., 3)`` the shared rotation vector v, rad.
        centres: ``(..., 18, 3)`` m, world, lumbosacral joint to base of neck.
        frames: ``(..., 18, 3, 3)`` vertebra_to_world; the last is the ribcage.
        closed: ``(...)`` whether the levels add up to the ribcage to rounding.
    """

    vector: Vector
    centres: Frame
    frames: Frames
    closed: BoolArray


def bend(pelvis: Array, ribcage: Array, lumbosacral: Array, length: Array) -> Spine:
    """Share the rotation from ``pelvis`` to ``ribcage (..., 3, 3)`` over the levels.

    Args:
        pelvis: pelvis_to_world.
        ribcage: ribcage_to_world; up to about 150 degrees from the pelvis.
        lumbosacral: ``(..., 3)`` m, world.
        length: ``(...)`` m, lumbosacral joint to base of neck with a straight spine.
    """
    batch = pelvis.shape[:-2]
    chain, miss = _closed(pelvis, ribcage)
    to_world = pelvis.reshape(-1, 3, 3).transpose(1, 2, 0)
    frames = np.einsum("ijn,ljkn->nlik", to_world, np.concatenate([chain.below[1:], chain.below[-1:]]))
    centres = np.einsum("ijn,ljn->nli", to_world, chain.centres(np.broadcast_to(length, batch).reshape(-1)))
    return Spine(
        vector=chain.vector.T.reshape(*batch, 3),
        centres=lumbosacral[..., None, :] + centres.reshape(*batch, *centres.shape[1:]),
        frames=frames.reshape(*batch, *frames.shape[1:]),
        closed=(miss < 1e-9).reshape(batch),
    )


def neck_base(pelvis: Array, ribcage: Array, lumbosacral: Array, length: Array) -> Array:
    """Base of the neck ``(N, 3)`` m, world; arguments as of ``bend``, for one batch axis."""
    chain, _ = _closed(pelvis, ribcage)
    along = np.einsum("ljn,ln->nj", chain.below[1:, :, 2], SEGMENT_SHARES[:, None] * length)
    return lumbosacral + (pelvis @ along[..., None])[..., 0]


@dataclass(frozen=True)
class Reach:
    """Where a shared vector takes ribcage and base of neck, all in the pelvis frame.

    Attributes:
        ribcage: ``(N, 3, 3)`` ribcage_to_pelvis.
        neck_base: ``(N, 3)`` m from the lumbosacral joint.
        turning: ``(N, 3, 3)`` angular velocity of the ribcage per rate of the vector.
        moving: ``(N, 3, 3)`` velocity of the base of the neck per rate of the vector.
    """

    ribcage: Array
    neck_base: Array
    turning: Array
    moving: Array


def reach(vector: Array, length: Array) -> Reach:
    """Where the shared vector ``(3, N)`` rad takes a spine of ``length (N,)`` m; nothing needs to be closed for it."""
    chain = _Chain(vector)
    centres, by_level = chain.centres(length), chain.by_level()
    return Reach(
        ribcage=_moments_first(chain.below[-1]),
        neck_base=np.ascontiguousarray(centres[-1].T),
        turning=_moments_first(by_level.sum(axis=0)),
        moving=_moments_first(chain.top_by_vector(by_level, centres)),
    )


def _moments_first(matrices: Array) -> Array:
    return np.ascontiguousarray(matrices.transpose(2, 0, 1))


class _Chain:
    """The levels turned by their shares of a vector, in the pelvis frame; level first, moments (N) last.

    ``below[l]`` ``(3, 3, N)`` is the vertebra below level l, ``below[17]`` the ribcage; ``vector`` ``(3, N)``.
    """

    def __init__(self, vector: Array) -> None:
        count = vector.shape[1]
        self.below = np.empty((len(LEVELS) + 1, 3, 3, count))
        self.below[0] = np.eye(3)[..., None]
        # Large arrays are made once: fresh memory costs several times the arithmetic done in it.
        self.scratch, self.product = np.empty((2, len(LEVELS), 3, 3, count))
        self.turn(vector)

    def turn(self, vector: Array) -> None:
        """Turn the levels by their shares of another vector."""
        self.vector, self.levels = vector, SHARES[..., None] * vector
        self.square = (self.levels * self.levels).sum(axis=1)
        self.sine, self.versine = _series(_SINE_AND_VERSINE, self.square)
        turned = _combined(self.levels, 1.0 - self.square * self.versine, self.sine, self.versine, self.scratch)
        for i in range(len(LEVELS)):
            np.einsum("ijn,jkn->ikn", self.below[i], turned[i], out=self.below[i + 1])

    def centres(self, length: Array) -> Array:
        """``(18, 3, N)`` m, lumbosacral joint to base of neck, for spines of ``length (N,)``."""
        size = SEGMENT_SHARES[:, None] * length
        centres = np.zeros((len(LEVELS) + 1, 3, self.vector.shape[1]))
        np.multiply(self.below[1:, :, 2], size[:, None], out=centres[1:])
        for below, above in pairwise(centres):  # numpy's cumulative sum takes three times as long where N is large
            above += below
        return centres

    def by_level(self) -> Array:
        """``(17, 3, 3, N)`` angular velocity that each level adds, per rate of the vector."""
        own = _combined(self.levels, self.sine, self.versine, _series(_EXCESS, self.square), self.scratch)
        own *= SHARES[:, None, :, None]
        return np.einsum("lijn,ljkn->likn", self.below[:-1], own, out=self.product)

    @staticmethod
    def top_by_vector(by_level: Array, centres: Array) -> Array:
        """``(3, 3, N)`` velocity of the base of the neck per rate of the vector: each level swings what is above."""
        arm = centres[-1] - centres[:-1]

        def product(i: int, j: int) -> Array:
            return np.asarray(np.einsum("lkn,ln->kn", by_level[:, i], arm[:, j]))

        cross = [product(i, j) - product(j, i) for i, j in ((1, 2), (2, 0), (0, 1))]
        return np.array(cross)


def _closed(pelvis: Array, ribcage: Array) -> tuple[_Chain, Array]:
    """The chain whose levels add up to the rotation between the two, and the largest part of it left over, rad."""
    relative = (pelvis.mT @ ribcage).reshape(-1, 3, 3)
    whole = np.ascontiguousarray(relative.transpose(1, 2, 0))
    chain = _Chain(first_guess(rotations.log(relative).T))
    for step in range(_STEPS):
        # What is left, outermost: its skew part is its sine, which is as good as the angle once it is small.
        left = np.einsum("ijn,kjn->ikn", whole, chain.below[-1])
        sine = 0.5 * np.array([left[2, 1] - left[1, 2], left[0, 2] - left[2, 0], left[1, 0] - left[0, 1]])
        miss = np.abs(sine).max(axis=0)
        if miss.max(initial=0.0) < _TOLERANCE or step == _STEPS - 1:
            break
        if step < _NEWTON_STEPS:
            inverse = _inverse(chain.by_level().sum(axis=0))
        chain.turn(chain.vector + (inverse * sine).sum(axis=1))
    return chain, miss


def _inverse(m: Array) -> Array:
    """Inverse of ``(3, 3, N)`` by cofactors."""
    b, c = [1, 2, 0], [2, 0, 1]
    cofactors = m[b][:, b] * m[c][:, c] - m[b][:, c] * m[c][:, b]
    return np.asarray(cofactors.swapaxes(0, 1) / (m[0] * cofactors[0]).sum(axis=0))


_BELOW_ABOVE: Array = np.einsum("ia,jb,ij->ab", SHARES, SHARES, np.triu(np.ones((len(LEVELS),) * 2), 1))
"""Share of motion a at one level times share of motion b at a higher one, summed over all pairs."""


def first_guess(whole: Array) -> Array:
    """The shared vector ``(3, N)`` to second order, from the rotation vector ``whole (3, N)`` of all levels together.

    By Baker, Campbell and Hausdorff the levels add up to v and half the cross products of every level with those above.
    """
    mixed = _BELOW_ABOVE - _BELOW_ABOVE.T

    def excess(v: Array) -> Array:
        return 0.5 * np.array([mixed[1, 2] * v[1] * v[2], mixed[2, 0] * v[2] * v[0], mixed[0, 1] * v[0] * v[1]])

    return np.asarray(whole - excess(whole - excess(whole)))


# Levels turn by less than a radian, where these series of the square of the angle are exact to rounding; components
# first and moments last they take a fifth of the time of `rotations.exp` and `rotations.left_jacobian`.
_SINE, _VERSINE, _EXCESS = (
    np.array([(-1.0) ** k / factorial(2 * k + after) for k in range(8)])[:, None, None] for after in (1, 2, 3)
)
_SINE_AND_VERSINE = np.stack([_SINE, _VERSINE], axis=1)


def _series(coefficients: Array, square: Array) -> Array:
    """Series ``(..., 17, N)`` in ``square (17, N)`` with ``coefficients (8, ..., 1, 1)``, the constant first."""
    value = coefficients[-1] * np.ones_like(square)
    for coefficient in coefficients[-2::-1]:
        value *= square
        value += coefficient
    return value


def _combined(v: Array, straight: Array, across: Array, along: Array, out: Array) -> Array:
    """``straight I + across K + along v v^T`` ``(17, 3, 3, N)`` of ``v (17, 3, N)``; K the cross matrix.

    With the series of sine, versine and excess that makes rotations, and their left Jacobians.
    """
    np.multiply((along[:, None] * v)[:, :, None], v[:, None], out=out)
    turned = across[:, None] * v
    for i in range(3):
        j, k = (i + 1) % 3, (i + 2) % 3
        on, below, above = out[:, i, i], out[:, k, j], out[:, j, k]
        on += straight
        below += turned[:, i]
        above -= turned[:, i]
    return out
