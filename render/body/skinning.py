"""Linear blend skinning of a surface, for a whole swing at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array, BoolArray
from ...model.chain.skeleton import Skeleton
from ..shapes.solids import IntArray
from .bones import BONES, bone_frames

Floats = NDArray[np.floating[Any]]
"""Of either precision."""
COLUMNS = 96
"""Columns that are smoothed together (measured)."""
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


class Carried:
    """Points each of which is a linear function of where a few frames are.

    Posing is a product of matrices. Points are handled in groups that share frames, each group's product being small
    and dense.
    """

    def __init__(self, places: Floats, motions: Callable[[Skeleton], Array]) -> None:
        """Prepare the groups.

        Args:
            places: ``(V, B, 4)`` what each frame of ``bones.BONES`` carries of each point: its share of the resting
                place (metres), and the share itself; the last column adds to one over the frames.
            motions: from a posture to ``(..., B, 3, 4)``, what each frame does between the rest and it.
        """
        self._motions = motions
        shares = np.ascontiguousarray(places[..., 3])
        first = np.argmax(shares, axis=1)
        self._order: IntArray = np.argsort(first, kind="stable")
        self._inverse: IntArray = np.argsort(self._order, kind="stable")
        self._groups: list[tuple[slice, IntArray, NDArray[np.float32]]] = list(
            _grouped(places, shares != 0, first, self._order)
        )

    def pose(self, skeleton: Skeleton) -> NDArray[np.float32]:
        """``(..., V, 3)`` metres, world: the points in postures with batch axes ``(...)``."""
        matrices = self._motions(skeleton)
        batch = matrices.shape[:-3]
        # (M, 3, B, 4): each row of a group's product is one coordinate of one moment.
        rows = np.moveaxis(matrices.reshape(-1, len(BONES), 3, 4), 2, 1).astype(np.float32)
        moments = len(rows)
        posed = np.empty((moments, 3, len(self._order)), np.float32)
        for span, bones, spread in self._groups:
            # One small product a moment: the same bytes beside whatever moments, and on however many threads.
            posed[:, :, span] = rows[:, :, bones].reshape(moments, 3, -1) @ spread
        placed = posed[:, :, self._inverse]
        return np.moveaxis(placed, 1, 2).reshape(*batch, -1, 3)


def _grouped(
    places: Floats, carries: BoolArray, first: IntArray, order: IntArray
) -> Iterator[tuple[slice, IntArray, NDArray[np.float32]]]:
    """Of each run of points with the same ``first`` frame: where it is in ``order``, its frames and what they carry."""
    lead = first[order]
    starts = np.flatnonzero(np.diff(lead, prepend=-1))
    for start, end in zip(starts, [*starts[1:], len(lead)], strict=True):
        own = order[start:end]
        bones = np.flatnonzero(carries[own].any(axis=0))
        spread = places[own[:, None], bones].reshape(len(own), -1).T
        yield slice(int(start), int(end)), bones, spread.astype(np.float32)


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
        places = linear_blend(self._vertices, self.whole())
        return Carried(places, lambda skeleton: rest_to_world(skeleton, self.rest))

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


def linear_blend(vertices: Array, whole: Floats) -> NDArray[np.float32]:
    """``(V, B, 4)`` what frames carry of ``vertices (V, 3)`` metres with weights ``whole (V, B)``: see ``Carried``."""
    points = np.concatenate([vertices, np.ones((len(vertices), 1))], axis=1).astype(np.float32)
    places: NDArray[np.float32] = whole.astype(np.float32)[..., None] * points[:, None, :]
    return places


def smoothed_blend(vertices: Array, whole: Floats, share: Any, rounds: int) -> NDArray[np.float32]:
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
        ``(V, B, 4)``; what a frame would carry less than ``LEAST_SHARE`` of is left to the vertex's strongest.
    """
    share = share.astype(np.float32)
    fine, smooth = share.astype(float), vertices
    # Frames are the last axis, along which everything runs.
    points = np.concatenate([vertices, np.ones((len(vertices), 1))], axis=1).astype(np.float32)
    flat = (points[:, :, None] * whole.astype(np.float32)[:, None, :]).reshape(len(vertices), -1)
    for _ in range(rounds):
        smooth = fine @ smooth
    # Some columns at a time, which stay near the processor from round to round; each goes its own way.
    for start in range(0, flat.shape[1], COLUMNS):
        part = np.ascontiguousarray(flat[:, start : start + COLUMNS])
        for _ in range(rounds):
            part = share @ part
        flat[:, start : start + COLUMNS] = part
    carried: NDArray[np.float32] = flat.reshape(len(vertices), 4, -1)
    shares = carried[:, 3]
    carried[:, :3] += shares[:, None] * (vertices - smooth)[:, :, None]
    faint, strongest = shares < LEAST_SHARE, np.argmax(shares, axis=1)
    places: NDArray[np.float32] = np.ascontiguousarray(np.moveaxis(carried, 1, 2))
    left = np.einsum("vb,vbk->vk", faint.astype(np.float32), places)
    places *= ~faint[..., None]
    places[np.arange(len(places)), strongest] += left
    return places
