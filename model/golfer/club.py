"""The club that fits a golfer who names none."""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from .address import ADDRESS, Address
from .body import Body

AVERAGE_WRIST_HEIGHT = 0.8345
"""m, from the ground to the wrist of an upright average man of 1.75 m, by the lengths of `Body`."""
PER_WRIST_HEIGHT = 0.25
"""A mid-iron is that much longer for each metre that wrists hang higher: half an inch for two (common practice)."""


def wrist_height(body: Body) -> Array:
    """``(...)`` m from the ground to the wrist of somebody who stands upright, arms hanging."""
    size = body.lengths
    shoulder = sum(size[name] for name in ("ankle_height", "shank", "thigh", "lumbosacral_up", "spine"))
    return np.asarray(shoulder - size["shoulder_drop"] - size["upper_arm"] - size["forearm"])


def fitted_club(body: Body) -> Array:
    """``(...)`` m, the length of a mid-iron for this body, to the millimetre."""
    longer = PER_WRIST_HEIGHT * (wrist_height(body) - AVERAGE_WRIST_HEIGHT)
    low, high = (ADDRESS["club_length"].low / 100.0, ADDRESS["club_length"].high / 100.0)
    return np.clip(np.round(np.asarray(Address().club_length) + longer, 3), low, high)
