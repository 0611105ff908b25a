"""Where a golfer wants the head: where it was at address, or a place chosen on purpose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import Array, ArrayLike
from ..batch import Batch
from .pieces import Quantity

HEAD_PLACE: Mapping[str, Quantity] = {
    "toward_target": Quantity("cm", -15.0, 15.0, "head wanted nearer the target than at address"),
    "up": Quantity("cm", -15.0, 15.0, "head wanted higher than at address"),
}
"""Each way in which a head can be wanted elsewhere, with its unit and the range that may be asked for."""


@dataclass(frozen=True)
class HeadPlace(Batch):
    """Where the head is wanted, from its place at address: metres, scalars or arrays of any batch shape."""

    toward_target: ArrayLike = 0.0
    up: ArrayLike = 0.0

    def __post_init__(self) -> None:
        for name, quantity in HEAD_PLACE.items():
            quantity.check(f"head.{name}", getattr(self, name))
        self.batch  # noqa: B018  The shapes must go together.

    @property
    def elsewhere(self) -> bool:
        """Whether any golfer's head is wanted elsewhere than at address."""
        return bool(np.any(np.asarray(self.toward_target) != 0.0) or np.any(np.asarray(self.up) != 0.0))

    def offset(self, batch: tuple[int, ...]) -> Array:
        """``(B, 3)`` m, world, of golfers of batch shape ``batch``, flattened; depth is not asked for."""
        along, up = (
            np.broadcast_to(np.asarray(v, dtype=float), batch).reshape(-1) for v in (self.toward_target, self.up)
        )
        return np.stack([np.zeros_like(along), along, up], axis=-1)
