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

_DEG = float(np.radians(1.0))
ARM_SWING: Mapping[str, Quantity] = {
    "lead_elbow_bend": Quantity("deg", 2.0, 60.0, "lead elbow at address"),
    "trail_elbow_bend": Quantity("deg", 2.0, 60.0, "trail elbow at address"),
    "lead_elbow_bend_at_top": Quantity("deg", 2.0, 90.0, "lead elbow at a full swing of the arms"),
    "hands_ahead": Quantity("cm", -15.0, 15.0, "hands at address toward the target from where they hang"),
    "hands_out": Quantity("deg", -10.0, 40.0, "arms at address in front of the vertical"),
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

    Defaults make what is common practice: lead arm nearly straight throughout, hands level with the ball at address,
    and at the top of a full turn between shoulder and head height, the shaft some degrees short of level and of the
    target line. The angles that do so inside an average man's and woman's ranges were searched for (our choice).
    """

    lead_elbow_bend: ArrayLike = 6.0 * _DEG
    trail_elbow_bend: ArrayLike = 10.0 * _DEG
    lead_elbow_bend_at_top: ArrayLike = 8.0 * _DEG
    hands_ahead: ArrayLike = 0.0
    hands_out: ArrayLike = 12.0 * _DEG
    arm_across: ArrayLike = 37.5 * _DEG
    arm_lift: ArrayLike = 0.0 * _DEG
    wrist_hinge: ArrayLike = 128.0 * _DEG
    club_roll: ArrayLike = -172.0 * _DEG
    turn_of_full_swing: ArrayLike = 90.0 * _DEG

    def __post_init__(self) -> None:
        for name, quantity in ARM_SWING.items():
            quantity.check(name, getattr(self, name))
        self.batch  # noqa: B018  The shapes must go together.

    def replace(self, **changes: ArrayLike) -> ArmSwing:
        """A copy with some quantities changed."""
        return replace(self, **changes)
