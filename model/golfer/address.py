"""How the golfer stands to the ball."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from ..arrays import ArrayLike
from ..batch import Batch
from .arm_swing import ArmSwing
from .pieces import Quantity, scattered

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
SPREAD: Mapping[str, float] = {
    "lead_flare": float(np.radians(8.0)),
    "trail_flare": float(np.radians(8.0)),
    "stance_width": 0.05,
    "knee_flex": float(np.radians(4.0)),
    "forward_bend": float(np.radians(4.0)),
    "pelvis_bend": float(np.radians(3.0)),
    "side_bend": float(np.radians(2.0)),
    "ball_position": 0.04,
}
"""How far golfers' addresses spread about the defaults of `Address`, one sd in rad and m (assumption)."""
DRAWN_CLUB = 1.12
"""m, a driver (common practice): long enough that every body drawn reaches the ball."""


@dataclass(frozen=True)
class Address(Batch):
    """The set-up: radians and metres, scalars or arrays of any batch shape. Defaults: common practice, mid-iron.

    How the arms hang, and how they swing from here, goes with it: ``arms``.
    """

    lead_flare: ArrayLike = float(np.radians(20.0))
    trail_flare: ArrayLike = float(np.radians(20.0))
    stance_width: ArrayLike = 0.42
    knee_flex: ArrayLike = float(np.radians(22.0))
    forward_bend: ArrayLike = float(np.radians(38.0))
    pelvis_bend: ArrayLike = float(np.radians(22.0))
    side_bend: ArrayLike = float(np.radians(5.0))
    ball_position: ArrayLike = 0.04
    club_length: ArrayLike = 0.94
    arms: ArmSwing = field(default_factory=ArmSwing)

    def __post_init__(self) -> None:
        for name, quantity in ADDRESS.items():
            quantity.check(name, getattr(self, name))
        self.batch  # noqa: B018  The shapes must go together.

    @classmethod
    def draw(cls, rng: np.random.Generator, count: int) -> Address:
        """``count`` addresses that golfers stand in, with a driver.

        Each quantity alone is normal about its default with an sd of `SPREAD`, kept within two sd.
        """
        usual = cls(club_length=DRAWN_CLUB)
        return usual.replace(**{name: getattr(usual, name) + scattered(rng, count, sd) for name, sd in SPREAD.items()})

    def replace(self, **changes: ArrayLike | ArmSwing) -> Address:
        """A copy with some quantities changed."""
        return replace(self, **changes)  # type: ignore[arg-type]
