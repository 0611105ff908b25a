"""Where a map's lines are labelled: each once, clear of what else is drawn on it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ...model.arrays import Array

CLEAR_OF_EDGE = 0.07
"""A label's centre keeps this part of the map's side from its edges."""
CLEAR = 0.055
"""And this part from everything else: about half of a label."""


def label_places(lines: Sequence[Sequence[Array]], obstacles: Array, x: Array, y: Array) -> list[Array | None]:
    """A place for the label of every line.

    Args:
        lines: of each level, the pieces of its line, each ``(K, 2)`` in the map's units.
        obstacles: ``(N, 2)`` what labels must not hide, in the map's units.
        x: the map's ends are its first and last.
        y: the same.

    Returns:
        For each level ``(2,)`` on its line as far from obstacles, edges and other labels as can be; None where that is
        too near.
    """
    low, size = np.array([x[0], y[0]]), np.array([x[-1] - x[0], y[-1] - y[0]])
    taken = (obstacles.reshape(-1, 2) - low) / size
    places: list[Array | None] = []
    for pieces in lines:
        points = np.concatenate([np.zeros((0, 2)), *pieces])
        on = (points - low) / size
        inside = np.min(np.minimum(on, 1.0 - on), axis=1, initial=np.inf) >= CLEAR_OF_EDGE
        points, on = points[inside], on[inside]
        if not len(on):
            places.append(None)
            continue
        room = np.linalg.norm(on[:, None] - taken[None], axis=2).min(axis=1, initial=1.0)
        best = int(np.argmax(room))
        if room[best] < CLEAR:
            places.append(None)
            continue
        places.append(points[best])
        taken = np.concatenate([taken, on[best][None]])
    return places
