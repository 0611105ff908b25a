"""What each place of the body's surface wears: layers painted one over the other, each ending along a smooth line."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..model.arrays import Array
from .body_surface import BodySurface
from .bones import ARM, SIDES
from .carriers import smoothstep
from .clothing import BELT_HEIGHT_M, BELT_SHARE, COLLAR_SLANT, GLOVED, SLEEVE_SHARE
from .gltf import linear
from .look import Look

SOFT_M = 0.014
"""Width of a layer's edge: a little more than the mesh's edges, so that triangles do not show in it."""
SHOE_ABOVE_ANKLE_M = 0.035
"""A shoe's edge above the ankle's centre (our choice)."""


def surface_light(surface: BodySurface, look: Look) -> Array:
    """``(V, 3)`` linear red, green and blue of each vertex, 0 to 1."""
    light = np.broadcast_to(linear(look.shirt), surface.mesh.vertices.shape).copy()
    for colour, inside in _layers(surface):
        share = smoothstep(0.5 + inside / SOFT_M)[:, None]
        light += share * (linear(getattr(look, colour)) - light)
    return light


def _layers(surface: BodySurface) -> Iterator[tuple[str, Array]]:
    """Fields of ``Look`` and ``(V,)`` metres, about, how far inside their layer each vertex lies."""
    vertices, joints = surface.mesh.vertices, surface.rest.joints
    x, y, z = vertices.T
    belt = BELT_SHARE * float(joints["lumbosacral"][2])
    yield "trousers", belt - z
    yield "belt", 0.5 * BELT_HEIGHT_M - np.abs(z - belt - 0.5 * BELT_HEIGHT_M)

    skull = (surface.share_of("head") - 0.5) * 0.05
    base = joints["neck_base"]
    over_collar = (vertices - base) @ np.array([np.sin(COLLAR_SLANT), 0.0, np.cos(COLLAR_SLANT)])
    near_neck = 0.10 - np.hypot(x - base[0], y)
    yield "skin", np.maximum(np.minimum(over_collar, near_neck), skull)

    for side, out in zip(SIDES, (1.0, -1.0), strict=True):
        ankle, knee = joints[f"ankle_{side}"], joints[f"knee_{side}"]
        down = (ankle - knee) / np.linalg.norm(ankle - knee)
        yield "shoes", np.minimum((vertices - ankle) @ down + SHOE_ABOVE_ANKLE_M, out * y)
        on_arm = (surface.share_of(*(name for names in ARM[side] for name in names)) - 0.5) * 0.05
        shoulder, elbow, wrist = (joints[f"{joint}_{side}"] for joint in ("shoulder", "elbow", "wrist"))
        length = float(np.linalg.norm(elbow - shoulder))
        along = (vertices - shoulder) @ (elbow - shoulder) / length
        yield "skin", np.minimum(along - SLEEVE_SHARE * length, on_arm)
        if side == GLOVED:
            reach = float(np.linalg.norm(wrist - shoulder))
            yield "glove", np.minimum(along - reach + 0.012, on_arm)
