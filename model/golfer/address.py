"""How the golfer stands to the ball."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

import numpy as np

from ..arrays import ArrayLike
from ..batch import Batch
from ..errors import TurnstillError
from .pieces import Quantity

ADDRESS: Mapping[str, Quantity] = {
    "lead_flare": Quantity("deg", -45.0, 75.0, "lead foot turned outward"),
    "trail_flare": Quantity("deg", -45.0, 75.0, "trail foot turned outward"),
    "stance_width": Quantity("cm", 10.0, 120.0, "distance between the ankle centres"),
    "knee_flex": Quantity("deg", 0.0, 80.0, "both knees"),
    "forward_bend": Quantity("deg", 0.0, 75.0, "forward bend of the ribcage"),
    "pelvis_bend": Quantity("deg", -20.0, 70.0, "forward bend of the pelvis"),
    "side_bend": Quantity("deg", -25.0, 25.0, "ribcage side tilt at address, trail side down"),
    "ball_position": Quantity("cm", -60.0, 60.0, "ball toward the target from mid-stance"),
    "club_length": Quantity("cm", 50.0, 130.0, "from the end of the grip to the clubhead"),
}
"""Every quantity of the address with its unit at the border and the range that may be asked for."""


@dataclass(frozen=True)
class Address(Batch):
    """The set-up: radians and metres, scalars or arrays of any batch shape. Defaults: common practice, mid-iron."""

    lead_flare: ArrayLike = float(np.radians(20.0))
    trail_flare: ArrayLike = float(np.radians(20.0))
    stance_width: ArrayLike = 0.42
    knee_flex: ArrayLike = float(np.radians(22.0))
    forward_bend: ArrayLike = float(np.radians(38.0))
    pelvis_bend: ArrayLike = float(np.radians(22.0))
    side_bend: ArrayLike = float(np.radians(5.0))
    ball_position: ArrayLike = 0.04
    club_length: ArrayLike = 0.94

    def __post_init__(self) -> None:
        for item in fields(self):
            if not np.all(np.isfinite(np.asarray(getattr(self, item.name), dtype=float))):
                raise TurnstillError(f"{item.name} must be a finite number.")

    def replace(self, **changes: ArrayLike) -> Address:
        """A copy with some quantities changed."""
        return replace(self, **changes)
