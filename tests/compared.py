"""Swings to be compared, made by hand from where the head goes and what was asked; and what differs between two."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from distinct_swing import distinct_swing, performed_as

from turnstill.model.golfer.pieces import HEELS
from turnstill.scenes.compare.causes import Cause
from turnstill.scenes.setups.perform import Performed

NAMES = ("A", "B")
STAYS = "everything else as it was, tilt and extension in degrees included"

BASE = distinct_swing(3)
DEGREES = {"hip_turn": 45.0, "shoulder_turn": 90.0, "tilt": 37.5, "extension": 30.0}


def side(
    head: tuple[float, float, float],
    *,
    asked: Mapping[str, float] | None = None,
    achieved: Mapping[str, float] | None = None,
    steady: tuple[float, float] = (37.5, 30.0),
    inclination: tuple[float, float] = (33.4, 21.6),
    on_the_way: tuple[float, float, float] = (0.0, 0.0, 0.0),
) -> Performed:
    """A swing whose head ends there (cm toward ball, toward target, up), with pieces at the top in degrees and cm."""
    lengths = ("sway", "hips_toward_ball", *HEELS, "pelvis_toward_ball", "pelvis_toward_target")

    def moments(name: str, top: float) -> np.ndarray:
        return np.array([0.0, top / 3, top / 100.0 if name in lengths else np.radians(top)])

    want = dict.fromkeys(BASE.asked, 0.0) | DEGREES | dict(asked or {})
    got = want | dict(achieved or {})
    measures = replace(
        BASE.measures,
        head_moved=np.array([[0.0, 0.0, 0.0], on_the_way, head]) / 100.0,
        inclination_down_the_line=np.radians([inclination[0], 99.0, inclination[1]]),
    )
    swing = replace(
        BASE, measures=measures,
        asked={name: moments(name, value) for name, value in want.items()},
        achieved={name: moments(name, value) for name, value in got.items()},
        steady={"tilt": moments("tilt", steady[0]), "extension": moments("extension", steady[1])},
    )  # fmt: skip
    return performed_as(swing)


def cause(name: str, amounts: tuple[float, float, float] | None, left: tuple[float, float, float], part: float,
          unit: str = "deg") -> Cause:  # fmt: skip
    return Cause(name, amounts, unit, np.array(left), part)
