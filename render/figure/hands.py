"""Two hands closed round the grip as one: lead hand above, gloved; trail hand below, its little finger laid over.

Each hand is one closed surface told by signed distance. Fingers, thumb and palm stay on the club; what lies toward the
wrist turns with it about the place where the hand holds. Everything is drawn by eye, in breadths of the hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ..body.body_mesh import Mesh, body_mesh
from ..body.body_shape import Member
from ..body.bones import swung
from ..shapes.carriers import smoothstep
from ..shapes.signed_distance import Cone
from ..shapes.solids import Part

GRIP_RADIUS_M = 0.0125
"""Of the grip, where hands hold it (from memory)."""
SPACING_M = 0.005
"""Of the grid that a hand is contoured on: a finger is four wide."""
CLOSED = ((68.0, 0.26), (130.0, 0.21), (200.0, 0.13), (268.0, 0.12))
"""A finger closed round the grip, from its knuckle to its tip: degrees from the top of the grip over the back of the
hand, and how far off the grip."""
OVERLAID = ((68.0, 0.28), (138.0, 0.31), (184.0, 0.30), (214.0, 0.28))
"""The same of one that lies over the other hand's."""
FINGERS = {
    "lead": ((0.36, CLOSED), (0.15, CLOSED), (-0.07, CLOSED), (-0.29, CLOSED)),
    "trail": ((0.54, OVERLAID), (0.23, CLOSED), (0.01, CLOSED), (-0.25, CLOSED)),
}
"""From the little finger to the index: how far up the grip from where the hand holds, and the way it closes."""
FINGER, THUMB = 0.102, (0.15, 0.125, 0.112, 0.092)
"""Radius of a finger, and of the thumb from its ball to its tip."""
ALONG_THUMB = ((-14.0, 0.18, 0.0), (-18.0, 0.10, -0.34), (-14.0, 0.08, -0.62))
"""From its second joint to its tip, which lies down the shaft: degrees, how far off the grip and how far up it."""
TURNS_FROM, TURNS_WHOLE = 0.15, 1.05
"""Where a hand begins to turn with its wrist and where it does wholly, on the way there."""
SHAPED_AT = {"lead": np.radians(78.0), "trail": np.radians(72.0)}
"""To the shaft, the angle each hand is shaped at: about the middle of what it goes through in a backswing."""
STEPS = 2
"""Decimals of the share: a hundredth of what a hand turns is less than half a degree."""
CUFF = {"lead": 1.12, "trail": 0.88}
"""Of the wrist's radius: a glove goes over it, a bare hand runs into it."""


@dataclass(frozen=True)
class Hinged:
    """Frames on the club that turn, each by its share, as a wrist does about the place where its hand holds.

    Attributes:
        side: lead or trail.
        held: ``(3,)`` metres, club frame from the grip: where the hand holds.
        toward: ``(3,)`` unit, club frame: where the wrist lay from there when the hand was shaped.
        share: ``(n,)`` 0 turns with the club, 1 with the wrist.

    """

    side: str
    held: Array
    toward: Array
    share: Array

    def places(self, skeleton: Skeleton) -> tuple[Array, Array]:
        """Origins ``(..., n, 3)`` metres and rotations ``(..., n, 3, 3)``."""
        club = np.asarray(skeleton.frames["club"])
        turned = club[..., None, :, :] @ swung(self.toward, self.now(skeleton)[..., None, :], self.share)
        return np.broadcast_to(self._origin(skeleton)[..., None, :], turned.shape[:-1]), turned

    def now(self, skeleton: Skeleton) -> Array:
        """``(..., 3)`` unit, club frame: where the wrist lies from where the hand holds."""
        club = np.asarray(skeleton.frames["club"])
        run = np.asarray(skeleton.joints[f"wrist_{self.side}"]) - self._origin(skeleton)
        along = (run[..., None, :] @ club)[..., 0, :]
        unit: Array = along / np.linalg.norm(along, axis=-1, keepdims=True)
        return unit

    def _origin(self, skeleton: Skeleton) -> Array:
        place: Array = np.asarray(skeleton.joints["grip"]) + np.asarray(skeleton.frames["club"]) @ self.held
        return place


def hand_parts(
    shape: Mapping[str, float], skeleton: Skeleton, made: dict[tuple[str, float], Mesh] | None = None
) -> list[Part]:
    """Both hands.

    Args:
        shape: hand sizes, metres.
        skeleton: the address, which tells where along the club each hand holds and how far it is from its wrist.
        made: surfaces made of these sizes before, to which new ones are added: they depend on nothing else but how far
            the hand is from its wrist.

    """
    made = {} if made is None else made
    kinds = (("lead", 1.0, "glove"), ("trail", -1.0, "skin"))
    return [_hand(side, outward, colour, shape, skeleton, made) for side, outward, colour in kinds]


def _hand(
    side: str,
    outward: float,
    colour: str,
    shape: Mapping[str, float],
    skeleton: Skeleton,
    made: dict[tuple[str, float], Mesh],
) -> Part:
    club = skeleton.frames["club"]
    wrist = club.T @ (skeleton.joints[f"wrist_{side}"] - skeleton.joints["grip"])
    back = club.T @ skeleton.frames[f"hand_{side}"][:, 2]
    # The hand's own line meets the club where it holds.
    held = np.array([0.0, 0.0, wrist[2] - back[2] * wrist[0] / back[0]])
    far, angle = float(np.linalg.norm(wrist - held)), SHAPED_AT[side]
    toward = np.array([np.sin(angle), 0.0, np.cos(angle)])
    # To a millionth of a millimetre: of one body the distance differs only by rounding.
    key = side, round(far, 9)
    if key not in made:
        made[key] = body_mesh(_members(side, outward, shape, far * toward), SPACING_M)
    mesh = made[key]
    along = mesh.vertices @ toward / far
    share = smoothstep((along - TURNS_FROM) / (TURNS_WHOLE - TURNS_FROM))
    share, frame = np.unique(np.round(share, STEPS), return_inverse=True)
    return Part(f"hand_{side}", colour, mesh.vertices, frame, mesh.faces, Hinged(side, held, toward, share))


def _members(side: str, outward: float, shape: Mapping[str, float], wrist: Array) -> list[Member]:
    """What a hand consists of, in the club's frame from where it holds, its ``wrist (3,)`` m there."""
    broad, thick = shape["hand_breadth"], shape["wrist_circumference"] / (2 * np.pi)
    mirror = np.array([1.0, outward, 1.0])

    def at(degrees: float, off: float, up: float) -> Array:
        """A place round the grip; degrees from its top over the back of the hand."""
        angle, radius = np.radians(degrees), GRIP_RADIUS_M + off * broad
        place: Array = np.array([radius * np.cos(angle), radius * np.sin(angle), up * broad])
        return place

    found: list[Member] = []

    def bone(name: str, start: Array, end: Array, radii: tuple[float, float], reach: float) -> None:
        found.append(Member(name, Cone(start * mirror, end * mirror, *radii), reach * broad))

    # Across the wrist toward the index finger, and out of the palm through the back of the hand.
    across = np.cross([0.0, 1.0, 0.0], wrist / np.linalg.norm(wrist))
    across = -across if across[2] > 0 else across
    out = np.array([0.0, broad, 0.0])
    bone("wrist", wrist, 0.6 * wrist + 0.10 * out, (CUFF[side] * thick, 0.22 * broad), 0.1)
    bone("palm", at(40, 0.12, 0.28), at(40, 0.12, -0.25), (0.15 * broad, 0.15 * broad), 0.12)
    bone("heel", 0.8 * wrist - 0.10 * broad * across, at(20, 0.16, 0.30), (0.20 * broad, 0.15 * broad), 0.14)
    for (up, way), spread in zip(FINGERS[side], (-0.24, -0.08, 0.08, 0.24), strict=True):
        base = 0.8 * wrist + spread * broad * across + 0.08 * out
        bone("back", base, at(*way[0], min(up, 0.36) + 0.05), (0.15 * broad, 0.125 * broad), 0.12)
    joints = [0.72 * wrist + 0.18 * broad * across - 0.05 * out, *(at(*place) for place in ALONG_THUMB)]
    for k in range(3):
        bone("thumb", joints[k], joints[k + 1], (THUMB[k] * broad, THUMB[k + 1] * broad), (0.14, 0.08, 0.02)[k])
    bone("web", at(*ALONG_THUMB[0]), at(*CLOSED[0], FINGERS[side][-1][0]), (0.11 * broad, 0.11 * broad), 0.12)
    for up, way in FINGERS[side]:
        # Fingers slant down the shaft from the knuckles, and the tips come back a little.
        heights = (min(up, 0.36) + 0.05, up, up - 0.015, up)
        places = [at(*place, height) for place, height in zip(way, heights, strict=True)]
        for k in range(3):
            sizes = FINGER * broad * np.array([1.10, 1.02, 0.96, 0.86])
            bone("finger", places[k], places[k + 1], (sizes[k], sizes[k + 1]), 0.045)
    return found
