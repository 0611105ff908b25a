"""The whole solid figure: built once for a body, posed by a skeleton at any moment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from ..model.arrays import Array
from ..model.skeleton import Skeleton
from .club import BALL_RADIUS_M, club_parts
from .hands import hand_parts
from .head import head_parts
from .limbs import limb_parts
from .look import Look
from .seams import soften_seams
from .shoes import shoe_parts
from .solids import IntArray, Part
from .trunk import trunk_parts

SEAMLESS: tuple[tuple[str, ...], ...] = (
    ("seat", "trouser_leg_lead", "trouser_leg_trail"),
    ("shirt", "yoke", "sleeve_lead", "sleeve_trail"),
    ("arm_trail", "palm_trail", "fist_trail"),
    ("palm_lead", "fist_lead"),
)
"""Parts that are shaded as one surface where they run into each other."""


class Measured(Protocol):
    """What the figure needs of a body.

    Attributes:
        shape: breadths, depths and circumferences by name, metres.

    """

    @property
    def shape(self) -> Mapping[str, Any]:
        """Breadths, depths and circumferences by name, metres."""
        ...


class Figure:
    """A solid golfer of several closed parts.

    Attributes:
        parts: the closed parts, in the order of their vertices.
        faces: ``(F, 3)`` vertex numbers, counter-clockwise seen from outside.
        part_of_face: ``(F,)`` index into ``parts``.
        vertex_ranges: first and one past the last vertex of each part.
        left_handed: whether the figure is the mirror image.

    """

    def __init__(self, body: Measured, address: Skeleton, *, left_handed: bool = False) -> None:
        """Shape the figure.

        Args:
            body: the body's measures.
            address: its address posture (one moment, no batch axes), feet flat on the ground: it gives the
                distances between joints, the height of the ankles and the lie of the club.
            left_handed: the skeletons are mirror images (world y negated).

        """
        self.left_handed = left_handed
        shape = {name: float(value) for name, value in body.shape.items()}
        reference = address.mirrored() if left_handed else address
        self.parts: tuple[Part, ...] = (
            *trunk_parts(shape, reference),
            *limb_parts(shape, reference),
            *shoe_parts(shape, reference),
            *head_parts(shape, reference),
            *hand_parts(shape),
            *club_parts(shape, reference),
        )
        ends = np.cumsum([0, *(len(part.local) for part in self.parts)])
        self.vertex_ranges = list(zip(ends[:-1].tolist(), ends[1:].tolist(), strict=True))
        faces = np.concatenate([part.faces + start for part, start in zip(self.parts, ends[:-1], strict=True)])
        # A mirror image turns every triangle over.
        self.faces: IntArray = faces[:, ::-1].copy() if left_handed else faces
        self.part_of_face: IntArray = np.repeat(np.arange(len(self.parts)), [len(p.faces) for p in self.parts])

    def pose(self, skeleton: Skeleton) -> Array:
        """``(..., V, 3)`` metres, world: the vertices in a posture (batch axes of the skeleton lead)."""
        if not self.left_handed:
            return np.concatenate([part.pose(skeleton) for part in self.parts], axis=-2)
        unmirrored = skeleton.mirrored()
        vertices = np.concatenate([part.pose(unmirrored) for part in self.parts], axis=-2)
        mirrored: Array = vertices * np.array([1.0, -1.0, 1.0])
        return mirrored

    def normals(self, vertices: Array) -> Array:
        """``(V, 3)`` outward unit normals of posed vertices ``(V, 3)``, seams softened."""
        corners = vertices[self.faces]
        area = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        total = np.empty_like(vertices)
        index = self.faces.ravel()
        for axis in range(3):
            total[:, axis] = np.bincount(index, np.repeat(area[:, axis], 3), len(vertices))
        length = np.linalg.norm(total, axis=1, keepdims=True)
        unit: Array = total / np.where(length > 0, length, 1.0)
        for names in SEAMLESS:
            pieces = zip(self.parts, self.vertex_ranges, strict=True)
            soften_seams(vertices, unit, [span for part, span in pieces if part.name in names])
        return unit

    def vertex_colours(self, look: Look) -> NDArray[np.uint8]:
        """``(V, 3)`` red, green, blue of each vertex."""
        colours = np.array([getattr(look, part.colour) for part in self.parts], np.uint8)
        return np.repeat(colours, [len(part.local) for part in self.parts], axis=0)


@dataclass(frozen=True)
class Posed:
    """A figure in one posture, ready to be drawn.

    Attributes:
        figure: the figure.
        vertices: ``(V, 3)`` metres, world.
        ball: ``(3,)`` metres, world: the ball's centre.

    """

    figure: Figure
    vertices: Array
    ball: Array

    @classmethod
    def of(cls, figure: Figure, skeleton: Skeleton) -> Posed:
        """Pose a figure by a skeleton without batch axes."""
        ball = np.array(skeleton.joints["ball"], float)
        # The joint may be the ball's centre or the place on the ground that it lies on.
        ball[2] = max(ball[2], BALL_RADIUS_M)
        return cls(figure, figure.pose(skeleton), ball)
