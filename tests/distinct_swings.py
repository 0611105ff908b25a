"""Swings that were never simulated: every joint at every moment, every angle and every length another."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
from recorded_marks import scattered

from turnstill.model.swing.swing import Measures

OTHER_ANGLES = ("inclination", "shoulder_plane", "trail_weight_share", "low_point_shift", "balance_margin")
TURNS = {"hip_turn": -3.6, "shoulder_turn": 2.4, "tilt": 50.0}


def distinct_swing(seed: int, moments: int = 5, left_handed: bool = False) -> Any:
    """As much of a swing as a picture takes; nothing of it lies on a line or follows from anything else.

    Of seed 1, face-on it leans 11.4, 21.4, 31.4... degrees and down the line it inclines -40.6, -30.6...; the hips
    have turned -2.6, 7.4... and the shoulders 3.4, 13.4... on feet flared by 31.4 (lead) and -19.6 (trail).
    """
    rng = np.random.default_rng(seed)
    steps = 10.0 * np.arange(moments)
    angles = {
        "lean_face_on": np.radians(10.4 + seed + steps), "inclination_down_the_line": np.radians(-41.6 + seed + steps),
        **{name: rng.uniform(1, 2, moments) for name in OTHER_ANGLES},
    }  # fmt: skip
    places = {
        name: rng.normal(size=(moments, 3)) for name in Measures.__annotations__ if name not in angles
    }  # fmt: skip
    return SimpleNamespace(
        skeleton=scattered(10 * seed, (moments,)),
        measures=Measures(**angles, **places),
        achieved={name: np.radians(turn + seed + steps) for name, turn in TURNS.items()},
        address=SimpleNamespace(lead_flare=np.radians(30.4 + seed), trail_flare=np.radians(-20.6 + seed)),
        progress=np.linspace(0, 1, moments),
        body=SimpleNamespace(lengths={"vertex_up": 0.1 + 0.01 * seed, "neck_up": 0.7}, stature=1.6 + 0.1 * seed),
        left_handed=left_handed,
        impact=None,
    )
