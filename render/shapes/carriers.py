"""How parts of the surface follow the skeleton: rigidly with one frame; and what lies between two frames."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ...model.arrays import Array
from ...model.chain.skeleton import SEGMENT_ORIGINS, Skeleton

Precision = TypeVar("Precision", bound=np.floating[Any])


def between(first: Array, second: Array, weights: Array) -> Array:
    """Rotations on the shortest way from one to another.

    Args:
        first: ``(..., 3, 3)`` rotation.
        second: ``(..., 3, 3)`` rotation.
        weights: ``(n,)`` 0 at the first, 1 at the second.

    Returns:
        ``(..., n, 3, 3)`` rotations first · exp(weight · log(firstᵀ · second)).

    """
    step = np.swapaxes(first, -1, -2) @ second
    lead = step.shape[:-2]
    vector = Rotation.from_matrix(step.reshape(-1, 3, 3)).as_rotvec().reshape(*lead, 1, 3)
    share = (vector * weights[:, None]).reshape(-1, 3)
    part = Rotation.from_rotvec(share).as_matrix().reshape(*lead, len(weights), 3, 3)
    turned: Array = first[..., None, :, :] @ part
    return turned


def smoothstep(x: NDArray[Precision]) -> NDArray[Precision]:
    """0 below 0, 1 above 1, and a cubic with level ends between."""
    held: NDArray[Precision] = np.clip(x, 0.0, 1.0)
    risen: NDArray[Precision] = held * held * (3.0 - 2.0 * held)
    return risen


@dataclass(frozen=True)
class Rigid:
    """One frame: a segment's own, at the joint it sits on."""

    segment: str

    def places(self, skeleton: Skeleton) -> tuple[Array, Array]:
        """Origins ``(..., 1, 3)`` metres and rotations ``(..., 1, 3, 3)``."""
        origin = np.asarray(skeleton.joints[SEGMENT_ORIGINS[self.segment]])
        return origin[..., None, :], np.asarray(skeleton.frames[self.segment])[..., None, :, :]
