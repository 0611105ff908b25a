"""A body's own surface: one closed mesh made from its measures, posed by a skeleton at any moment."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ..shapes.solids import IntArray
from .body_mesh import SPACING_M, Mesh, body_mesh
from .body_shape import members
from .bones import BONES, bone_frames
from .bulge import keep_volume, middles
from .rest_posture import MIRROR, rest_posture
from .skin_weights import skin_weights
from .skinning import Carried, Skin, since_rest, smoothed_blend
from .smoothing import smoothing

SETTLED = 16
"""Rounds of smoothing after posing, which open creases that linear blending folds over."""


class MeasuredBody(Protocol):
    """What surface and figure need of a body."""

    @property
    def shape(self) -> Mapping[str, Any]:
        """Breadths, depths and girths by name (``survey.SHAPE``), metres."""
        ...

    @property
    def lengths(self) -> Mapping[str, Any]:
        """Distances along the bones by name, metres."""
        ...

    @property
    def female(self) -> Any:
        """0 or 1."""
        ...


class BodySurface:
    """One closed surface over a body's measured girths, skinned to its skeleton.

    Attributes:
        rest: the resting skeleton it was made in, a right-hander's.
        mesh: the surface in the resting posture, a right-hander's.
        skin: frames and weights of each vertex, as ``pose_linearly`` uses them.
        faces: ``(F, 3)`` vertex numbers of the posed surface, counter-clockwise seen from outside.
        left_handed: whether posed figures are mirror images.
    """

    def __init__(
        self, body: MeasuredBody, address: Skeleton, *, left_handed: bool = False, spacing_m: float = SPACING_M
    ) -> None:
        """Shape, mesh and skin it.

        Args:
            body: one body's measures, no batch axes.
            address: its address, one moment, no batch axes: it gives the distances between the joints.
            left_handed: the skeletons are mirror images (world y negated).
            spacing_m: of the grid that the surface is contoured on.
        """
        self.left_handed = left_handed
        shape = {name: float(value) for name, value in body.shape.items()}
        reference = address.mirrored() if left_handed else address
        self.rest = rest_posture(reference, shape["thigh_circumference"] / (2 * np.pi))
        solids = members(shape, self.rest, float(body.female))
        self.mesh: Mesh = body_mesh(solids, spacing_m)
        bones, weights = skin_weights(self.mesh.vertices, self.mesh.faces, solids, self.rest)
        self.skin = Skin(self.mesh.vertices, bones, weights, self.rest)
        # A mirror image turns every triangle over.
        self.faces: IntArray = self.mesh.faces[:, ::-1].copy() if left_handed else self.mesh.faces

    @cached_property
    def _settled(self) -> Carried:
        share = smoothing(self.mesh.faces, len(self.mesh.vertices))
        return Carried.of([smoothed_blend(self.mesh.vertices, self.skin.whole(), share, SETTLED)], self.motions)

    @cached_property
    def _middles(self) -> Array:
        return middles(self.mesh.vertices, self.skin.whole(), self.rest.spine)

    @cached_property
    def _rest_frames(self) -> tuple[Array, Array]:
        return bone_frames(self.rest)

    def motions(self, skeleton: Skeleton) -> Array:
        """``(..., B, 3, 4)`` what each frame of ``bones.BONES`` does to a right-hander's flesh between rest and a
        posture.
        """
        return keep_volume(since_rest(skeleton, self._rest_frames), self._middles, self.rest.spine)

    def pose(self, skeleton: Skeleton) -> NDArray[np.float32]:
        """``(..., V, 3)`` metres, world: the vertices in postures with batch axes ``(...)``."""
        return self._mirrored(self._settled.pose, skeleton)

    def pose_linearly(self, skeleton: Skeleton) -> NDArray[np.float32]:
        """The same by ``skin`` alone, as a viewer blends it that knows frames and weights and no smoothing."""
        return self._mirrored(self.skin.pose, skeleton)

    def _mirrored(self, pose: Callable[[Skeleton], NDArray[np.float32]], skeleton: Skeleton) -> NDArray[np.float32]:
        if not self.left_handed:
            return pose(skeleton)
        return pose(skeleton.mirrored()) * MIRROR.astype(np.float32)

    def share_of(self, *names: str) -> Array:
        """``(V,)`` how much of each vertex follows those frames of ``bones.BONES``."""
        chosen = np.isin(np.array(BONES), names)
        share: Array = (self.skin.weights * chosen[self.skin.bones]).sum(axis=1)
        return share
