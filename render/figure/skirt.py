"""A skirt: at each height the convex outline of the cloth round both legs, spanned between them.

Each of its points is a mixture of the points of the body's surface that it is stretched between, and goes where the
same mixture of them goes: cloth between two thighs stays straight however the thighs move.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from ...model.arrays import Array
from ..body.body_surface import SETTLED, BodySurface
from ..body.bones import BONES, LEG, SIDES
from ..body.skinning import Blend, Floats, smoothed_blend
from ..body.smoothing import smoothing
from ..shapes.carriers import smoothstep
from ..shapes.solids import IntArray
from .clipping import capped

COLUMNS, ROWS = 72, 26
"""Of the net of points, round the body and from hem to waist: edges about as long as the surface's."""
WAIST_M, HEM_M = 0.006, 0.052
"""How far the cloth stands off the outline at the waist and at the hem (our choice)."""
SETTLING = 4
"""Rounds of smoothing round each row, which take the surface's triangles out of its outline."""
MARGIN_M = 0.06
"""How far beyond hem and waist the surface is taken into account."""


def skirt(surface: BodySurface, hem: float, top: float) -> tuple[Blend, IntArray]:
    """A closed skirt.

    Args:
        surface: of the body.
        hem: height at rest, metres, of its lower edge.
        top: height at rest, metres, of its upper edge.

    Returns:
        What frames carry of its vertices, and faces ``(F, 3)``.
    """
    vertices, faces = surface.mesh.vertices, surface.mesh.faces
    arms = surface.share_of(*(name for name in BONES if name.endswith(("lead", "trail")) and not _of_leg(name)))
    near = np.flatnonzero((vertices[:, 2] > hem - MARGIN_M) & (vertices[:, 2] < top + MARGIN_M) & (arms < 0.5))
    number = np.full(len(vertices), -1)
    number[near] = np.arange(len(near))
    own = number[faces]
    own = own[(own >= 0).all(axis=1)]
    weights = _without_knees(surface.skin.whole())[near]
    blend = smoothed_blend(vertices[near], weights, smoothing(own, len(near)), SETTLED)
    heights = np.linspace(hem, top, ROWS)
    mixture = _outlines(vertices[near], own, heights)
    held = (mixture @ blend.held.reshape(len(near), -1)).reshape(-1, 4, len(blend.frames))
    # What it stands off is carried by the frames that carry the cloth there.
    held[:, :3] += held[:, 3:] * _off(mixture @ vertices[near], heights)[..., None]
    values, closed = capped(held.reshape(len(held), -1), _net_faces(), inset=0.06)
    return Blend(blend.frames, values.reshape(-1, 4, len(blend.frames)).astype(np.float32)), closed


def _of_leg(name: str) -> bool:
    return any(name in names for side in SIDES for names in LEG[side])


def _without_knees(whole: Floats) -> Floats:
    """Weights ``(V, B)`` with what knees and shins carry given to the thighs, which a skirt hangs on."""
    given = whole.copy()
    for side in SIDES:
        first, *others = LEG[side]
        below = [BONES.index(name) for names in others for name in names]
        given[:, BONES.index(first[-1])] += given[:, below].sum(axis=1)
        given[:, below] = 0
    return given


def _outlines(vertices: Array, faces: IntArray, heights: Array) -> Any:
    """``(R C, V)`` sparse, rows adding to one: each point of the outlines at heights ``(R,)``, mixed of vertices."""
    from scipy import sparse

    edges = np.unique(np.sort(np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]]), axis=1), axis=0)
    angles = np.linspace(0, 2 * np.pi, COLUMNS, endpoint=False)
    rows = [_outline(vertices, edges, height, angles) for height in heights.tolist()]
    owners = np.arange(len(heights) * COLUMNS)[:, None]
    which = np.concatenate([found for found, _ in rows])
    shares = np.concatenate([share for _, share in rows])
    size = len(owners)
    mixture = sparse.csr_array(
        (shares.ravel(), (np.broadcast_to(owners, which.shape).ravel(), which.ravel())), shape=(size, len(vertices))
    )
    here = np.arange(size)
    before, after = (here - here % COLUMNS + (here + step) % COLUMNS for step in (-1, 1))
    shares, near = np.repeat([0.5, 0.25, 0.25], size), np.concatenate([here, before, after])
    round_row = sparse.csr_array((shares, (np.tile(here, 3), near)), shape=(size, size))
    for _ in range(SETTLING):
        mixture = round_row @ mixture
    return mixture


def _outline(vertices: Array, edges: IntArray, height: float, angles: Array) -> tuple[IntArray, Array]:
    """``(C, 4)`` vertices and shares that make up the convex outline at a height, in directions ``angles (C,)``."""
    from scipy.spatial import ConvexHull

    z = vertices[:, 2] - height
    cut = edges[z[edges[:, 0]] * z[edges[:, 1]] < 0]
    second = z[cut[:, 0]] / (z[cut[:, 0]] - z[cut[:, 1]])
    places = (1 - second)[:, None] * vertices[cut[:, 0], :2] + second[:, None] * vertices[cut[:, 1], :2]
    middle = np.array([0.5 * (places[:, 0].min() + places[:, 0].max()), 0.0])
    hull = ConvexHull(places).vertices
    away = places[hull] - middle
    order = np.argsort(np.arctan2(away[:, 1], away[:, 0]) % (2 * np.pi))
    hull, away = hull[order], away[order]
    end = np.searchsorted(np.arctan2(away[:, 1], away[:, 0]) % (2 * np.pi), angles) % len(hull)
    start = end - 1
    # A ray from the middle meets the side between two corners where both lie as far off it, weighed by their shares.
    ray = np.stack([np.cos(angles), np.sin(angles)], axis=-1)
    beside = away[:, 0] * ray[:, 1:] - away[:, 1] * ray[:, :1]
    here = np.arange(len(angles))
    first, last = beside[here, start], beside[here, end]
    way = first / (first - last)
    corners = np.concatenate([cut[hull[start]], cut[hull[end]]], axis=1)
    along = np.stack([1 - second[hull[start]], second[hull[start]], 1 - second[hull[end]], second[hull[end]]], axis=-1)
    return corners, along * np.stack([1 - way, 1 - way, way, way], axis=-1)


def _off(outline: Array, heights: Array) -> Array:
    """``(R C, 3)`` metres from the outlines ``(R C, 3)`` to the cloth: it hangs from what stands out above."""
    net = outline.reshape(len(heights), COLUMNS, 3)
    middle = np.stack([net[..., 0].mean(axis=1), np.zeros(len(heights))], axis=-1)[:, None]
    away = net[..., :2] - middle
    out = np.linalg.norm(away, axis=-1)
    down = (heights[-1] - heights) / (heights[-1] - heights[0])
    asked = out + (WAIST_M + (HEM_M - WAIST_M) * smoothstep(down))[:, None]
    hanging = np.stack([_spanned(heights, column) for column in asked.T], axis=-1)
    off = np.zeros_like(net)
    off[..., :2] = away / out[..., None] * (hanging - out)[..., None]
    return off.reshape(-1, 3)


def _spanned(heights: Array, out: Array) -> Array:
    """``(R,)`` the least concave course over ``out (R,)``: cloth stretched over hollows."""
    at, off = heights.tolist(), out.tolist()
    kept: list[int] = []
    for k in range(len(out)):
        while len(kept) > 1 and _hollow(at, off, kept[-2], kept[-1], k):
            kept.pop()
        kept.append(k)
    spanned: Array = np.interp(heights, heights[kept], out[kept])
    return spanned


def _hollow(heights: list[float], out: list[float], before: int, here: int, after: int) -> bool:
    way = (heights[here] - heights[before]) / (heights[after] - heights[before])
    return out[here] <= out[before] + way * (out[after] - out[before])


def _net_faces() -> IntArray:
    """``(F, 3)`` the net's triangles, rows from low to high, counter-clockwise seen from outside."""
    here = np.arange(COLUMNS)
    after = (here + 1) % COLUMNS
    base = (np.arange(ROWS - 1) * COLUMNS)[:, None]
    a, b, c, d = base + here, base + after, base + COLUMNS + after, base + COLUMNS + here
    faces: IntArray = np.concatenate(
        [np.stack([a, b, c], axis=-1).reshape(-1, 3), np.stack([a, c, d], axis=-1).reshape(-1, 3)]
    ).astype(np.int64)
    return faces
