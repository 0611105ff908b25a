"""What each place of the body's surface wears: layers painted one over the other, each ending along a smooth line."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ...model.arrays import Array
from ..body.body_surface import BodySurface
from ..body.bones import SIDES
from ..figure.clothing import BELT_HEIGHT_M, GLOVED, SOCK_OVER_ANKLE_M, UNDER_M, Worn
from ..figure.look import Look
from ..shapes.carriers import smoothstep
from .gltf import linear

SOFT_M = 0.014
"""Width of a layer's edge: a little more than the mesh's edges, so that triangles do not show in it."""
SHOE_ABOVE_ANKLE_M, CUFF_M = 0.035, 0.012
"""A shoe's edge above the ankle's centre, and how far a glove reaches over the wrist (our choice)."""


def surface_light(surface: BodySurface, look: Look) -> Array:
    """``(V, 3)`` linear red, green and blue of each vertex, 0 to 1."""
    light = np.broadcast_to(linear(look.shirt), surface.mesh.vertices.shape).copy()
    for colour, inside in _layers(surface, look):
        share = smoothstep(0.5 + inside / SOFT_M)[:, None]
        light += share * (linear(getattr(look, colour)) - light)
    return light


def _layers(surface: BodySurface, look: Look) -> Iterator[tuple[str, Array]]:
    """Fields of ``Look`` and ``(V,)`` metres, about, how far inside their layer each vertex lies."""
    vertices, joints, worn = surface.mesh.vertices, surface.rest.joints, Worn(surface, look)
    above = worn.above_belt(vertices)
    yield look.legwear, -above
    yield "belt", 0.5 * BELT_HEIGHT_M - np.abs(above - 0.5 * BELT_HEIGHT_M)
    yield "skin", np.maximum(worn.over_collar(vertices), worn.skull)
    for side, out in zip(SIDES, (1.0, -1.0), strict=True):
        ankle, knee = joints[f"ankle_{side}"], joints[f"knee_{side}"]
        down = (ankle - knee) / np.linalg.norm(ankle - knee)
        if look.legwear != "trousers":
            # Frames and weights alone may let what is under a skirt come through: it is painted alike.
            under = UNDER_M if look.legwear == "skirt" else 0.0
            yield "skin", np.minimum(worn.past_hem(vertices, side) + under, out * vertices[:, 1])
            yield "shoes", np.minimum((vertices - ankle) @ down + SOCK_OVER_ANKLE_M, out * vertices[:, 1])
        yield "shoes", np.minimum((vertices - ankle) @ down + SHOE_ABOVE_ANKLE_M, out * vertices[:, 1])
        yield "skin", np.minimum(worn.past_sleeve(vertices, side), worn.on_arm[side])
        if side == GLOVED:
            yield "glove", np.minimum(CUFF_M - worn.before_wrist(vertices, side), worn.on_arm[side])
