"""The whole solid figure: built once for a body, posed by a skeleton at any moment."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ..body.body_surface import BodySurface, MeasuredBody
from ..body.bones import SIDES
from ..body.rest_posture import MIRROR
from ..body.skinning import Carried
from ..shapes.seams import soften_seams
from ..shapes.solids import IntArray, Part
from .clothing import Covering, coverings
from .club import BALL_RADIUS_M, club_parts
from .hands import hand_parts
from .look import Look
from .made import Made
from .rigid import rigidly
from .segments import segments_of_faces

SPACING_M = 0.018
"""Of the surface's grid: wider than for measuring, since pictures show no difference and are drawn faster."""
SEAMLESS: tuple[tuple[str, ...], ...] = (("arm_trail", "hand_trail"),)
"""Parts that are shaded as one surface where they run into each other."""
ARMS_AND_CLUB = ("arm_", "hand_", "shaft", "grip", "clubhead")
"""How the names begin of what is no part of the body's outline; the shirt's sleeves are."""


class Figure:
    """A clothed golfer of several closed parts.

    Clothes and bare skin are cut from the body's own surface and skinned with it; face, hair, hands, shoes and club
    are rigid or strung between joints.

    Attributes:
        parts: the closed parts, in the order of their vertices.
        faces: ``(F, 3)`` vertex numbers, counter-clockwise seen from outside.
        part_of_face: ``(F,)`` index into ``parts``.
        vertex_ranges: first and one past the last vertex of each part.
        left_handed: whether the figure is the mirror image.
        look: what is worn and all colours.

    """

    def __init__(
        self,
        body: MeasuredBody,
        address: Skeleton,
        *,
        left_handed: bool = False,
        look: Look | None = None,
        like: Figure | None = None,
    ) -> None:
        """Shape the figure.

        Args:
            body: the body's measures.
            address: its address posture (one moment, no batch axes), feet flat on the ground: it gives the
                distances between joints, the height of the ankles and the lie of the club.
            left_handed: the skeletons are mirror images (world y negated).
            look: what is worn and all colours; ``Look.usual`` for the body by default.
            like: a figure of the same body, whose skin this one shares, and whose clothes where they are cut alike.

        """
        self._body = body
        self.look = look or Look.usual(float(body.female))
        self.left_handed = left_handed
        shape = {name: float(value) for name, value in body.shape.items()}
        reference = address.mirrored() if left_handed else address
        # The figure is made as a right-hander and mirrored when it is posed.
        surface: BodySurface = like._surface if like else BodySurface(body, reference, spacing_m=SPACING_M)
        self._surface: BodySurface = surface
        cut_alike = like and (like.look.sleeves, like.look.legwear) == (self.look.sleeves, self.look.legwear)
        self._cloth: _Cloth = like._cloth if like and cut_alike else _Cloth(coverings(surface, self.look), surface)
        self._made: Made = like._made if like else Made()
        self._rigid: tuple[Part, ...] = (
            *self._made.shoes(shape, float(body.lengths["heel_to_ball"]), reference),
            *self._made.head(surface, shape, self.look),
            *hand_parts(shape, reference, self._made.hands),
            *club_parts(shape, reference, self.look.club_head),
        )
        self._rigidly = rigidly(self._rigid)
        self.parts: tuple[Covering | Part, ...] = (*self._cloth.parts, *self._rigid)
        ends = np.cumsum([0, *(part.count for part in self.parts)])
        self.vertex_ranges = list(zip(ends[:-1].tolist(), ends[1:].tolist(), strict=True))
        self.faces: IntArray
        self._corners: IntArray
        self.part_of_face: IntArray
        self._faces_round: Any
        if like and _alike(self.parts, like.parts):
            self.faces, self._corners, self._faces_round = like.faces, like._corners, like._faces_round
            self.part_of_face = like.part_of_face
            return
        faces = np.concatenate([part.faces + start for part, start in zip(self.parts, ends[:-1], strict=True)])
        # A mirror image turns every triangle over.
        self.faces = faces[:, ::-1].copy() if left_handed else faces
        self._corners = np.ascontiguousarray(self.faces.T)
        count = len(self.faces)
        # (V, F): which faces are round each vertex.
        numbers = np.tile(np.arange(count, dtype=np.int32), 3)
        self._faces_round = sparse.csr_array(
            (np.ones(3 * count, np.float32), (self._corners.ravel().astype(np.int32), numbers)), (int(ends[-1]), count)
        )
        self.part_of_face = np.repeat(np.arange(len(self.parts)), [len(p.faces) for p in self.parts])

    def dressed(self, address: Skeleton, look: Look | None = None) -> Figure:
        """The same body at another address, with another club or in another look; cheap where the cut is the same.

        The skin stays the one made for the first address. Arguments as for ``Figure``; this figure's look by default.
        """
        return Figure(self._body, address, left_handed=self.left_handed, look=look or self.look, like=self)

    @cached_property
    def segment_of_face(self) -> NDArray[np.uint8]:
        """``(F,)`` ids of ``segments.SEGMENTS``."""
        rigid = segments_of_faces(self._rigid, left_handed=self.left_handed)
        return np.concatenate([self._cloth.segments(self.left_handed), rigid])

    @cached_property
    def _landmarks(self) -> dict[str, Array]:
        """``(3,)`` metres in the head's frame, a right-hander's."""
        parts = {part.name: part.local for part in self._rigid}

        def outermost(name: str, way: tuple[float, float, float]) -> Array:
            return parts[name][np.argmax(parts[name] @ way)]

        found = {"nose": outermost("nose", (1.0, 0.0, 0.0))}
        for side, out in zip(SIDES, (1.0, -1.0), strict=True):
            found[f"eye_{side}"] = outermost(f"iris_{side}", (1.0, 0.0, 0.0))
            found[f"ear_{side}"] = outermost(f"ear_{side}", (0.0, out, 0.0))
        return found

    def landmarks(self, skeleton: Skeleton) -> dict[str, Array]:
        """``(..., 3)`` metres, world: what is drawn of the face, by name.

        ``nose``, its tip; ``eye_lead`` and ``eye_trail``, the foremost place of the iris; ``ear_lead`` and
        ``ear_trail``, where the ear stands out most. Batch axes of the skeleton lead.
        """
        right = skeleton.mirrored() if self.left_handed else skeleton
        centre, frame = np.asarray(right.joints["head"]), np.asarray(right.frames["head"])
        flip = MIRROR if self.left_handed else 1.0
        return {name: (centre + frame @ local) * flip for name, local in self._landmarks.items()}

    def pose(self, skeleton: Skeleton) -> Array:
        """``(..., V, 3)`` metres, world: the vertices in a posture (batch axes of the skeleton lead)."""
        right = skeleton.mirrored() if self.left_handed else skeleton
        cloth, rigid = self._cloth.carried.pose(right), self._rigidly.pose(right)
        vertices: Array = np.concatenate([cloth, rigid], axis=-2)
        if self.left_handed:
            vertices *= MIRROR
        return vertices

    def flesh_motions(self, right: Skeleton) -> Array:
        """``(..., B, 3, 4)`` what each frame of ``bones.BONES`` does to flesh and clothes in a posture of a
        right-hander.
        """
        return self._surface.motions(right)

    def normals(self, vertices: Array) -> Array:
        """``(V, 3)`` outward unit normals of posed vertices ``(V, 3)``, seams softened."""
        # In single precision: edges of a centimetre are known to a hundred-thousandth. One coordinate after the other,
        # which all of this takes in half the time.
        edges = []
        for places in np.ascontiguousarray(vertices.T, np.float32):
            # No number lies outside, and so none is looked at twice.
            corners = places.take(self._corners, mode="clip")
            corners[1:] -= corners[0]
            edges.append(corners[1:])
        x, y, z = edges
        # Twice the area of each face, as an outward vector, added up over the faces round each vertex.
        area = y[0] * z[1] - z[0] * y[1], z[0] * x[1] - x[0] * z[1], x[0] * y[1] - y[0] * x[1]
        total = np.stack([self._faces_round @ one for one in area])
        length = np.sqrt(np.einsum("iv,iv->v", total, total))
        length[length == 0] = 1.0
        total /= length
        unit: Array = np.ascontiguousarray(total.T)
        for names in SEAMLESS:
            pieces = zip(self.parts, self.vertex_ranges, strict=True)
            soften_seams(vertices, unit, [span for part, span in pieces if part.name in names])
        return unit

    @property
    def body_faces(self) -> IntArray:
        """``(F', 3)`` the faces of head, trunk and legs: all but bare arms, hands and club."""
        body = np.array([not part.name.startswith(ARMS_AND_CLUB) for part in self.parts])
        return self.faces[body[self.part_of_face]]

    def vertex_colours(self) -> NDArray[np.uint8]:
        """``(V, 3)`` red, green, blue of each vertex."""
        colours = np.array([getattr(self.look, part.colour) for part in self.parts], np.uint8)
        return np.repeat(colours, [part.count for part in self.parts], axis=0)


class _Cloth:
    """What is cut out of a body's surface, bare skin counted in: the same in every figure that wears the same cut.

    Attributes:
        parts: its pieces.
        carried: all their vertices.
    """

    def __init__(self, parts: list[Covering], surface: BodySurface) -> None:
        self.parts = parts
        self.carried = Carried.of([part.blend for part in parts], surface.motions)
        self._segments: dict[bool, NDArray[np.uint8]] = {}

    def segments(self, left_handed: bool) -> NDArray[np.uint8]:
        """``(F,)`` ids of ``segments.SEGMENTS`` of all its triangles."""
        if left_handed not in self._segments:
            self._segments[left_handed] = segments_of_faces(self.parts, left_handed=left_handed)
        return self._segments[left_handed]


def _alike(parts: Sequence[Covering | Part], others: Sequence[Covering | Part]) -> bool:
    """Whether both have the same triangles, wherever their vertices are."""
    return len(parts) == len(others) and all(
        one.count == other.count and np.array_equal(one.faces, other.faces)
        for one, other in zip(parts, others, strict=True)
    )


@dataclass(frozen=True)
class Posed:
    """A figure in one posture, ready to be drawn.

    Attributes:
        figure: the figure.
        vertices: ``(V, 3)`` metres, world.
        ball: ``(3,)`` metres, world: the ball's centre.
        lit_as: a posture hardly any time away whose normals it takes instead of its own, which cost more than they
            change: None for its own.

    """

    figure: Figure
    vertices: Array
    ball: Array
    lit_as: Posed | None = None

    @cached_property
    def normals(self) -> Array:
        """``(V, 3)`` outward unit normals, made once for all views of the posture."""
        return self.figure.normals(self.vertices) if self.lit_as is None else self.lit_as.normals

    @classmethod
    def of(cls, figure: Figure, skeleton: Skeleton) -> Posed:
        """Pose a figure by a skeleton without batch axes."""
        return cls._at(figure, figure.pose(skeleton), skeleton.joints["ball"])

    @classmethod
    def each(cls, figure: Figure, skeletons: Skeleton) -> list[Posed]:
        """Pose a figure by every one of ``(M,)`` skeletons: together, which is several times as fast."""
        places = zip(figure.pose(skeletons), skeletons.joints["ball"], strict=True)
        return [cls._at(figure, vertices, ball) for vertices, ball in places]

    @classmethod
    def _at(cls, figure: Figure, vertices: Array, ball: Array) -> Posed:
        return cls(figure, vertices, _ball_centre(ball))

    @staticmethod
    def ball_of(skeleton: Skeleton) -> Array:
        """``(3,)`` metres, world: the centre of the ball of a posture without batch axes."""
        return _ball_centre(skeleton.joints["ball"])


def _ball_centre(ball: Array) -> Array:
    # The joint may be the ball's centre or the place on the ground that it lies on.
    return np.array([*ball[:2], max(ball[2], BALL_RADIUS_M)], float)
