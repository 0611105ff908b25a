"""How a club lies to an arm and in two hands: directions only, no lengths.

An arm points from its shoulder to the club. The club lies in a plane through the arm, bent out of the arm's line by the
*hinge*; that plane stands at an angle to the one that opens ahead of the chest (its *roll* about the arm), and the club
may lean a little out of it. So hinge and roll may grow each at its own pace, and a hinge that only grows never falls
back.

Both palms face along the plane's normal. A hand lies in the plane too, at an angle to the shaft (the *grip angle*): the
shaft runs across the fingers and the palm.

Directions are unit vectors ``(..., 3)`` in the girdle's frame: x ahead of the chest, y to the lead side, z up.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..batch import Batch
from ..numeric import rotations
from ..numeric.vectors import cross, norms

_AHEAD = np.array([1.0, 0.0, 0.0])


@dataclass(frozen=True)
class Lie(Batch):
    """How a club lies to an arm, ``(...)`` rad each.

    Attributes:
        hinge: from the arm's line to the club, in their plane.
        roll: of that plane about the arm, from where it opens ahead of the chest; toward the lead side positive.
        lean: of the club out of that plane, toward the lead side positive at address.
    """

    hinge: Array
    roll: Array
    lean: Array


@dataclass(frozen=True)
class Held(Batch):
    """A club held.

    Attributes:
        shaft: down the club, grip to clubhead.
        palms: square to the shaft, where the palms face: toward the lead side at address.
        across: square to both, from the shaft toward the arm.
    """

    shaft: Array
    palms: Array
    across: Array

    def hand(self, grip_angle: Array) -> Array:
        """Direction from a wrist to where its hand holds, at ``grip_angle (...)`` rad to the shaft."""
        angle = np.asarray(grip_angle)[..., None]
        return np.asarray(np.cos(angle) * self.shaft + np.sin(angle) * self.across)


def unit(v: Array) -> Array:
    """Vectors ``(..., 3)`` at length one."""
    return np.asarray(v / np.maximum(norms(v), 1e-12))


def turned(axis: Array, angle: Array, v: Array) -> Array:
    """Vectors ``v (..., 3)`` turned about the unit ``axis (..., 3)`` by ``angle (...)`` rad."""
    return np.asarray((rotations.exp(axis * angle[..., None]) @ v[..., None])[..., 0])


def lie(arm: Array, shaft: Array) -> Lie:
    """How a ``shaft`` lies to an ``arm`` in the plane that opens ahead of the chest."""
    ahead, aside = _plane(arm)
    lean = np.arcsin((shaft * aside).sum(axis=-1).clip(-1.0, 1.0))
    return Lie(np.arctan2((shaft * ahead).sum(axis=-1), (shaft * arm).sum(axis=-1)), np.zeros_like(lean), lean)


def lie_without_lean(arm: Array, shaft: Array) -> Lie:
    """How a ``shaft`` lies to an ``arm`` in the plane of the two."""
    ahead, aside = _plane(arm)
    roll = np.arctan2((shaft * aside).sum(axis=-1), (shaft * ahead).sum(axis=-1))
    return Lie(np.arccos((shaft * arm).sum(axis=-1).clip(-1.0, 1.0)), roll, np.zeros_like(roll))


def held(arm: Array, how: Lie) -> Held:
    """The club that lies to an ``arm`` as ``how`` says."""
    ahead, aside = _plane(arm)
    hinge, roll, lean = (np.asarray(angle)[..., None] for angle in (how.hinge, how.roll, how.lean))
    out, normal = np.cos(roll) * ahead + np.sin(roll) * aside, np.cos(roll) * aside - np.sin(roll) * ahead
    bent = np.cos(hinge) * arm + np.sin(hinge) * out
    shaft = np.cos(lean) * bent + np.sin(lean) * normal
    palms = np.cos(lean) * normal - np.sin(lean) * bent
    return Held(shaft, palms, cross(palms, shaft))


def taken_along(arm: Array, to: Array, v: Array) -> Array:
    """A vector ``v (..., 3)`` that lies to another arm as it lay to an ``arm``."""
    frame, other = ((one, *_plane(one)) for one in (arm, to))
    return np.asarray(sum((v * e).sum(axis=-1, keepdims=True) * new for e, new in zip(frame, other, strict=True)))


def _plane(arm: Array) -> tuple[Array, Array]:
    """Directions square to an ``arm``: ahead of the chest, and to the lead side where it hangs."""
    ahead = unit(_AHEAD - (arm @ _AHEAD)[..., None] * arm)
    return ahead, cross(ahead, arm)
