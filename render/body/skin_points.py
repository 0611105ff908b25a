"""Landmarks on the skin that the model knows the place of: where a line from a known point meets the body's surface."""

from __future__ import annotations

from typing import Any

import numpy as np

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ...model.chain.spine import LEVELS
from ..shapes.solids import IntArray
from .body_surface import BodySurface
from .bones import SIDES

REACH_M = 1.0
"""No line inside a body is longer."""
AT_ONCE = 32
"""Moments posed together: of a long film's whole surface there may not be room enough in memory."""

SKIN_POINTS: tuple[str, ...] = (
    "c7", "t10", "suprasternale", "xiphoid",
    *(f"{name}_{side}" for side in SIDES for name in ("trochanter", "epicondyle", "malleolus")),
)  # fmt: skip
"""In the order of ``SkinPoints.places``."""


class SkinPoints:
    """Places that stay on the skin of a surface, however it is posed.

    All are found on the resting surface, each straight out from a point inside:

    - ``c7``: behind the base of the neck, which has the height of the survey's cervicale.
    - ``suprasternale``: before the column at the survey's suprasternale height, which the model's ``sternum`` has.
    - ``t10``: behind the middle of that vertebra (its spinous process reaches lower; assumption).
    - ``xiphoid``: before the middle of the ninth thoracic vertebra (textbook anatomy, from memory).
    - ``trochanter``: outward of the hip's centre, which has the survey's trochanterion height.
    - ``epicondyle``, ``malleolus``: outward of the centres of knee and ankle, along the leg's own side-to-side axis;
      the centres have the heights of the survey's lateral femoral epicondyle and lateral malleolus.

    Attributes:
        surface: the surface.
    """

    def __init__(self, surface: BodySurface) -> None:
        self.surface = surface
        met = [_outward(surface, *line) for line in _lines(surface.rest)]
        self._corners: IntArray = np.array([corners for corners, _ in met])
        self._shares: Array = np.array([shares for _, shares in met])

    def places(self, skeleton: Skeleton) -> Array:
        """``(M, len(SKIN_POINTS), 3)`` metres, world.

        Args:
            skeleton: ``M`` moments, no batch axes.

        """
        moments = len(skeleton.joints["pelvis"])
        found = []
        for start in range(0, moments, AT_ONCE):
            posed = self.surface.pose(skeleton[start : start + AT_ONCE]).astype(float)
            found.append(np.einsum("mpcx,pc->mpx", posed[:, self._corners], self._shares))
        return np.concatenate(found)


def _lines(rest: Skeleton) -> list[tuple[Array, Array]]:
    """Start ``(3,)`` metres and direction ``(3,)`` of the line to each of ``SKIN_POINTS``, on the resting skeleton."""
    joints, frames, spine = rest.joints, rest.frames, np.asarray(rest.spine)
    ahead = frames["ribcage"][:, 0]

    def vertebra(joint_below: str) -> Array:
        level = LEVELS.index(joint_below)
        middle: Array = 0.5 * (spine[level] + spine[level + 1])
        return middle

    base = joints["neck_base"]
    # The point of the column that is as high as the notch.
    notch = base + np.array([0.0, 0.0, joints["sternum"][2] - base[2]])
    lines = [(base, -ahead), (vertebra("T10/11"), -ahead), (notch, ahead), (vertebra("T9/10"), ahead)]
    for side, out in zip(SIDES, (1.0, -1.0), strict=True):
        for joint, frame in (("hip", "pelvis"), ("knee", f"thigh_{side}"), ("ankle", f"shank_{side}")):
            lines.append((joints[f"{joint}_{side}"], out * frames[frame][:, 1]))
    return lines


def _outward(surface: BodySurface, start: Array, way: Array) -> tuple[IntArray, Array]:
    """Where a line from inside leaves the resting surface.

    Args:
        surface: the surface.
        start: ``(3,)`` metres, inside it.
        way: ``(3,)`` unit direction.

    Returns:
        ``(3,)`` the vertices of the triangle met first, and ``(3,)`` their shares in the place, which add to one.
    """
    import pyvista
    from trimesh import triangles

    polydata: Any = pyvista.PolyData  # Neither carries types here.
    barycentric: Any = triangles.points_to_barycentric
    skin = polydata.from_regular_faces(surface.mesh.vertices, surface.mesh.faces)
    places, met = skin.ray_trace(start, start + REACH_M * way)
    first = int(np.argmin((places - start) @ way))
    corners = surface.mesh.faces[met[first]]
    shares = barycentric(surface.mesh.vertices[corners][None], places[first : first + 1])
    return corners, np.asarray(shares[0])
