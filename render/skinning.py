"""Linear blend skinning of a surface, for a whole swing at once."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from ..model.arrays import Array
from ..model.skeleton import Skeleton
from .bones import BONES, bone_frames
from .solids import IntArray


def rest_to_world(skeleton: Skeleton, rest: Skeleton) -> Array:
    """``(..., B, 3, 4)`` what each frame of ``bones.BONES`` did between the resting posture and a posture."""
    origins, turns = bone_frames(skeleton)
    rest_origins, rest_turns = bone_frames(rest)
    rotation = turns @ np.swapaxes(rest_turns, -1, -2)
    shift = origins - (rotation @ rest_origins[..., None])[..., 0]
    matrices: Array = np.concatenate([rotation, shift[..., None]], axis=-1)
    return matrices


class Skin:
    """Vertices that follow frames by weights.

    With the resting places folded into the weights, posing is a product of matrices. Vertices are handled in groups
    that share a few frames, each group's product being small and dense.

    Attributes:
        bones: ``(V, 4)`` indices into ``bones.BONES``.
        weights: ``(V, 4)`` their weights, each row adding to one.
    """

    def __init__(self, vertices: Array, bones: IntArray, weights: Array, rest: Skeleton) -> None:
        """Prepare the groups.

        Args:
            vertices: ``(V, 3)`` metres, in the resting posture.
            bones: ``(V, 4)`` indices into ``bones.BONES``.
            weights: ``(V, 4)`` weights.
            rest: the resting skeleton.
        """
        self.bones, self.weights, self.rest = bones, weights, rest
        self._order: IntArray = np.argsort(bones[:, 0], kind="stable")
        self._inverse: IntArray = np.argsort(self._order, kind="stable")
        whole = np.ones((len(vertices), 4))
        whole[:, :3] = vertices
        self._groups: list[tuple[slice, IntArray, NDArray[np.float32]]] = list(self._grouped(whole))

    def _grouped(self, places: Array) -> Iterator[tuple[slice, IntArray, NDArray[np.float32]]]:
        first = self.bones[self._order, 0]
        starts = np.flatnonzero(np.diff(first, prepend=-1))
        for start, end in zip(starts, [*starts[1:], len(first)], strict=True):
            members = self._order[start:end]
            bones, column = np.unique(self.bones[members], return_inverse=True)
            spread = np.zeros((len(members), len(bones), 4), np.float32)
            column = column.reshape(len(members), -1)
            for k in range(self.bones.shape[1]):
                parts = self.weights[members, k, None] * places[members]
                spread[np.arange(len(members)), column[:, k]] += parts.astype(np.float32)
            yield slice(int(start), int(end)), bones, spread.reshape(len(members), -1).T.copy()

    def pose(self, skeleton: Skeleton) -> NDArray[np.float32]:
        """``(..., V, 3)`` metres, world: the vertices in postures with batch axes ``(...)``."""
        matrices = rest_to_world(skeleton, self.rest)
        batch = matrices.shape[:-3]
        # (M, 3, B, 4): each row of a group's product is one coordinate of one moment.
        rows = np.moveaxis(matrices.reshape(-1, len(BONES), 3, 4), 2, 1).astype(np.float32)
        moments = len(rows)
        posed = np.empty((3 * moments, len(self._order)), np.float32)
        for span, bones, spread in self._groups:
            posed[:, span] = rows[:, :, bones].reshape(3 * moments, -1) @ spread
        placed = posed.reshape(moments, 3, -1)[:, :, self._inverse]
        return np.moveaxis(placed, 1, 2).reshape(*batch, -1, 3)

    def turns(self, skeleton: Skeleton) -> Array:
        """``(..., V, 3, 3)`` the blended matrices that carry small steps from rest to world."""
        rotation = rest_to_world(skeleton, self.rest)[..., :3]
        carried = rotation[..., self.bones, :, :] * self.weights[..., None, None]
        blended: Array = carried.sum(axis=-3)
        return blended
