"""Neck and head: the head keeps the orientation it had at address, as far as the neck lets it.

At address the face is turned to the ball, the eyes doing the rest. As the ribcage turns, the head stays as it was
in the room, so that the eyes stay on the ball; past the neck's range it is carried along with the ribcage. The
neck's range is a rounded box as the trunk's is, and the neck itself leans half as far as the head turns on the ribcage.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import Batch, Frame, Vector
from ..golfer.body import Body
from ..numeric import rotations
from ..numeric.vectors import vector
from .trunk import RoundedBox

FREE_SHARE = 0.9
"""Share of its range that the neck uses freely (assumption); past it the head is gradually carried along."""
EYES_DOWN = float(np.radians(24.0))
"""How far the eyes look below the face at address: what people with an upright head prefer for something 1 m away,
24 degrees, sd 10 (Kroemer & Hill 1986, Ergonomics 29:1129, abstract R). That they do so over a ball is an
assumption.
"""

_SAME = np.eye(3)


@dataclass(frozen=True)
class Neck(Batch):
    """Neck and head of a batch of bodies: vectors ``(..., 3)`` m in their own frames.

    Attributes:
        neck: base of neck to skull joint, in the neck's frame.
        head: skull joint to centre of the head, in the head's frame.
        range: the neck's range of motion.
    """

    neck: Vector
    head: Vector
    range: RoundedBox

    @classmethod
    def of(cls, body: Body) -> Neck:
        """The neck of a body."""
        size = body.lengths
        return cls(
            vector(size["neck_forward"], 0.0, size["neck_up"]),
            vector(size["head_forward"], 0.0, size["head_up"]),
            RoundedBox.of(body.ranges, "neck"),
        )


@dataclass(frozen=True)
class HeadPosture(Batch):
    """Where the head is.

    Attributes:
        from_neck_base: ``(..., 3)`` m, world, base of neck to centre of the head.
        head: ``(..., 3, 3)`` head_to_world.
        neck: ``(..., 3, 3)`` neck_to_world.
        neck_on_ribcage, head_on_ribcage: ``(..., 3)`` m, from base of neck to skull joint, on to the head's centre.
        vector: ``(..., 3)`` rad, rotation vector of the head on the ribcage (ribcage frame).
        carried: ``(...)`` whether the neck ran short of range and the ribcage took the head along.
        asked: ``(..., 3)`` rad, the vector that would keep the gaze.
        use, use_by_asked: ``(...)`` and ``(..., 3)`` what `RoundedBox.use` says of it.
        ribcage: ``(..., 3, 3)`` ribcage_to_world.
    """

    from_neck_base: Vector
    head: Frame
    neck: Frame
    neck_on_ribcage: Vector
    head_on_ribcage: Vector
    vector: Vector
    carried: BoolArray
    asked: Vector
    use: Array
    use_by_asked: Vector
    ribcage: Frame

    @cached_property
    def by_turning(self) -> Array:
        """``(..., 3, 3)`` velocity of ``from_neck_base`` per angular velocity of the ribcage, the gaze held."""
        asked, vector = self.asked, self.vector
        scale, slope, share = _eased(self.use)
        # With w the ribcage's angular velocity in its own frame: left_jacobian(asked) d(asked)/dt = -w, and near the
        # end of the range the vector shrinks with its share. Neck and head then turn by w plus their own motion.
        asked_by_turning = -rotations.left_jacobian_inverse(asked)
        share_by_asked = self.use_by_asked * (0.25 * share**-3.0)[..., None]
        shrink = scale[..., None, None] * _SAME
        shrink = shrink + (asked * slope[..., None])[..., :, None] * share_by_asked[..., None, :]
        by_turning = shrink @ asked_by_turning
        neck_jacobian, head_jacobian = rotations.left_jacobian(np.array([0.5 * vector, vector]))
        neck_turn = _SAME + neck_jacobian @ (0.5 * by_turning)
        head_turn = _SAME + head_jacobian @ by_turning
        own = -rotations.cross_matrix(self.neck_on_ribcage) @ neck_turn
        own = own - rotations.cross_matrix(self.head_on_ribcage) @ head_turn
        return np.asarray(self.ribcage @ own @ self.ribcage.mT)


def place(ribcage: Array, wanted: Array, neck: Neck) -> HeadPosture:
    """The head on a ``ribcage (..., 3, 3)``, oriented as ``wanted (..., 3, 3)`` if the neck allows."""
    asked = rotations.log(ribcage.mT @ wanted)
    use, use_by_asked = neck.range.use(asked)
    scale, _, share = _eased(use)
    vector = asked * scale[..., None]
    half, whole = rotations.exp(np.array([0.5 * vector, vector]))
    neck_on_ribcage, head_on_ribcage = half @ neck.neck[..., None], whole @ neck.head[..., None]
    return HeadPosture(
        from_neck_base=(ribcage @ (neck_on_ribcage + head_on_ribcage))[..., 0],
        head=ribcage @ whole,
        neck=ribcage @ half,
        neck_on_ribcage=neck_on_ribcage[..., 0],
        head_on_ribcage=head_on_ribcage[..., 0],
        vector=vector,
        carried=share > FREE_SHARE,
        asked=asked,
        use=use,
        use_by_asked=use_by_asked,
        ribcage=ribcage,
    )


def _eased(use: Array) -> tuple[Array, Array, Array]:
    """What part of the way asked the neck makes, how that grows with the share of its range asked, and that share.

    Within reach the neck does what is asked; the last tenth of its range is approached ever more slowly.
    """
    share = np.maximum(use, 1e-12) ** 0.25
    carried = share > FREE_SHARE
    eased = np.tanh((share - FREE_SHARE) / (1.0 - FREE_SHARE))
    scale = np.where(carried, FREE_SHARE + (1.0 - FREE_SHARE) * eased, share) / share
    return scale, np.where(carried, (1.0 - eased**2 - scale) / share, 0.0), share


def facing(ribcage: Array, neck_base: Array, ball: Array, neck: Neck) -> Array:
    """Head_to_world ``(..., 3, 3)`` at address: the face toward the ball, the eyes a little further down."""
    upright = np.broadcast_to(np.eye(3), ribcage.shape)
    centre = neck_base + place(ribcage, upright, neck).from_neck_base
    to_ball = ball - centre
    down = np.arctan2(-to_ball[..., 2], np.hypot(to_ball[..., 0], to_ball[..., 1])) - EYES_DOWN
    aside = np.arctan2(to_ball[..., 1], to_ball[..., 0])
    wanted = rotations.about_z(aside) @ rotations.about_y(down)
    return place(ribcage, wanted, neck).head
