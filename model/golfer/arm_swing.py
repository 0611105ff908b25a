"""What a golfer asks of the arms: how they hang at address and where a full swing of them ends.

They are the golfer's and no pieces of the pivot: nothing about the head is concluded from them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from ..arrays import ArrayLike
from ..batch import Batch
from .pieces import Quantity

ARM_SWING: Mapping[str, Quantity] = {
    "hands_ahead": Quantity("cm", -15.0, 15.0, "hands at address toward the target from where they hang"),
    "hands_out": Quantity("deg", -10.0, 40.0, "arms at address in front of the vertical"),
    "lead_elbow_bend": Quantity("deg", 2.0, 60.0, "lead elbow at address"),
    "trail_elbow_bend": Quantity("deg", 2.0, 60.0, "trail elbow at address"),
    "lead_elbow_bend_at_top": Quantity("deg", 2.0, 90.0, "lead elbow at a full swing of the arms"),
    "arm_across": Quantity("deg", 0.0, 70.0, "lead arm past straight ahead of the shoulder line at a full swing"),
    "arm_lift": Quantity("deg", -45.0, 60.0, "lead arm above square to the trunk at a full swing"),
    "wrist_hinge": Quantity("deg", 45.0, 160.0, "club to the line of the lead arm at a full swing"),
    "club_roll": Quantity("deg", -270.0, 0.0, "plane of lead arm and club about the arm at a full swing"),
    "turn_of_full_swing": Quantity("deg", 45.0, 180.0, "turn of the shoulder line with which the arms swing fully"),
}
"""Every quantity of the arms with its unit at the border and the range that may be asked for."""


@dataclass(frozen=True)
class ArmSwing(Batch):
    """What is asked of the arms: radians and metres, scalars or arrays of any batch shape.

    Defaults are common practice: lead arm nearly straight throughout, hands level with the ball at address, and at the
    top of a full turn between shoulder and head height, the shaft some degrees short of level and of the target line.
    """

    hands_ahead: ArrayLike = 0.0
    hands_out: ArrayLike = float(np.radians(12.0))
    lead_elbow_bend: ArrayLike = float(np.radians(6.0))
    trail_elbow_bend: ArrayLike = float(np.radians(10.0))
    lead_elbow_bend_at_top: ArrayLike = float(np.radians(8.0))
    arm_across: ArrayLike = float(np.radians(37.5))
    arm_lift: ArrayLike = float(np.radians(0.0))
    wrist_hinge: ArrayLike = float(np.radians(128.0))
    club_roll: ArrayLike = float(np.radians(-172.0))
    turn_of_full_swing: ArrayLike = float(np.radians(90.0))

    def __post_init__(self) -> None:
        for name, quantity in ARM_SWING.items():
            quantity.check(name, getattr(self, name))
        self.batch  # noqa: B018  The shapes must go together.

    def replace(self, **changes: ArrayLike) -> ArmSwing:
        """A copy with some quantities changed."""
        return replace(self, **changes)
