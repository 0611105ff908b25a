"""A figure and its swings as compact blocks: what a page needs to pose every vertex as ``Figure.pose`` does.

Every vertex is a sum over the frames that carry it: of the share that a frame has of it, and of the place that it has
in that frame. Places are told by one resting place a vertex and by how far each frame's is aside from it, which is
little and mostly nothing; shares add to one and asides to nought exactly, so that rounding is felt only where frames
part. A motion is what each frame does at each moment, told by how its speed changes: small numbers again.
"""

from __future__ import annotations

import gzip
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ..body.bones import BONES
from ..body.rest_posture import MIRROR
from ..figure.clothing import Covering
from ..figure.club import BALL_RADIUS_M
from ..figure.figure import ARMS_AND_CLUB, Figure
from ..figure.hands import Hinged
from ..figure.shoes import BENT, Shod
from ..shapes.carriers import Rigid
from ..shapes.solids import Part
from .packing import pack

SHARE_UNIT, PLACE_UNIT_M = 1 / 8191, 1e-4
"""What one step of a share and of a place is. With a motion's steps, a vertex stays within 0.06 mm on average and
0.3 mm at worst of where ``Figure.pose`` has it (``tests/render/test_web_payload.py`` holds it to 0.5)."""
TURN_UNIT, SHIFT_UNIT_M = 1 / 32768, 5e-5
"""What one step of a motion's rotations and of its shifts is."""
CLUB = Rigid("club")
Whole = NDArray[np.int64]


@dataclass(frozen=True)
class Frames:
    """The frames that carry a figure, in the order of its payload.

    First those of the flesh (``bones.BONES``), then those of segments and shoes, then, of each hinged part, the
    frames between hand and club, which a page makes itself from the club's frame and the hinge's direction.

    Attributes:
        told: what carries rigid parts and shoes.
        hinges: the carriers of hands.
    """

    told: tuple[Rigid | Shod, ...]
    hinges: tuple[Hinged, ...]

    @classmethod
    def of(cls, parts: Sequence[Covering | Part]) -> Frames:
        """Those that carry ``parts``."""
        carriers = [part.carrier for part in parts if isinstance(part, Part)]
        told = [carrier for carrier in carriers if isinstance(carrier, Rigid | Shod)]
        hinges = [carrier for carrier in carriers if isinstance(carrier, Hinged)]
        return cls(tuple(dict.fromkeys([*told, CLUB])), tuple(hinges))

    @property
    def moving(self) -> int:
        """How many frames a motion tells."""
        return self._before(None)

    @property
    def club(self) -> int:
        """The club's frame, on which hinges sit."""
        return self._before(CLUB)

    def first_of(self, part: Part) -> int:
        """Number of the first frame that carries a rigid part."""
        carrier = part.carrier
        if isinstance(carrier, Rigid | Shod):
            return self._before(carrier)
        number = self.moving
        for hinge in self.hinges:
            if hinge is carrier:
                return number
            number += len(hinge.share)
        raise TypeError(f"a page does not know what carries {part.name}")

    def _before(self, carrier: Rigid | Shod | None) -> int:
        """How many frames come before a carrier's own; of them all for None."""
        at = len(self.told) if carrier is None else self.told.index(carrier)
        return len(BONES) + sum(len(BENT) if isinstance(one, Shod) else 1 for one in self.told[:at])


def figure_bytes(figure: Figure) -> bytes:
    """What does not move: triangles, colours, and which frames carry which share of each vertex; gzip.

    The header has ``parts`` (name, number of vertices, colour, whether an outline of the body shows it), ``look`` (the
    colours of the place), ``hinges``, ``club`` and the units; the arrays are ``faces``, told by differences, and for
    each vertex ``carried`` (by how many frames) and ``rest``, for each frame of each vertex ``frames``, ``shares`` and
    ``aside``.
    """
    frames = Frames.of(figure.parts)
    carried = [_carried(part, frames) for part in figure.parts]
    vertex = np.concatenate([one[0] + start for one, (start, _) in zip(carried, figure.vertex_ranges, strict=True)])
    frame = np.concatenate([one[1] for one in carried])
    values = np.concatenate([one[2] for one in carried])
    count = figure.vertex_ranges[-1][1]
    rest, shares, aside = _whole_numbers(vertex, values, count)
    look = figure.look
    header = {
        "parts": [
            [part.name, part.count, list(getattr(look, part.colour)), not part.name.startswith(ARMS_AND_CLUB)]
            for part in figure.parts
        ],
        "look": {
            name: list(getattr(look, name))
            for name in ("ball", "ground", "ground_far", "target_line", "backdrop_low", "backdrop_high")
        },
        "left_handed": figure.left_handed,
        "ball_radius_m": BALL_RADIUS_M,
        "moving": frames.moving,
        "club": frames.club,
        "hinges": [
            {"held": hinge.held.tolist(), "toward": hinge.toward.tolist(), "share": hinge.share.tolist()}
            for hinge in frames.hinges
        ],
        "share_unit": SHARE_UNIT,
        "place_unit_m": PLACE_UNIT_M,
    }
    arrays = {
        "faces": _told_faces(figure.faces),
        "carried": np.bincount(vertex, minlength=count),
        "frames": frame,
        "rest": np.diff(rest, axis=0, prepend=0).T,
        "shares": shares,
        "aside": aside.T,
    }
    return gzip.compress(pack(header, arrays), 6, mtime=0)


def motion_bytes(figure: Figure, skeletons: Skeleton, told: Mapping[str, Any] | None = None) -> bytes:
    """What moves: every frame of a figure in ``(M,)`` postures.

    Args:
        figure: whose frames.
        skeletons: the postures.
        told: more of each moment, such as marks and words, ready for JSON; the header has it as ``told``.

    The arrays are ``first``, ``speed`` and ``change``: the first moment, the step to the second, and how the step
    changes from there on, in the header's units. A moment has, for each moving frame, the rows of its rotation and its
    shift ``(3, 4)``, and for each hinge the direction ``(3,)`` of its wrist in the club's frame.
    """
    right = skeletons.mirrored() if figure.left_handed else skeletons
    frames = Frames.of(figure.parts)
    matrices = [figure.flesh_motions(right)]
    for carrier in frames.told:
        origins, turns = carrier.places(right)
        matrices.append(np.concatenate([turns, origins[..., None]], axis=-1))
    moving = np.concatenate(matrices, axis=-3)
    if figure.left_handed:
        moving = moving * MIRROR[:, None]
    steps = np.rint(moving / np.array([TURN_UNIT, TURN_UNIT, TURN_UNIT, SHIFT_UNIT_M])).astype(np.int64)
    moments = len(steps)
    towards = [np.rint(hinge.now(right) / TURN_UNIT).astype(np.int64) for hinge in frames.hinges]
    course = np.concatenate([steps.reshape(moments, -1), *towards], axis=1)
    speed = np.diff(course, axis=0)
    header = {"moments": moments, "turn_unit": TURN_UNIT, "shift_unit_m": SHIFT_UNIT_M, "told": told or {}}
    # A number's course stands together, since it changes little from moment to moment.
    return pack(header, {"first": course[0], "speed": speed[:1], "change": np.diff(speed, axis=0).T})


def _carried(part: Covering | Part, frames: Frames) -> tuple[Whole, Whole, Array]:
    """Of each frame of each vertex: the vertex, the frame, and ``(4,)`` the place that it carries and its share."""
    if isinstance(part, Covering):
        vertex, frame = np.nonzero((part.places != 0).any(axis=-1))
        return vertex, frame, part.places[vertex, frame].astype(float)
    values = np.concatenate([part.local, np.ones((part.count, 1))], axis=1)
    return np.arange(part.count), frames.first_of(part) + part.frame, values


def _whole_numbers(vertex: Whole, values: Array, count: int) -> tuple[Whole, Whole, Whole]:
    """Resting places ``(V, 3)``, shares ``(C,)`` and asides ``(C, 3)`` in their units, of ``C`` carried places."""
    starts = np.flatnonzero(np.diff(vertex, prepend=-1))
    rest = np.rint(np.add.reduceat(values[:, :3], starts) / PLACE_UNIT_M).astype(np.int64)
    whole = np.full(count, round(1 / SHARE_UNIT))
    shares = _rounded(values[:, 3] / SHARE_UNIT, whole, vertex, starts)
    exact = values[:, :3] / PLACE_UNIT_M - (shares * SHARE_UNIT)[:, None] * rest[vertex]
    none = np.zeros(count, np.int64)
    aside = np.stack([_rounded(exact[:, axis], none, vertex, starts) for axis in range(3)], axis=1)
    return rest, shares, aside


def _rounded(values: Array, totals: Whole, vertex: Whole, starts: Whole) -> Whole:
    """Whole numbers ``(C,)`` next to ``values`` that add to each vertex's total: what misses most rounds up."""
    low = np.floor(values)
    whole = low.astype(np.int64)
    lacking = totals - np.add.reduceat(whole, starts)
    order = np.lexsort((low - values, vertex))
    rank = np.arange(len(order)) - starts[vertex[order]]
    whole[order] += rank < lacking[vertex[order]]
    return whole


def _told_faces(faces: Any) -> Whole:
    """``(3, F)`` triangles in the order of their lowest corners: by how much that grows, and the others above it."""
    turned = np.argmin(faces, axis=1)
    corners = [faces[np.arange(len(faces)), (turned + k) % 3].astype(np.int64) for k in range(3)]
    order = np.lexsort((corners[1], corners[0]))
    low, second, third = (corner[order] for corner in corners)
    return np.stack([np.diff(low, prepend=0), second - low, third - second])
