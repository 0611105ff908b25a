"""Short hair: a shell over the surface's own head, from the forehead over the ears' middle to the nape."""

from __future__ import annotations

import numpy as np

from ..body.body_surface import BodySurface
from ..body.trunk_shape import HEIGHT_OVER_LENGTH
from ..shapes.carriers import Rigid, smoothstep
from ..shapes.solids import Part
from .clipping import capped, clip

FOREHEAD, NAPE = 0.80, 0.30
"""How far up from chin to crown the hairline is in front and behind (by eye)."""
THICK_M, EDGE_M = 0.013, 0.004
"""How far hair stands off the head on the crown and at its edge (our choice)."""


def hair_part(surface: BodySurface, head_length_m: float) -> Part:
    """Hair as a closed part that is rigid with the head.

    Args:
        surface: of the body.
        head_length_m: of the head, front to back.
    """
    rest, mesh = surface.rest, surface.mesh
    crown = float(rest.joints["vertex"][2])
    height = HEIGHT_OVER_LENGTH * head_length_m
    up = (mesh.vertices[:, 2] - crown) / height + 1
    deep = mesh.vertices[(surface.share_of("head") > 0.5) & (up > 0.5), 0]
    back, front = float(deep.min()), float(deep.max())
    line = NAPE + (FOREHEAD - NAPE) * (mesh.vertices[:, 0] - back) / (front - back)
    above = (up - line) * height
    thick = EDGE_M + (THICK_M - EDGE_M) * smoothstep(above / 0.05)
    shell = mesh.vertices + thick[:, None] * mesh.normals()
    inside = np.minimum(above, (surface.share_of("head") - 0.5) * 0.05)
    vertices, faces = capped(*clip(shell, mesh.faces, inside), inset=0.1)
    local = vertices - rest.joints["head"]
    return Part("hair", "hair", local, np.zeros(len(local), np.int64), faces, Rigid("head"))
