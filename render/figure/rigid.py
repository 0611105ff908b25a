"""What moves with no skin: all of a figure's rigid parts posed together."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
from scipy import sparse

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ..body.skinning import Carried
from ..shapes.solids import Part


def rigidly(parts: Sequence[Part]) -> Carried:
    """The vertices of some parts, one part after the other. Parts next to each other on one carrier share its frames.

    Args:
        parts: at least one.
    """
    carriers, columns, first = [], [], 0
    for carrier, alike in itertools.groupby(parts, key=lambda part: part.carrier):
        own = np.concatenate([part.frame for part in alike])
        carriers.append((carrier, int(own.max()) + 1))
        columns.append(own + first)
        first += carriers[-1][1]
    local = np.concatenate([part.local for part in parts])
    values = np.concatenate([local, np.ones((len(local), 1))], axis=1)
    numbers = 4 * np.concatenate(columns)[:, None] + np.arange(4)
    ends = np.arange(0, 4 * len(local) + 1, 4)
    held = sparse.csr_array(
        (values.ravel(), numbers.ravel().astype(np.int32), ends.astype(np.int32)), shape=(len(local), 4 * first)
    )

    def motions(skeleton: Skeleton) -> Array:
        found = []
        for carrier, count in carriers:
            origins, turns = carrier.places(skeleton)
            found.append(np.concatenate([turns, origins[..., None]], axis=-1)[..., :count, :, :])
        return np.concatenate(found, axis=-3)

    return Carried(held, motions)
