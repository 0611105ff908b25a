"""The lines of the body that each view marks, and the angles that are written beside them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from ...model.arrays import Array, ArrayLike
from ...model.chain.skeleton import Skeleton

FACE_ON, DOWN_THE_LINE, ABOVE = "face-on", "down the line", "from above"
HIPS_REACH, SHOULDERS_REACH = 2.4, 1.4
"""How much longer than between their joints these lines are drawn, so that they are seen past the body (by looking)."""
_TARGET, _BALL = np.array([0.0, 1.0, 0.0]), np.array([1.0, 0.0, 0.0])


class Angle(NamedTuple):
    """An angle of a line in whole degrees, as it is written."""

    address_deg: float
    top_deg: float

    def at(self, moment: str) -> float:
        """At ``address`` or at the ``top``."""
        return self.address_deg if moment == "address" else self.top_deg


@dataclass(frozen=True)
class Line:
    """A line that a view marks.

    Attributes:
        word: what its angle is called.
        joints: its two ends; a dot stands at the first.
        told: the moments whose angle a picture writes beside it, ``top`` or ``address``, and how far along the line the
            words point: apart from each other and off where lines cross.

    """

    word: str
    joints: tuple[str, str]
    told: Mapping[str, float]

    def ends(self, posture: Skeleton, angle_deg: ArrayLike, left_handed: bool) -> Array:
        """``(..., 2, 3)`` metres, world: where it is drawn in postures ``(...)``; here, from joint to joint."""
        del angle_deg, left_handed
        return np.stack([posture.joints[name] for name in self.joints], axis=-2)


@dataclass(frozen=True)
class LevelLine(Line):
    """A line as seen from above: drawn level through the middle of its joints, at the angle that is written beside it.

    So neither perspective nor what a joint does on its own comes between line and number.

    Attributes:
        zero: ``(3,)`` unit, world: where the first joint is from the second at an angle of nought.
        toward: ``(3,)`` unit, world: where the first joint turns to as the angle grows. Both for a right-handed golfer.
        reach: how long it is drawn, in distances between its joints.

    """

    zero: Array
    toward: Array
    reach: float = 1.0

    def ends(self, posture: Skeleton, angle_deg: ArrayLike, left_handed: bool) -> Array:
        """``(..., 2, 3)`` metres, world: where it is drawn in postures ``(...)`` at its angles ``(...)``."""
        first, second = (posture.joints[name] for name in self.joints)
        angle = np.radians(angle_deg)[..., None]
        way = np.cos(angle) * self.zero + np.sin(angle) * self.toward
        if left_handed:
            way = way * [1.0, -1.0, 1.0]
        half = 0.5 * self.reach * np.linalg.norm((first - second)[..., :2], axis=-1, keepdims=True) * way
        middle = 0.5 * (first + second)
        return np.stack([middle + half, middle - half], axis=-2)


def _trunk(word: str) -> tuple[Line, ...]:
    return (Line(word, ("pelvis", "neck_base"), {"top": 0.62, "address": 0.38}),)


HIP_TURN, SHOULDER_TURN, LEAD_FLARE, TRAIL_FLARE = "hip turn", "shoulder turn", "lead flare", "trail flare"
LINES: Mapping[str, tuple[Line, ...]] = {
    FACE_ON: _trunk("lean"),
    DOWN_THE_LINE: _trunk("inclination"),
    ABOVE: (
        LevelLine(HIP_TURN, ("hip_lead", "hip_trail"), {"top": 0.95}, _TARGET, _BALL, HIPS_REACH),
        LevelLine(SHOULDER_TURN, ("shoulder_lead", "shoulder_trail"), {"top": 0.08}, _TARGET, _BALL, SHOULDERS_REACH),
        LevelLine(LEAD_FLARE, ("toe_lead", "heel_lead"), {"address": 0.2}, _BALL, _TARGET),
        LevelLine(TRAIL_FLARE, ("toe_trail", "heel_trail"), {"address": 0.2}, _BALL, -_TARGET),
    ),
}
"""By view."""
