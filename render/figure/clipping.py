"""Cutting a mesh along a smooth line, and closing what was cut."""

from __future__ import annotations

import numpy as np

from ...model.arrays import Array
from ..body.skinning import Floats
from ..shapes.solids import IntArray

LEAST_SHARE = 0.02
"""No edge is cut nearer to its end than this share of it: slivers would shade as specks."""


def clip(values: Floats, faces: IntArray, inside: Array) -> tuple[Floats, IntArray]:
    """The part of a mesh where a field is positive.

    Args:
        values: ``(V, K)`` whatever is known of the vertices; linear in between.
        faces: ``(F, 3)`` vertex numbers.
        inside: ``(V,)`` the field, positive on what is kept.

    Returns:
        Values ``(W, K)`` of the vertices kept and of those made where edges were cut, and faces ``(G, 3)`` wound as
        before. Empty where the field is nowhere positive.
    """
    kept = inside > 0
    count = kept.take(faces.T).sum(axis=0)
    # Every mixed triangle is turned round until the corner that differs from both others comes first.
    mixed = faces[(count == 1) | (count == 2)]
    alone = kept[mixed] == (kept[mixed].sum(axis=1) == 1)[:, None]
    first = np.argmax(alone, axis=1)[:, None]
    mixed = np.take_along_axis(mixed, (first + np.arange(3)) % 3, axis=1)

    edges = np.sort(np.concatenate([mixed[:, [0, 1]], mixed[:, [0, 2]]]), axis=1)
    numbers, which = np.unique(edges[:, 0] * len(values) + edges[:, 1], return_inverse=True)
    cut = np.stack(np.divmod(numbers, len(values)), axis=1)
    ends = inside[cut]
    share = np.clip(ends[:, 0] / (ends[:, 0] - ends[:, 1]), LEAST_SHARE, 1 - LEAST_SHARE)[:, None]
    made = (1 - share) * values[cut[:, 0]] + share * values[cut[:, 1]]
    after_first, before_first = np.split(which.ravel() + len(values), 2)

    tip = kept[mixed[:, 0]]
    a, b, c = mixed.T
    pieces = [
        faces[count == 3],
        np.stack([a, after_first, before_first], axis=1)[tip],
        np.stack([after_first, b, c], axis=1)[~tip],
        np.stack([after_first, c, before_first], axis=1)[~tip],
    ]
    found = np.concatenate(pieces)
    is_used = np.zeros(len(values) + len(made), np.bool_)
    is_used[found] = True
    place = np.cumsum(is_used) - 1
    whole, fresh = np.flatnonzero(is_used[: len(values)]), made[is_used[len(values) :]]
    return np.concatenate([values[whole], fresh]), place[found]


def rims(faces: IntArray) -> list[IntArray]:
    """The closed loops of vertices along which a surface ends, in the direction its own faces go along them.

    No vertex may lie on two of them, nor does any where ``clip`` has cut a closed mesh.
    """
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    # An edge within the surface is there twice, once each way.
    start, end = edges.T
    whole = np.minimum(start, end) * (int(faces.max(initial=0)) + 1) + np.maximum(start, end)
    order = np.argsort(whole)
    differs = np.diff(whole[order], prepend=-1, append=-1) != 0
    outer = np.zeros(len(edges), np.bool_)
    outer[order[differs[:-1] & differs[1:]]] = True
    after = dict(edges[outer].tolist())
    loops = []
    while after:
        start, here = after.popitem()
        loop = [start]
        while here != start:
            loop.append(here)
            here = after.pop(here)
        loops.append(np.array(loop, np.int64))
    return loops


def capped(values: Floats, faces: IntArray, inset: float) -> tuple[Floats, IntArray]:
    """A clipped mesh closed again: from each rim a wall in toward its middle, and a fan across.

    It is closed once vertices in one place count as one: a rim's are there twice.

    Args:
        values: ``(V, K)`` of the vertices.
        faces: ``(F, 3)`` vertex numbers.
        inset: how far toward the rim's middle the ring is drawn in, as a share of the way.
    """
    all_values, all_faces, count = [values], [faces], len(values)
    for loop in rims(faces):
        here, n = np.arange(len(loop)), len(loop)
        after = (here + 1) % n
        rim = values[loop]
        middle = rim.mean(axis=0)
        # The rim's vertices once more, so that the edge is shaded as one.
        all_values += [rim, rim + inset * (middle - rim), middle[None]]
        edge, ring, pole = count + here, count + n + here, count + 2 * n
        # Against the rim's direction, so that the wall and the fan are wound like the faces they close.
        all_faces += [
            np.stack([edge[after], edge[here], ring[here]], axis=1),
            np.stack([edge[after], ring[here], ring[after]], axis=1),
            np.stack([ring[after], ring[here], np.full(n, pole)], axis=1),
        ]
        count += 2 * n + 1
    return np.concatenate(all_values), np.concatenate(all_faces)
