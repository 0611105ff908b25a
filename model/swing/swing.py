"""What a simulated swing is: the arrays that `simulate` returns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import SHARED, Batch, Flags, Parts, Vector
from ..chain.skeleton import Skeleton
from ..golfer.address import Address
from ..golfer.body import Body
from ..golfer.head_place import HeadPlace
from ..golfer.impact import Impact
from ..golfer.pieces import Pieces
from .phases import IMPACT, Phases


@dataclass(frozen=True)
class Measures(Batch):
    """What one reads off a film of the swing; arrays ``(..., M)`` unless said.

    Attributes:
        head_moved: ``(..., M, 3)`` m since address: toward ball, toward target, up.
        neck_base_moved: ``(..., M, 3)`` m since address, same axes.
        sternum_moved: ``(..., M, 3)`` m since address.
        pelvis_moved: ``(..., M, 3)`` m since address.
        inclination: rad from the vertical of the trunk line, pelvis centre to neck base, in space.
        inclination_down_the_line: the same as seen down the line, toward the ball positive.
        lean_face_on: the same as seen face-on, away from the target positive.
        shoulder_plane: rad, inclination of the shoulder line to the horizontal, lead shoulder down positive.
        centre_of_mass: ``(..., M, 3)`` m, world.
        balance_margin: m, how far inside the base of support the centre of mass stands; outside it is negative.
        trail_weight_share: static share of the weight on the trail foot, 0 to 1 between the feet's middles; beyond them
            less or more. Where the balance margin is negative nobody stands, and it says nothing.
        low_point_shift: m toward the target that the swing's low point moves if the move is not given back.
    """

    head_moved: Vector
    neck_base_moved: Vector
    sternum_moved: Vector
    pelvis_moved: Vector
    inclination: Array
    inclination_down_the_line: Array
    lean_face_on: Array
    shoulder_plane: Array
    centre_of_mass: Vector
    balance_margin: Array
    trail_weight_share: Array
    low_point_shift: Array


_OF_THREE = ("head_wanted", "limited", "arms_limited")
"""Of a swing, arrays with another axis behind that of the moments."""
_OF_MOMENTS = (
    "progress", "asked", "achieved", "steady", "steady_miss", "met", "converged", "joint_angles", "joint_ranges",
    "skeleton", "measures", *_OF_THREE,
)  # fmt: skip
"""What a swing has of every moment."""


def _cut(value: Array | tuple[Array, Array], count: int) -> object:
    """The first moments of ``(..., M)``, or of a pair of them."""
    return tuple(one[..., :count] for one in value) if isinstance(value, tuple) else value[..., :count]


@dataclass(frozen=True)
class Swing(Batch):
    """A batch of swings, up to the top or through impact; ``swing[3]`` is one of them.

    The batch shape is ``...`` and the moments ``M`` come last.

    Orientations are in the order turn, tilt, bend (see ``turnstill.model.numeric.rotations``).

    Attributes:
        body, address, pieces: what was asked, as given.
        left_handed: whether world y is negated against the right-handed figure.
        impact: what was asked at impact, and whether the swing goes there: None where it ends at the top.
        head: where the head was wanted at the top, as given.
        progress: ``(M,)`` 0 at address, 1 at the top, 2 at impact, 3 with the club level past the ball.
        asked: name to ``(..., M)`` rad or m: every piece of ``PIECES``, plus what they come
            to with the address asked: ``pelvis_bend``, ``pelvis_toward_ball``, ``pelvis_toward_target``,
            ``lead_knee_flex``, ``trail_knee_flex`` and the ribcage's ``bend``.
        achieved: the same names, as the joints show them; plus ``belt_line_tilt``.
        steady: ``tilt`` and ``extension`` to ``(..., M)`` rad: what holds this head where it is wanted for this turn.
        steady_miss: ``(..., M)`` m, how far the head is off (face-on and height) even with those.
        head_wanted: ``(..., M, 3)`` m, from the head's place at address to where it is wanted.
        limit_names: names of the ranges that can stop a move.
        limited: ``(..., M, len(limit_names))`` whether that range stops what was asked.
        arm_limit_names: names of the ranges that can stop an arm.
        arms_limited: ``(..., M, len(arm_limit_names))`` whether that range keeps the arms from what was asked of them.
        met: ``(..., M)`` whether all that was asked is achieved (within 0.1 deg and 1 mm).
        converged: ``(..., M)`` whether every solver met its tolerance.
        address_balanced: ``(...)`` whether the address found its balance over the feet.
        joint_angles: name to ``(..., M)`` rad.
        joint_ranges: name to ``(low, high)``, each ``(..., M)`` rad.
        skeleton: joint centres and segment frames ``(..., M, 3)``, world.
        measures: what one reads off a film.
    """

    body: Body
    address: Address
    pieces: Pieces
    impact: Impact | None
    head: HeadPlace
    progress: Annotated[Array, SHARED]
    left_handed: bool
    asked: Mapping[str, Vector]
    achieved: Mapping[str, Vector]
    steady: Mapping[str, Vector]
    steady_miss: Vector
    head_wanted: Annotated[Array, Parts(after=2)]
    limit_names: tuple[str, ...]
    limited: Annotated[BoolArray, Parts(after=2)]
    arm_limit_names: tuple[str, ...]
    arms_limited: Annotated[BoolArray, Parts(after=2)]
    met: Flags
    converged: Flags
    address_balanced: BoolArray
    joint_angles: Mapping[str, Vector]
    joint_ranges: Mapping[str, tuple[Vector, Vector]]
    skeleton: Annotated[Skeleton, Parts(after=1)]
    measures: Annotated[Measures, Parts(after=1)]

    @property
    def at_top(self) -> int:
        """Number of the moment at the top."""
        return Phases(self.progress).at_top

    @property
    def at_impact(self) -> int:
        """Number of the moment of impact, of a swing that goes there."""
        return int(np.searchsorted(self.progress, IMPACT))

    def until_top(self) -> Swing:
        """The same swing up to the top; itself where it ends there."""
        if self.impact is None:
            return self
        count = self.at_top + 1

        def cut(name: str) -> object:
            value = getattr(self, name)
            if isinstance(value, Batch):
                return value[..., :count]
            if isinstance(value, Mapping):
                return {key: _cut(one, count) for key, one in value.items()}
            return value[..., :count, :] if name in _OF_THREE else value[..., :count]

        return replace(self, impact=None, **{name: cut(name) for name in _OF_MOMENTS})  # type: ignore[arg-type]

    def __repr__(self) -> str:
        batch = f"batch={self.batch}, " if self.batch else ""
        return f"Swing({batch}moments={self.progress.size})"
