"""Legs, arms, hands and feet as members of a body's shape, over the survey's girths."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ...model.chain.skeleton import Skeleton
from ..shapes.signed_distance import Tube
from ..shapes.solids import SOLE_M
from .trunk_shape import BLEND_M, deltoid_radius, over_shoulder

ROUND = 2 * np.pi
RELAXED = {"biceps": 0.92, "forearm": 0.94}
"""The survey's arm girths are flexed ones: a hanging arm's over them (assumption)."""


def _length(rest: Skeleton, near: str, far: str) -> float:
    return float(np.linalg.norm(rest.joints[near] - rest.joints[far]))


def leg(side: str, shape: Mapping[str, float], rest: Skeleton, female: float) -> Tube:
    """Thigh and shank as one straight tube from above the hip to the ankle."""
    out = 1.0 if side == "lead" else -1.0
    thigh = _length(rest, f"hip_{side}", f"knee_{side}")
    shank = _length(rest, f"knee_{side}", f"ankle_{side}")
    r_thigh = shape["thigh_circumference"] / ROUND
    # Hips set wide let the thighs part higher up, where they are shaped by the seat: fitted to 40 drawn bodies.
    hip_y = abs(float(rest.joints[f"hip_{side}"][1]))
    apart = 2 * hip_y / shape["thigh_circumference"]
    r_high = r_thigh * (1.020 - 0.026 * female + 0.76 * float(np.clip(apart - 0.276, -0.06, 0.06)))
    r_knee = shape["lower_thigh_circumference"] / ROUND
    r_calf, r_ankle = shape["calf_circumference"] / ROUND, shape["ankle_circumference"] / ROUND
    # How far the thigh's middle lies inside the bone's line, so that it does not stand out beyond the hip.
    inward = np.clip(hip_y + 0.98 * r_thigh - shape["hip_breadth"] / 2 + BLEND_M, -0.005, 0.035)
    knee = thigh + shank
    table = [
        # down from the hip (metres), forward, back, outside, inside (radii), forward and outward shift (metres)
        [-0.11, 0.45 * r_thigh, 0.50 * r_thigh, 0.50 * r_thigh, 0.50 * r_thigh, 0.0, -0.4 * inward],
        [0.00, 0.88 * r_thigh, 1.00 * r_thigh, 0.99 * r_thigh, 0.92 * r_thigh, 0.0, -inward],
        [0.25 * thigh, 1.03 * r_high, 1.08 * r_high, 1.05 * r_high, 1.06 * r_high, 0.004, -inward],
        [0.38 * thigh, 1.00 * r_high, 1.04 * r_high, 1.00 * r_high, 1.00 * r_high, 0.006, -0.85 * inward],
        [0.55 * thigh, 0.66 * r_thigh + 0.29 * r_knee, 0.62 * r_thigh + 0.27 * r_knee,
         0.60 * r_thigh + 0.30 * r_knee, 0.60 * r_thigh + 0.30 * r_knee, 0.008, -0.6 * inward],
        [0.86 * thigh, 1.03 * r_knee, 0.99 * r_knee, 0.99 * r_knee, 0.99 * r_knee, 0.003, -0.15 * inward],
        [1.00 * thigh, 0.98 * r_knee, 0.88 * r_knee, 0.90 * r_knee, 0.90 * r_knee, 0.0, 0.0],
        [thigh + 0.10 * shank, 0.88 * r_knee, 0.86 * r_calf, 0.5 * r_knee + 0.42 * r_calf,
         0.5 * r_knee + 0.42 * r_calf, -0.004, 0.0],
        [thigh + 0.30 * shank, 0.95 * r_calf, 1.07 * r_calf, 1.01 * r_calf, 1.01 * r_calf, -0.014, 0.0],
        [thigh + 0.55 * shank, 0.78 * r_calf, 0.84 * r_calf, 0.78 * r_calf, 0.78 * r_calf, -0.013, 0.0],
        [thigh + 0.86 * shank, 1.06 * r_ankle, 1.06 * r_ankle, 0.94 * r_ankle, 0.94 * r_ankle, -0.007, 0.0],
        [knee, 1.15 * r_ankle, 1.22 * r_ankle, 1.00 * r_ankle, 1.00 * r_ankle, -0.004, 0.0],
        [knee + 0.03, 1.05 * r_ankle, 1.15 * r_ankle, 0.96 * r_ankle, 0.96 * r_ankle, -0.004, 0.0],
    ]  # fmt: skip
    rows = []
    for down, forward, back, outside, inside, ahead, aside in reversed(table):
        left, right = (outside, inside) if out > 0 else (inside, outside)
        rows.append([-down, forward, back, left, right, ahead, out * aside, 2.0])
    return Tube.through(rest.joints[f"hip_{side}"], rest.frames[f"thigh_{side}"], rows)


def arm(side: str, shape: Mapping[str, float], rest: Skeleton) -> Tube:
    """Upper arm, forearm and closed hand as one straight tube from the shoulder."""
    upper = _length(rest, f"shoulder_{side}", f"elbow_{side}")
    fore = _length(rest, f"elbow_{side}", f"wrist_{side}")
    r_biceps = 1.01 * RELAXED["biceps"] * shape["biceps_circumference"] / ROUND
    r_fore = 1.02 * RELAXED["forearm"] * shape["forearm_circumference"] / ROUND
    r_wrist = 1.03 * shape["wrist_circumference"] / ROUND  # A thin limb loses that much to the grid.
    r_fist = 0.42 * shape["hand_breadth"]
    r_elbow = 0.43 * (r_biceps + r_fore)
    r_top = deltoid_radius(shape, rest)
    end = upper + fore
    table = [
        # down from the shoulder (metres), radius
        [-0.80 * r_top, 0.45 * r_top],
        [-0.45 * r_top, 0.84 * r_top],
        [0.00, 1.00 * r_top],
        [0.18 * upper, 0.62 * r_top + 0.38 * r_biceps],
        [0.40 * upper, 0.12 * r_top + 0.88 * r_biceps],
        [0.58 * upper, 1.00 * r_biceps],
        [0.82 * upper, 0.5 * (r_biceps + r_elbow)],
        [1.00 * upper, 1.00 * r_elbow],
        [upper + 0.22 * fore, 1.00 * r_fore],
        [upper + 0.55 * fore, 0.55 * r_fore + 0.42 * r_wrist],
        [upper + 0.85 * fore, 1.05 * r_wrist],
        [end - 0.006, 1.00 * r_wrist],
        [end + 0.022, 0.95 * r_wrist],
        [end + 0.050, 0.92 * r_fist],
        [end + 0.078, 1.00 * r_fist],
        [end + 0.100, 0.80 * r_fist],
        [end + 0.108, 0.45 * r_fist],
    ]
    # Under the acromion the arm's upper side is lower, and less so on the way down the deltoid.
    above = over_shoulder(shape, rest) / r_top
    rows = [
        [-down, r * float(np.interp(down, [0.0, 0.40 * upper], [above, 1.0])), r, r, r, 0.0, 0.0, 2.0]
        for down, r in reversed(table)
    ]
    return Tube.through(rest.joints[f"shoulder_{side}"], rest.frames[f"upper_arm_{side}"], rows)


def foot(side: str, shape: Mapping[str, float], rest: Skeleton) -> Tube:
    """The foot on its insole, from heel to toes: a tube whose axis runs forward."""
    frame, ankle = rest.frames[f"foot_{side}"], rest.joints[f"ankle_{side}"]
    heel = float(frame[:, 0] @ (rest.joints[f"heel_{side}"] - ankle))
    ground = float(frame[:, 2] @ (rest.joints[f"heel_{side}"] - ankle))
    length, ball, back = shape["foot_length"], shape["foot_breadth"] / 2, shape["heel_breadth"] / 2
    sole = ground + 0.9 * SOLE_M
    height = -ground - 0.9 * SOLE_M
    # Axis forward; the section's x is down, its y the golfer's left.
    axes = np.stack([-frame[:, 2], frame[:, 1], frame[:, 0]], axis=-1)
    table = [
        # share of the length, height over the sole as a share of the ankle's, half breadth
        [0.02, 0.30, 0.40 * back],
        [0.06, 0.62, 0.80 * back],
        [0.16, 0.92, 0.98 * back],
        [0.30, 1.00, 0.98 * back],
        [0.45, 0.90, 0.5 * (back + ball)],
        [0.62, 0.68, 0.94 * ball],
        [0.76, 0.54, 1.00 * ball],
        [0.90, 0.43, 0.80 * ball],
        [0.96, 0.32, 0.52 * ball],
    ]
    rows = []
    for share, high, half in table:
        tall = 0.5 * high * height
        rows.append([heel + share * length, tall, tall, half, half, -(sole + tall), 0.0, 2.4])
    return Tube.through(ankle, axes, rows)
