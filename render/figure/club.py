"""A club with shaft, grip and the head of an iron or a wood, and the ball."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ..shapes.carriers import Rigid
from ..shapes.solids import IntArray, Part, loft, outline, upright_rings
from .look import ClubHead

BALL_RADIUS_M = 0.02135
"""Half of the 42.67 mm (1.680 inch) least diameter in the Rules of Golf's equipment rules (from memory)."""
FACE_M, ALONG_M, BACK_M, HIGH_M = 0.010, (0.026, 0.054), (-0.042, 0.054, 0.076), (0.025, 0.033)
"""A wood's head: how far its face stands before the shaft; middle and half axis along the toe; middle, half axis away
from the target and, before the face cuts it, toward it; middle and half axis upward, before the sole cuts it. Within
what the equipment rules allow, 127 by 71 mm and 460 ml (from memory); drawn by eye."""


def _rod(name: str, colour: str, heights: Array, radii: Array, centre_y: Array) -> Part:
    rings = upright_rings(heights, outline(radii, radii, radii, radii), centre_y=centre_y)
    return loft(name, colour, Rigid("club"), rings, cap_m=0.001)


def club_parts(shape: Mapping[str, float], skeleton: Skeleton, head: ClubHead = "iron") -> list[Part]:
    """Shaft, grip and head.

    Args:
        shape: hand sizes, metres.
        skeleton: the address, club soled on the ground behind the ball: it gives the lie of the head.
        head: of which kind.

    """
    joints, club = skeleton.joints, skeleton.frames["club"]
    length = float(np.linalg.norm(joints["grip"] - joints["clubhead"]))
    # The face must stand behind the ball: where the joints leave no room, the club leans back a little.
    room = float((joints["ball"] - joints["clubhead"]) @ club[:, 1])
    lean = float(np.clip(BALL_RADIUS_M + 0.012 - room, 0.0, 0.04))
    butt = 0.5 * shape["hand_breadth"] + 0.025
    down = np.array([-length, -length + 0.05, butt - 0.05])
    shaft = _rod("shaft", "shaft", down, np.array([0.006, 0.006, 0.0075]), lean * np.minimum(down / length, 0.0))
    up = np.array([butt - 0.275, butt - 0.27, butt - 0.012, butt - 0.002, butt])
    thick = np.array([0.0085, 0.0105, 0.0140, 0.0140, 0.0110])
    grip = _rod("grip", "grip", up, thick, lean * np.minimum(up / length, 0.0))
    return [shaft, grip, _head(head, length, lean, skeleton)]


def _head(kind: ClubHead, length: float, lean: float, skeleton: Skeleton) -> Part:
    """A head whose sole lies flat on the ground at address, built upright and turned into the club."""
    club = skeleton.frames["club"]
    across = np.array([0.0, 1.0, 0.0])
    up = club.T @ np.array([0.0, 0.0, 1.0])
    up -= across * up[1]
    up /= np.linalg.norm(up)
    toe = np.cross(across, up)
    sole = -float(np.clip(skeleton.joints["clubhead"][2] - 0.002, 0.0, 0.04))
    axes = np.stack([toe, across, up])
    places, faces = _blade(axes, sole * up) if kind == "iron" else _round_body(axes, sole * up)
    local = places - np.array([0.0, lean, length])
    return Part("clubhead", "clubhead", local, np.zeros(len(local), np.int64), faces, Rigid("club"))


def _blade(axes: Array, sole: Array) -> tuple[Array, IntArray]:
    """An iron's: vertices ``(V, 3)`` metres along rows of ``axes (3, 3)`` from ``sole (3,)``, and faces ``(F, 3)``."""
    import trimesh

    # Along the toe, thickness toward the face, height over the sole; metres, drawn by eye.
    corners = np.array(
        [
            [-0.030, -0.010, 0.002], [-0.030, 0.008, 0.002], [-0.020, -0.012, 0.0], [-0.020, 0.010, 0.0],
            [0.040, -0.014, 0.0], [0.040, 0.010, 0.0], [0.054, -0.010, 0.012], [0.054, 0.006, 0.012],
            [0.056, -0.010, 0.040], [0.056, -0.001, 0.040], [0.046, -0.012, 0.056], [0.046, -0.006, 0.056],
            [-0.026, -0.006, 0.034], [-0.026, 0.002, 0.034], [-0.034, -0.005, 0.020], [-0.034, 0.004, 0.020],
        ]
    )  # fmt: skip
    hull = trimesh.convex.convex_hull(corners @ axes + sole)
    hull = hull.subdivide().subdivide()
    return np.asarray(hull.vertices), np.asarray(hull.faces, np.int64)


def _round_body(axes: Array, sole: Array) -> tuple[Array, IntArray]:
    """A wood's, as ``_blade``: an egg cut flat by the face and by the sole."""
    import trimesh

    ball = trimesh.creation.icosphere(subdivisions=3)
    along, back, high = np.asarray(ball.vertices).T
    along = ALONG_M[0] + ALONG_M[1] * along
    back = np.minimum(BACK_M[0] + np.where(back < 0, BACK_M[1], BACK_M[2]) * back, FACE_M)
    high = np.maximum(HIGH_M[0] + HIGH_M[1] * high, 0.0)
    return np.stack([along, back, high], axis=1) @ axes + sole, np.asarray(ball.faces, np.int64)
