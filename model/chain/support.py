"""What a golfer stands on: the base of support, and how far inside it the centre of mass is.

The base is the convex hull of both soles as they stand. A sole is the survey's breadths of heel and ball on the foot's
own lengths, straight lines between (assumption: a bare foot; a shoe adds a few millimetres all round, from memory). Of
a foot whose heel is up only the part before the ball carries.

Standing still, the weight of body and club can be held only where the centre of mass is above the base. A moving body
may pass through places where it could not stand; that is dynamics, which this model leaves out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import numpy as np

from ..arrays import Array, ArrayLike, BoolArray
from ..batch import Batch, Parts
from ..golfer.body import Body
from ..golfer.ranges import SIDES
from .skeleton import Skeleton

HEEL_UP = 1e-3
"""m off the ground from which a heel carries nothing."""
FUNCTIONAL_BASE = 0.60
"""Part of the foot's length over which people under 60 can hold their weight when they lean, 0.60 (sd 0.07) of it; from
60 on 0.42 (0.12): King, Judge & Wolfson 1994, J Gerontol 49:M258-63 (R)."""
FUNCTIONAL_MARGIN = 0.5 * (1.0 - FUNCTIONAL_BASE)
"""So this part of the foot's length along the edge is hard to stand on: alike at heel, toe and sides (assumption)."""
_SAME = 1e-12
_GOLFERS_AT_ONCE = 256


@dataclass(frozen=True)
class Base(Batch):
    """Bases of support of a batch of golfers.

    Attributes:
        edges: ``(..., 2, 2, 10, 2, 2)`` m, x and y of both ends of each edge, the base on the left of it, by whether
            the lead heel is up and whether the trail heel is. Places where there is no corner hold another edge once
            more.
    """

    edges: Annotated[Array, Parts(after=5)]

    @classmethod
    def of(cls, skeleton: Skeleton, body: Body) -> Base:
        """The base of flat ``body`` on feet that stand as in ``skeleton``, both heels down."""
        lead, trail = (_down_and_up(_sole(skeleton, body, side)) for side in SIDES)
        each = [np.stack([np.concatenate([one, other], axis=1) for other in trail], axis=1) for one in lead]
        corners = np.stack(each, axis=1)
        parts = [_hull(corners[k : k + _GOLFERS_AT_ONCE]) for k in range(0, len(corners), _GOLFERS_AT_ONCE)]
        return cls(np.concatenate(parts) if parts else np.zeros((0, 2, 2, 10, 2, 2)))

    def margin(self, place: Array, heels: Array) -> Array:
        """How far inside the base ``place (N, 3)`` stands, m to the nearest edge; outside it is negative.

        Args:
            place: m, world.
            heels: ``(2, N)`` m, height of the lead and the trail one.
        """
        edges = self.edges[np.arange(len(place)), *(heels > HEEL_UP).astype(int)]
        start, along = edges[:, :, 0], edges[:, :, 1] - edges[:, :, 0]
        length = np.sqrt((along * along).sum(axis=-1))
        there = place[:, None, :2] - start
        inside = (along[..., 0] * there[..., 1] - along[..., 1] * there[..., 0]) / length
        least = inside.min(axis=1)
        out = least < 0.0
        if out.any():
            share = ((along * there).sum(axis=-1) / (length * length)).clip(0.0, 1.0)
            away = there - share[..., None] * along
            least = np.where(out, -np.sqrt((away * away).sum(axis=-1)).min(axis=1), least)
        return np.asarray(least)


def carries(margin: ArrayLike) -> BoolArray:
    """Whether a centre of mass with this ``margin (...)`` can be stood under."""
    return np.asarray(np.asarray(margin) >= 0.0)


def _sole(skeleton: Skeleton, body: Body, side: str) -> Array:
    """Corners ``(B, 5, 2)`` m of a sole that stands flat: both of the heel, both of the ball, the tip of the toes."""
    heel, foot = skeleton.joints[f"heel_{side}"][:, :2], skeleton.frames[f"foot_{side}"][:, :2]
    half = np.array([body.shape["heel_breadth"], body.shape["foot_breadth"]]) * 0.5
    ball = heel + body.lengths["heel_to_ball"][:, None] * foot[:, :, 0]
    across = half[:, :, None] * foot[:, :, 1]
    tip = skeleton.joints[f"toe_{side}"][:, :2]
    return np.stack([heel - across[0], heel + across[0], ball - across[1], ball + across[1], tip], axis=1)


def _down_and_up(sole: Array) -> tuple[Array, Array]:
    """The corners ``(B, 5, 2)`` m of a sole that carry with the heel down and, before the ball alone, with it up."""
    return sole, sole[:, [2, 3, 2, 3, 4]]


def _hull(corners: Array) -> Array:
    """Edges ``(..., n, 2, 2)`` of the convex hull of ``corners (..., n, 2)``, the hull on the left of each.

    A corner of the hull is followed by the farthest of those from which all others are on the left.
    """
    away = corners[..., None, :, :] - corners[..., :, None, :]
    x, y = away[..., 0], away[..., 1]
    left = x[..., :, :, None] * y[..., :, None, :] - y[..., :, :, None] * x[..., :, None, :]
    span = x * x + y * y
    outer = (left.min(axis=-1) >= -_SAME) & (span > _SAME)
    following = np.where(outer, span, -1.0).argmax(axis=-1)
    on_hull = outer.any(axis=-1)
    # What is no corner of the hull takes the place of one that is.
    first = np.where(on_hull, np.arange(on_hull.shape[-1]), on_hull.argmax(axis=-1)[..., None])
    last = np.take_along_axis(following, first, axis=-1)
    ends = np.stack([first, last], axis=-1)
    return np.take_along_axis(corners[..., None, :, :], ends[..., None], axis=-2)
