"""Two hands closed round the grip, the lead one gloved, joined to the wrists."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ...model.golfer.body import HAND_BREADTHS_APART
from ..shapes.carriers import Rigid
from ..shapes.solids import Part, ellipsoid, loft, outline, upright_rings


@dataclass(frozen=True)
class WristToGrip:
    """Rings strung from a point on the club up to a wrist.

    Attributes:
        side: lead or trail.
        held: ``(3,)`` metres, club frame from the grip: the middle of the closed hand.
        share: ``(n,)`` 0 at the closed hand, 1 at the wrist.

    """

    side: str
    held: Array
    share: Array

    def places(self, skeleton: Skeleton) -> tuple[Array, Array]:
        """Origins ``(..., n, 3)`` metres and rotations ``(..., n, 3, 3)``."""
        low = np.asarray(skeleton.joints["grip"]) + np.asarray(skeleton.frames["club"]) @ self.held
        high = np.asarray(skeleton.joints[f"wrist_{self.side}"])
        run = (high - low)[..., None, :]
        z = run / np.linalg.norm(run, axis=-1, keepdims=True)
        # Broad across the shaft's own direction: the palm's breadth lies along the club.
        y = np.cross(z, np.cross(np.asarray(skeleton.frames["club"])[..., None, :, 2], z))
        y /= np.linalg.norm(y, axis=-1, keepdims=True)
        frame = np.stack([np.cross(y, z), y, z], axis=-1)
        origin = low[..., None, :] + self.share[:, None] * run
        return origin, np.broadcast_to(frame, (*origin.shape[:-1], 3, 3))


def hand_heights(shape: Mapping[str, float]) -> dict[str, float]:
    """Where along the club each hand closes, metres from the grip joint, up the shaft positive.

    The grip joint is where the lead hand holds; the trail hand closes three quarters of a hand's breadth below it.

    Args:
        shape: hand sizes, metres.

    """
    return {"lead": 0.0, "trail": -HAND_BREADTHS_APART * shape["hand_breadth"]}


def hand_parts(shape: Mapping[str, float]) -> list[Part]:
    """Palms, closed fingers and thumbs of both hands.

    Args:
        shape: hand sizes, metres.
        skeleton: the address.

    """
    heights = hand_heights(shape)
    return [
        *_hand("lead", 1.0, "glove", shape, heights["lead"]),
        *_hand("trail", -1.0, "skin", shape, heights["trail"]),
    ]


def _hand(side: str, outward: float, colour: str, shape: Mapping[str, float], height: float) -> list[Part]:
    broad, club = shape["hand_breadth"], Rigid("club")
    wrist = shape["wrist_circumference"] / (2 * np.pi)
    held = np.array([-0.004, outward * 0.012, height])
    way = np.sin(np.linspace(-0.5, 0.5, 9) * np.pi)
    radius = np.sqrt(np.clip(1 - np.abs(way) ** 3.0, 0.03, None))
    body = outline(0.029 * radius, 0.031 * radius, 0.029 * radius, 0.029 * radius, 2.3)
    rings = upright_rings(height + 0.5 * broad * way, body, centre_x=held[0], centre_y=held[1])
    parts = [loft(f"fist_{side}", colour, club, rings, cap_m=0.001)]
    for k in range(4):
        z = height + broad * (0.34 - 0.225 * k)
        # Fingers close round the far side of the shaft from the back of the hand, knuckles below.
        parts.append(ellipsoid(f"finger_{side}_{k}", colour, club, [-0.016, -outward * 0.014, z],
                               [0.022, 0.019, 0.0115]))  # fmt: skip
    thumb = [0.021, -outward * 0.004, height - 0.22 * broad]
    parts.append(ellipsoid(f"thumb_{side}", colour, club, thumb, [0.012, 0.0115, 0.034]))
    share = np.array([0.0, 0.2, 0.45, 0.7, 0.9, 1.0, 1.06])
    thick = np.array([0.020, 0.022, 0.021, 0.9 * wrist, 0.92 * wrist, 0.95 * wrist, 0.90 * wrist])
    across = np.array([0.36, 0.42, 0.44, 0.42, 0.37, 0.36, 0.34]) * broad
    across[-3:] = np.minimum(across[-3:], 1.12 * wrist)
    if colour == "skin":
        # No glove ends here: the palm runs into the forearm instead of standing off it as a cuff.
        across[-3:] *= [0.97, 0.86, 0.70]
        thick[-3:] *= [0.98, 0.86, 0.70]
    palm = upright_rings(np.zeros(7), outline(thick, thick, across, across))
    parts.append(loft(f"palm_{side}", colour, WristToGrip(side, held, share), palm, np.arange(7)))
    return parts
