"""Where joints and keypoints are at all photographed moments of a swing, seen from one tripod: worked out together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

import numpy as np

from ....model.arrays import Array
from ....model.films.camera import Camera
from ....model.films.keypoint_places import places
from ....render.figure.figure import Figure
from ..layout.sample import METRES_DECIMALS, PIXELS_DECIMALS
from ..plan.drawn import DrawnSwing


@dataclass(frozen=True)
class SeenJoints:
    """Joints and keypoints at M moments.

    Attributes:
        names: of the N joints.
        world: ``(M, N, 3)`` metres, world.
        in_camera: ``(M, N, 3)`` metres in the camera's frame.
        in_picture: ``(M, N, 2)`` pixels, inside the picture's edges or not.
        keypoints_camera: ``(M, 17, 3)`` metres in the camera's frame, rounded as a label rounds them.
        keypoints_picture: ``(M, 17, 2)`` pixels, likewise.
    """

    names: tuple[str, ...]
    world: Array
    in_camera: Array
    in_picture: Array
    keypoints_camera: Array
    keypoints_picture: Array

    @classmethod
    def of(cls, camera: Camera, swing: DrawnSwing, figure: Figure, *, left_handed: bool) -> Self:
        """Those of a swing's moments."""
        skeleton = swing.swing.skeleton[np.array(swing.moments)]
        # Places on the figure's skin come before joints of that name.
        joints = {name: np.asarray(place) for name, place in skeleton.joints.items()} | figure.landmarks(skeleton)
        world = np.stack(list(joints.values()), axis=1)
        in_camera, in_picture = world @ camera.R.T + camera.t, camera.project(world)

        def rounded(at: Array, decimals: int) -> Array:
            each = places(dict(zip(joints, at.swapaxes(0, 1), strict=True)), left_handed=left_handed)
            return np.round(each.swapaxes(0, 1), decimals)

        return cls(
            tuple(joints), world, in_camera, in_picture,
            rounded(in_camera, METRES_DECIMALS), rounded(in_picture, PIXELS_DECIMALS),
        )  # fmt: skip
