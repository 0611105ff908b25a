"""Rotation of the shank under the knee: a range that opens as the knee bends."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..batch import Batch, Rows


@dataclass(frozen=True)
class TibialRange(Batch):
    """How far the shank turns under the knee, opening with knee flexion by a cubic, smooth at both ends.

    All values in radians, ``(2, N)`` for lead and trail: the internal and external range with a straight knee and
    with a bent one, and the flexions between which the range opens.
    """

    internal_straight: Rows
    internal_bent: Rows
    external_straight: Rows
    external_bent: Rows
    opens_from: float = float(np.radians(5.0))
    opens_until: float = float(np.radians(30.0))

    def at(self, knee_flexion: Array) -> tuple[Array, Array, Array, Array]:
        """Internal and external range at a flexion, then their derivatives by flexion."""
        width = self.opens_until - self.opens_from
        share = ((knee_flexion - self.opens_from) / width).clip(0.0, 1.0)
        open_, slope = share * share * (3.0 - 2.0 * share), 6.0 * share * (1.0 - share) / width
        internal, external = (
            self.internal_bent - self.internal_straight,
            self.external_bent - self.external_straight,
        )
        return (
            self.internal_straight + internal * open_,
            self.external_straight + external * open_,
            internal * slope,
            external * slope,
        )
