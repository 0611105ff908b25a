"""A cap: a crown over hair and head, and a peak that goes out over the forehead."""

from __future__ import annotations

import numpy as np

from ...model.arrays import Array
from ..body.body_surface import BodySurface
from ..shapes.carriers import Rigid, smoothstep
from ..shapes.solids import IntArray, Part
from .hair import Skull

FRONT, BACK = 0.74, 0.50
"""How far up from chin to crown its edge is before and behind (by eye)."""
THICK_M, EDGE_M = 0.020, 0.016
"""How far it stands off the head on the crown and at its edge, hair and all (our choice)."""
PEAK_M, PEAK_DROP_M, PEAK_CURVE_M, PEAK_THICK_M = 0.072, 0.016, 0.010, 0.003
"""How far the peak goes out, how far it falls on the way, how far its sides hang below its middle, and its thickness
(our choice)."""
PEAK_HALF = np.radians(72.0)
"""How far round the head from the front the peak reaches to either side (our choice)."""
AROUND, OUTWARD = 33, 8


def cap_parts(surface: BodySurface, head_length_m: float) -> list[Part]:
    """Crown and peak as closed parts that are rigid with the head.

    Args:
        surface: of the body.
        head_length_m: of the head, front to back.
    """
    skull = Skull.of(surface, head_length_m)
    above = skull.above(FRONT, BACK)
    thick = EDGE_M + (THICK_M - EDGE_M) * smoothstep(above / 0.03)
    return [skull.shell("cap", "cap", above, thick), _peak(skull, above)]


def _peak(skull: Skull, above: Array) -> Part:
    """A bent plate whose inner edge lies within the crown."""
    mesh, rest = skull.surface.mesh, skull.surface.rest
    centre = rest.joints["head"]
    band = (np.abs(above - 0.008) < 0.012) & (skull.surface.share_of("head") > 0.5)
    rim = mesh.vertices[band] - centre
    middle = 0.5 * (rim[:, 0].min() + rim[:, 0].max())
    around = np.linspace(-PEAK_HALF, PEAK_HALF, AROUND)
    seen = np.arctan2(rim[:, 1], rim[:, 0] - middle)
    order = np.argsort(seen)
    smooth = _smooth(around, seen[order], np.column_stack([np.hypot(rim[:, 0] - middle, rim[:, 1]), rim[:, 2]])[order])
    radius, level = smooth[:, 0] + 0.002, smooth[:, 1]
    share = np.linspace(0.0, 1.0, OUTWARD)[:, None]
    # Straight ahead it goes out all the way, at its ends not at all.
    long = PEAK_M * np.cos(0.5 * np.pi * around / PEAK_HALF) ** 0.75
    x = middle + radius * np.cos(around) + share * long
    y = radius * np.sin(around) * np.ones_like(share)
    drop = PEAK_DROP_M * long / PEAK_M * share**1.3 + PEAK_CURVE_M * (y / 0.07) ** 2 * share
    upper = np.stack([x, y, level - drop], axis=-1)
    local, faces = _plate(upper, PEAK_THICK_M)
    return Part("cap_peak", "cap", local, np.zeros(len(local), np.int64), faces, Rigid("head"))


def _smooth(at: Array, known: Array, values: Array) -> Array:
    """``(N, K)`` a parabola in ``at`` fitted to scattered values: even where the surface's vertices are few."""
    here = np.abs(known) < PEAK_HALF + 0.2
    basis = np.stack([np.ones(here.sum()), known[here] ** 2, known[here] ** 4], axis=-1)
    fitted = np.linalg.lstsq(basis, values[here], rcond=None)[0]
    found: Array = np.stack([np.ones(len(at)), at**2, at**4], axis=-1) @ fitted
    return found


def _plate(upper: Array, thick_m: float) -> tuple[Array, IntArray]:
    """Vertices ``(V, 3)`` and faces ``(F, 3)`` of a closed plate below a net of places ``(R, C, 3)`` metres.

    The net's rows go outward, its columns round to the lead side.
    """
    rows, columns = upper.shape[:2]
    lower = upper - np.array([0.0, 0.0, thick_m])
    local = np.concatenate([upper.reshape(-1, 3), lower.reshape(-1, 3)])
    base = (np.arange(rows - 1) * columns)[:, None] + np.arange(columns - 1)
    a, b, c, d = (base + step for step in (0, columns, columns + 1, 1))
    top = np.concatenate([np.stack(three, axis=-1).reshape(-1, 3) for three in ((a, b, c), (a, c, d))])
    size = rows * columns
    number = np.arange(size).reshape(rows, columns)
    # Once round the edge, the way the top's own triangles go along it.
    edge = np.concatenate([number[:-1, 0], number[-1, :-1], number[:0:-1, -1], number[0, :0:-1]])
    after = np.roll(edge, -1)
    wall = np.concatenate(
        [np.stack([after, edge, edge + size], axis=-1), np.stack([after, edge + size, after + size], axis=-1)]
    )
    return local, np.concatenate([top, top[:, ::-1] + size, wall]).astype(np.int64)
