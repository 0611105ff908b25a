"""Golf shoes: a rounded upper on a flat sole, planted with the foot and bent at its ball where the heel is up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ..shapes.carriers import between, smoothstep
from ..shapes.solids import SIDES, SOLE_M, Part, loft, smooth_table, upright_rings

BEND_M = 0.045
"""So far behind the ball a shoe is bent wholly (our choice, by looking)."""
BENT = np.linspace(0.0, 1.0, 5)
"""How far each frame of a shoe goes with the foot; the first stays flat on the ground with the toes."""


@dataclass(frozen=True)
class Shod:
    """The frames of one shoe, from the toes, which stay flat on the ground, to the foot; all sit on the foot's ball.

    Attributes:
        side: lead or trail.
        heel_to_ball_m: of the bare foot, metres.
    """

    side: str
    heel_to_ball_m: float

    def places(self, skeleton: Skeleton) -> tuple[Array, Array]:
        """Origins ``(..., n, 3)`` metres and rotations ``(..., n, 3, 3)``, as many as `BENT`."""
        foot = np.asarray(skeleton.frames[f"foot_{self.side}"])
        toe, heel = (np.asarray(skeleton.joints[f"{end}_{self.side}"]) for end in ("toe", "heel"))
        ball = heel + self.heel_to_ball_m * foot[..., 0]
        ahead = (toe - ball) / np.linalg.norm(toe - ball, axis=-1, keepdims=True)
        toes = np.stack([ahead, foot[..., 1], np.cross(ahead, foot[..., 1])], axis=-1)
        turned = between(toes, foot, BENT)
        return np.broadcast_to(ball[..., None, :], turned.shape[:-1]), turned


def shoe_parts(shape: Mapping[str, float], heel_to_ball_m: float, skeleton: Skeleton) -> list[Part]:
    """Upper and sole of both shoes.

    Args:
        shape: breadths, depths and circumferences of the body, metres.
        heel_to_ball_m: along the foot, metres.
        skeleton: one moment with the feet flat on the ground, for ankle height and the ends of the foot.

    """
    shod = (Shod("lead", heel_to_ball_m), 1.0), (Shod("trail", heel_to_ball_m), -1.0)
    return [part for carrier, out in shod for part in _shoe(carrier, out, shape, skeleton)]


def _plan(length: float, ball: float, heel: float, outward: float) -> Array:
    """``(SIDES, 2)`` outline of a shoe seen from above, x from the heel's back, big toe on the inner side."""
    s = 0.5 - 0.5 * np.cos(np.arange(SIDES // 2) * np.pi / (SIDES // 2 - 1))
    table = np.array(
        [
            # way to the toe, inner half breadth, outer half breadth
            [0.00, 0.12 * heel, 0.12 * heel],
            [0.03, 0.33 * heel, 0.33 * heel],
            [0.16, 0.52 * heel, 0.52 * heel],
            [0.42, 0.36 * ball, 0.48 * ball],
            [0.68, 0.53 * ball, 0.54 * ball],
            [0.86, 0.48 * ball, 0.36 * ball],
            [0.96, 0.34 * ball, 0.14 * ball],
            [1.00, 0.22 * ball, -0.02 * ball],
        ]
    )
    reach = smooth_table(table[:, 0], table[:, 1:], s)
    inner = np.stack([s * length, -outward * reach[:, 0]], -1)
    outer = np.stack([s * length, outward * reach[:, 1]], -1)
    right, left = (inner, outer) if outward > 0 else (outer, inner)
    return np.concatenate([right, left[::-1]])


def _shoe(carrier: Shod, outward: float, shape: Mapping[str, float], skeleton: Skeleton) -> list[Part]:
    side = carrier.side
    foot = skeleton.frames[f"foot_{side}"]
    ankle = skeleton.joints[f"ankle_{side}"]
    heel_x = float((foot.T @ (skeleton.joints[f"heel_{side}"] - ankle))[0]) - 0.006
    length = shape["foot_length"] + 0.018
    ground = -float(ankle[2])
    plan = _plan(length, shape["foot_breadth"] + 0.006, shape["heel_breadth"] + 0.008, outward)
    middle = np.array([0.5 * length, 0.0])

    def grown(by: float) -> Array:
        away = plan - middle
        wider: Array = plan + by * away / np.linalg.norm(away, axis=1, keepdims=True)
        return wider

    z_sole = ground + SOLE_M * np.array([0.02, 0.15, 0.9, 1.0])
    flat = np.stack([grown(g) for g in (0.0, 0.004, 0.004, 0.001)])
    sole = loft(f"sole_{side}", "sole", carrier, upright_rings(z_sole, flat, heel_x))

    # The upper closes over the instep: each higher ring draws in from the toe and keeps the heel.
    rise = np.linspace(0.0, 1.0, 9)
    opening = np.array([0.24 * length, 0.0])
    top = -0.15 * ground
    rings = []
    for share in rise:
        forward = np.clip((plan[:, 0] - 0.30 * length) / (0.70 * length), 0.0, 1.0)
        draw = (1 - (1 - share**2.0) ** 0.5) * (0.25 + 0.75 * forward)
        narrow = 1.0 - 0.28 * share**2
        ring = opening + (plan - opening) * np.stack([1.0 - 0.92 * draw, narrow - 0.35 * draw], -1)
        height = ground + SOLE_M * 0.8 + share * (top - ground - SOLE_M * 0.8)
        # Low over the toes, high at the heel: the ring slopes with the instep.
        slope = (1.0 - 0.52 * np.clip(ring[:, 0] / length - 0.28, 0.0, 1.0) / 0.72 * 1.0) if share else 1.0
        z = ground + SOLE_M * 0.8 + (height - ground - SOLE_M * 0.8) * slope
        rings.append(np.stack([ring[:, 0] + heel_x, ring[:, 1], np.broadcast_to(z, SIDES)], -1))
    upper = loft(f"shoe_{side}", "shoes", carrier, np.stack(rings), cap_m=0.0)
    # Made from the ankle, carried from the ball.
    shift = foot.T @ (ankle - carrier.places(skeleton)[0][0])
    return [_bent(part, part.local + shift) for part in (upper, sole)]


def _bent(part: Part, local: Array) -> Part:
    """A part of a shoe at ``local (V, 3)`` m from the foot's ball: what lies behind it is bent with the foot."""
    share = smoothstep(-local[:, 0] / BEND_M)
    return replace(part, local=local, frame=np.rint(share * (len(BENT) - 1)).astype(np.int64))
