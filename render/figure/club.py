"""A club with shaft, grip and an iron's head, and the ball."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ..shapes.carriers import Rigid
from ..shapes.solids import Part, loft, outline, upright_rings

BALL_RADIUS_M = 0.02135
"""Half of the 42.67 mm (1.680 inch) least diameter in the Rules of Golf's equipment rules (from memory)."""


def _rod(name: str, colour: str, heights: Array, radii: Array, centre_y: Array) -> Part:
    rings = upright_rings(heights, outline(radii, radii, radii, radii), centre_y=centre_y)
    return loft(name, colour, Rigid("club"), rings, cap_m=0.001)


def club_parts(shape: Mapping[str, float], skeleton: Skeleton) -> list[Part]:
    """Shaft, grip and head.

    Args:
        shape: hand sizes, metres.
        skeleton: the address, club soled on the ground behind the ball: it gives the lie of the head.

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
    return [shaft, grip, _head(length, lean, skeleton)]


def _head(length: float, lean: float, skeleton: Skeleton) -> Part:
    """A blade whose sole lies flat on the ground at address, built upright and turned into the club."""
    import trimesh

    club = skeleton.frames["club"]
    across = np.array([0.0, 1.0, 0.0])
    up = club.T @ np.array([0.0, 0.0, 1.0])
    up -= across * up[1]
    up /= np.linalg.norm(up)
    toe = np.cross(across, up)
    sole = -float(np.clip(skeleton.joints["clubhead"][2] - 0.002, 0.0, 0.04))
    # Along the toe, thickness toward the face, height over the sole; metres, drawn by eye.
    corners = np.array(
        [
            [-0.030, -0.010, 0.002], [-0.030, 0.008, 0.002], [-0.020, -0.012, 0.0], [-0.020, 0.010, 0.0],
            [0.040, -0.014, 0.0], [0.040, 0.010, 0.0], [0.054, -0.010, 0.012], [0.054, 0.006, 0.012],
            [0.056, -0.010, 0.040], [0.056, -0.001, 0.040], [0.046, -0.012, 0.056], [0.046, -0.006, 0.056],
            [-0.026, -0.006, 0.034], [-0.026, 0.002, 0.034], [-0.034, -0.005, 0.020], [-0.034, 0.004, 0.020],
        ]
    )  # fmt: skip
    axes = np.stack([toe, across, up])
    hull = trimesh.convex.convex_hull(corners @ axes + sole * up)
    hull = hull.subdivide().subdivide()
    local = np.asarray(hull.vertices) - np.array([0.0, lean, length])
    return Part(
        "clubhead",
        "clubhead",
        local,
        np.zeros(len(local), np.int64),
        np.asarray(hull.faces, np.int64),
        Rigid("club"),
    )
