"""Linear blend skinning of a surface, for a whole swing at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ..shapes.solids import IntArray
from .bones import BONES, bone_frames
from .smoothing import smoothed

Floats = NDArray[np.floating[Any]]
"""Of either precision."""
MOMENTS = 8
"""Posed together: what is made of them stays near the processor (measured)."""
LEAST_SHARE = 5e-4
"""Of a vertex that a frame carries: less would cost time and move nothing by more than a few tenths of a millimetre."""


def rest_to_world(skeleton: Skeleton, rest: Skeleton) -> Array:
    """``(..., B, 3, 4)`` what each frame of ``bones.BONES`` did between the resting posture and a posture."""
    return since_rest(skeleton, bone_frames(rest))


def since_rest(skeleton: Skeleton, rest: tuple[Array, Array]) -> Array:
    """The same, with the ``bone_frames`` of the resting posture: a body has one, and takes many postures."""
    origins, turns = bone_frames(skeleton)
    rest_origins, rest_turns = rest
    rotation = turns @ np.swapaxes(rest_turns, -1, -2)
    shift = origins - (rotation @ rest_origins[..., None])[..., 0]
    matrices: Array = np.concatenate([rotation, shift[..., None]], axis=-1)
    return matrices


@dataclass(frozen=True)
class Blend:
    """What frames carry of points: posed, a point is where they take their parts of it together.

    Attributes:
        frames: ``(n,)`` indices into ``bones.BONES`` of the frames that carry anything.
        held: ``(V, 4, n)`` of each point what each of them carries: its share of the resting place (metres), and the
            share itself, which adds to one over the frames.
    """

    frames: IntArray
    held: NDArray[np.float32]

    def whole(self) -> NDArray[np.float32]:
        """``(V, B, 4)`` the same over all of ``bones.BONES``."""
        places = np.zeros((len(self.held), len(BONES), 4), np.float32)
        places[:, self.frames] = np.moveaxis(self.held, 1, 2)
        return places


class Carried:
    """Points each of which is a linear function of where a few frames are: posing is a product of sparse matrices."""

    def __init__(self, held: Any, motions: Callable[[Skeleton], Array]) -> None:
        """Keep both.

        Args:
            held: ``(V, 4 N)`` sparse: of each of ``V`` points what each of ``N`` frames carries, three coordinates and
                a share, in the precision that points are posed in.
            motions: from a posture to ``(..., N, 3, 4)``, what each frame does to what it carries.
        """
        self._held, self._motions = held, motions

    @classmethod
    def of(cls, blends: Sequence[Blend], motions: Callable[[Skeleton], Array]) -> Carried:
        """The points of some blends, one blend after the other, with ``motions`` of all of ``bones.BONES``."""
        from scipy import sparse

        values, columns, counts = [], [], [np.zeros(1, np.int64)]
        for blend in blends:
            shares = blend.held[:, 3]
            point, frame = np.nonzero(shares)
            values.append(blend.held[point, :, frame].ravel())
            columns.append((4 * blend.frames[frame, None] + np.arange(4)).astype(np.int32).ravel())
            counts.append(4 * np.count_nonzero(shares, axis=1))
        ends = np.cumsum(np.concatenate(counts)).astype(np.int32)
        shape = len(ends) - 1, 4 * len(BONES)
        return cls(sparse.csr_array((np.concatenate(values), np.concatenate(columns), ends), shape), motions)

    def pose(self, skeleton: Skeleton) -> Floats:
        """``(..., V, 3)`` metres, world: the points in postures with batch axes ``(...)``."""
        matrices = self._motions(skeleton)
        count = matrices.shape[-3]
        # (N, 4, M, 3): each column of the product is one coordinate of one moment, which it works out by itself.
        frames = np.moveaxis(matrices.reshape(-1, count, 3, 4), (1, 3), (0, 1)).astype(self._held.dtype)
        moments, points = frames.shape[2], self._held.shape[0]
        posed = np.empty((moments, points, 3), self._held.dtype)
        for start in range(0, moments, MOMENTS):
            some = frames[:, :, start : start + MOMENTS].reshape(4 * count, -1)
            posed[start : start + MOMENTS] = np.moveaxis((self._held @ some).reshape(points, -1, 3), 1, 0)
        return posed.reshape(*matrices.shape[:-3], points, 3)


class Skin:
    """Vertices that follow frames by weights: linear blend skinning.

    Attributes:
        bones: ``(V, 4)`` indices into ``bones.BONES``.
        weights: ``(V, 4)`` their weights, each row adding to one.
    """

    def __init__(self, vertices: Array, bones: IntArray, weights: Array, rest: Skeleton) -> None:
        """Prepare it.

        Args:
            vertices: ``(V, 3)`` metres, in the resting posture.
            bones: ``(V, 4)`` indices into ``bones.BONES``.
            weights: ``(V, 4)`` weights.
            rest: the resting skeleton.
        """
        self.bones, self.weights, self.rest = bones, weights, rest
        self._vertices = vertices

    @cached_property
    def _carried(self) -> Carried:
        blend = linear_blend(self._vertices, self.whole())
        return Carried.of([blend], lambda skeleton: rest_to_world(skeleton, self.rest))

    def whole(self) -> NDArray[np.float32]:
        """``(V, B)`` the weight that each vertex gives to each frame, made once; it is read-only."""
        return self._whole

    @cached_property
    def _whole(self) -> NDArray[np.float32]:
        whole = np.zeros((len(self.bones), len(BONES)), np.float32)
        np.add.at(whole, (np.arange(len(self.bones))[:, None], self.bones), self.weights.astype(np.float32))
        whole.flags.writeable = False
        return whole

    def pose(self, skeleton: Skeleton) -> NDArray[np.float32]:
        """``(..., V, 3)`` metres, world: the vertices in postures with batch axes ``(...)``."""
        return self._carried.pose(skeleton)

    def turns(self, skeleton: Skeleton) -> Array:
        """``(..., V, 3, 3)`` the blended matrices that carry small steps from rest to world."""
        rotation = rest_to_world(skeleton, self.rest)[..., :3]
        carried = rotation[..., self.bones, :, :] * self.weights[..., None, None]
        blended: Array = carried.sum(axis=-3)
        return blended


def linear_blend(vertices: Array, whole: Floats) -> Blend:
    """What frames carry of ``vertices (V, 3)`` metres with weights ``whole (V, B)``."""
    frames = np.flatnonzero(whole.any(axis=0))
    return Blend(frames, _spread(vertices)[:, :, None] * whole.take(frames, axis=1).astype(np.float32)[:, None])


def _spread(vertices: Array) -> NDArray[np.float32]:
    """``(V, 4)`` places, and a whole share."""
    return np.concatenate([vertices, np.ones((len(vertices), 1))], axis=1).astype(np.float32)


def smoothed_blend(vertices: Array, whole: Floats, share: Any, rounds: int) -> Blend:
    """The same, smoothed over neighbours after posing, with the detail that smoothing takes put back.

    A crease that blending folds over opens again. Since the smoothing is linear it is done once here and not in every
    posture: delta mush (Mancewicz, Derksen, Rijpkema and Wilson, DigiPro 2014) in a direct form like that of Le and
    Lewis (ACM Trans. Graph. 38, 2019), with the blended frames themselves to carry the detail; both from memory.

    Args:
        vertices: ``(V, 3)`` metres, in the resting posture.
        whole: ``(V, B)`` weights.
        share: ``(V, V)`` sparse, one round of smoothing.
        rounds: how many.

    Returns:
        The blend; what a frame would carry less than ``LEAST_SHARE`` of is left to the vertex's strongest.
    """
    blend = linear_blend(vertices, whole)
    held = smoothed(blend.held.reshape(len(vertices), -1), share, rounds).reshape(blend.held.shape)
    shares, points = held[:, 3], _spread(vertices)
    # Weights add to one, and so over all frames together it is the places themselves that are smoothed. Added up in
    # double precision, in which it does not tell how many frames carry nothing.
    detail = points[:, :3] - held[:, :3].sum(axis=2, dtype=float)
    held[:, :3] += shares[:, None] * detail.astype(np.float32)[..., None]
    most = np.argmax(shares, axis=1)
    held *= (shares >= LEAST_SHARE)[:, None]
    held[np.arange(len(held)), :, most] += (points - held.sum(axis=2, dtype=float)).astype(np.float32)
    return blend
