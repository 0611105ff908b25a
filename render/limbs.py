"""Trouser legs, sleeves and bare arms: tapered tubes that bend smoothly at knee and elbow."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..model.arrays import Array
from ..model.skeleton import Skeleton
from .carriers import Bend, Rigid
from .solids import Part, loft, outline, smooth_table, upright_rings

ROUND = 2 * np.pi


def limb_parts(shape: Mapping[str, float], skeleton: Skeleton) -> list[Part]:
    """Both legs in trousers and both arms in short sleeves.

    Args:
        shape: breadths, depths and circumferences of the body, metres.
        skeleton: one moment, for the distances between joints.

    """
    parts: list[Part] = []
    for side, outward in (("lead", 1.0), ("trail", -1.0)):
        parts += [
            _trouser_leg(side, outward, shape, skeleton),
            _sock(side, shape),
            _arm(side, shape, skeleton),
            _sleeve(side, shape, skeleton),
        ]
    return parts


def _distance(skeleton: Skeleton, first: str, second: str) -> float:
    return float(np.linalg.norm(skeleton.joints[first] - skeleton.joints[second]))


def _tube(
    name: str,
    colour: str,
    carrier: Bend | Rigid,
    heights: Array,
    table: Array,
    at: Array,
    outward: float = 0.0,
) -> Part:
    """A tube from a profile table: station, front, back, half breadth, shift outward (all metres).

    Args:
        name: of the part.
        colour: field of ``Look``.
        carrier: a bend at the stations, or a rigid segment.
        heights: ``(R,)`` local height of each ring, zero where the carrier puts it in place.
        table: ``(P, 5)`` profile, stations rising.
        at: ``(R,)`` stations of the rings, rising.
        outward: +1 lead, -1 trail: which way the shift goes.

    """
    profile = smooth_table(table[:, 0], table[:, 1:], at)
    sections = outline(profile[:, 0], profile[:, 1], profile[:, 2], profile[:, 2])
    rings = upright_rings(heights, sections, centre_y=outward * profile[:, 3])
    frame = np.arange(len(at)) if isinstance(carrier, Bend) else None
    return loft(name, colour, carrier, rings, frame, cap_m=0.002)


def _trouser_leg(side: str, outward: float, shape: Mapping[str, float], skeleton: Skeleton) -> Part:
    thigh = _distance(skeleton, f"hip_{side}", f"knee_{side}")
    shank = _distance(skeleton, f"knee_{side}", f"ankle_{side}")
    r_thigh = shape["thigh_circumference"] / ROUND + 0.004
    r_knee = shape["lower_thigh_circumference"] / ROUND + 0.006
    r_calf = shape["calf_circumference"] / ROUND + 0.010
    r_hem = shape["ankle_circumference"] / ROUND + 0.026
    # Stations from the knee, up positive.
    table = np.array(
        [
            [-0.93 * shank, 1.02 * r_hem, 1.10 * r_hem, 0.96 * r_hem, 0.0],
            [-0.75 * shank, 0.98 * r_hem, 1.20 * r_hem, 0.98 * r_hem, 0.0],
            [-0.36 * shank, 0.86 * r_calf, 1.16 * r_calf, 0.98 * r_calf, 0.002],
            [-0.12 * shank, 0.98 * r_knee, 1.02 * r_knee, 0.92 * r_knee, 0.0],
            [0.02 * thigh, 1.06 * r_knee, 0.98 * r_knee, 0.93 * r_knee, 0.0],
            [0.20 * thigh, 1.10 * r_knee, 1.06 * r_knee, 1.02 * r_knee, 0.0],
            [0.55 * thigh, 0.98 * r_thigh, 0.93 * r_thigh, 0.90 * r_thigh, 0.004],
            [0.82 * thigh, 1.02 * r_thigh, 1.04 * r_thigh, 0.92 * r_thigh, 0.006],
            [0.96 * thigh, 0.97 * r_thigh, 1.04 * r_thigh, 0.88 * r_thigh, 0.002],
            [1.09 * thigh, 0.86 * r_thigh, 0.96 * r_thigh, 0.80 * r_thigh, -0.004],
            [1.19 * thigh, 0.66 * r_thigh, 0.78 * r_thigh, 0.64 * r_thigh, -0.012],
            [1.27 * thigh, 0.32 * r_thigh, 0.42 * r_thigh, 0.36 * r_thigh, -0.018],
            [1.30 * thigh, 0.12 * r_thigh, 0.14 * r_thigh, 0.12 * r_thigh, -0.018],
        ]
    )
    at = np.concatenate(
        [
            np.linspace(-0.93 * shank, -0.22 * shank, 9),
            np.linspace(-0.17 * shank, 0.20 * thigh, 9),
            np.linspace(0.27 * thigh, 1.30 * thigh, 16),
        ]
    )
    carrier = Bend(f"knee_{side}", f"thigh_{side}", f"shank_{side}", at, 0.075)
    return _tube(f"trouser_leg_{side}", "trousers", carrier, np.zeros(len(at)), table, at, outward)


def _sock(side: str, shape: Mapping[str, float]) -> Part:
    r = shape["ankle_circumference"] / ROUND
    at = np.array([-0.035, -0.02, 0.0, 0.04, 0.08])
    table = np.array(
        [
            [-0.04, 0.9 * r, 0.9 * r, 0.8 * r, 0.0],
            [0.0, 1.15 * r, 1.15 * r, 0.95 * r, 0.0],
            [0.09, 1.0 * r, 1.15 * r, 0.95 * r, 0.0],
        ]
    )
    return _tube(f"sock_{side}", "shoes", Bend(f"ankle_{side}", f"shank_{side}", f"foot_{side}", at, 0.04),
                 np.zeros(len(at)), table, at)  # fmt: skip


def _arm(side: str, shape: Mapping[str, float], skeleton: Skeleton) -> Part:
    upper = _distance(skeleton, f"shoulder_{side}", f"elbow_{side}")
    fore = _distance(skeleton, f"elbow_{side}", f"wrist_{side}")
    # The survey's biceps and forearm are measured flexed, so a hanging arm is a little thinner (assumption).
    r_biceps = 0.92 * shape["biceps_circumference"] / ROUND
    r_fore = 0.94 * shape["forearm_circumference"] / ROUND
    r_wrist = shape["wrist_circumference"] / ROUND
    r_elbow = 0.5 * (r_biceps + r_fore) * 0.88
    table = np.array(
        [
            [-1.08 * fore, 0.55 * r_wrist, 0.55 * r_wrist, 0.60 * r_wrist, 0.0],
            [-1.03 * fore, 0.88 * r_wrist, 0.88 * r_wrist, 1.04 * r_wrist, 0.0],
            [-0.90 * fore, 0.90 * r_wrist, 0.90 * r_wrist, 1.06 * r_wrist, 0.0],
            [-0.62 * fore, 0.78 * r_fore, 0.78 * r_fore, 0.80 * r_fore, 0.0],
            [-0.26 * fore, 1.00 * r_fore, 0.98 * r_fore, 1.00 * r_fore, 0.0],
            [0.00 * upper, 0.96 * r_elbow, 0.98 * r_elbow, 1.02 * r_elbow, 0.0],
            [0.22 * upper, 0.92 * r_biceps, 0.90 * r_biceps, 0.88 * r_biceps, 0.0],
            [0.52 * upper, 1.02 * r_biceps, 1.00 * r_biceps, 0.93 * r_biceps, 0.0],
            [0.80 * upper, 0.98 * r_biceps, 0.98 * r_biceps, 0.92 * r_biceps, 0.0],
            [0.95 * upper, 0.70 * r_biceps, 0.70 * r_biceps, 0.70 * r_biceps, 0.0],
        ]
    )
    at = np.concatenate(
        [np.linspace(-1.08, -0.3, 10) * fore, np.linspace(-0.2 * fore, 0.2 * upper, 9),
         np.linspace(0.3, 0.95, 7) * upper]
    )  # fmt: skip
    carrier = Bend(f"elbow_{side}", f"upper_arm_{side}", f"forearm_{side}", at, 0.06)
    return _tube(f"arm_{side}", "skin", carrier, np.zeros(len(at)), table, at)


def _sleeve(side: str, shape: Mapping[str, float], skeleton: Skeleton) -> Part:
    """From a round cap over the shoulder joint to a hem halfway down, hollowed at the hem."""
    upper = _distance(skeleton, f"shoulder_{side}", f"elbow_{side}")
    apart = _distance(skeleton, "shoulder_lead", "shoulder_trail")
    deltoid = max(0.5 * (shape["bideltoid_breadth"] - apart), 0.045) * 0.86 + 0.007
    r = 0.92 * shape["biceps_circumference"] / ROUND
    hem = r + 0.014
    at = np.array([-0.54, -0.56, -0.565, -0.55, -0.5, -0.35, -0.2, -0.08, 0.0]) * upper
    radius = np.array([0.6 * r, 0.98 * r, hem - 0.003, hem, hem, 0.55 * hem + 0.45 * deltoid,
                       0.25 * hem + 0.75 * deltoid, 0.97 * deltoid, deltoid])  # fmt: skip
    cap = np.linspace(0.15, 0.98, 7)
    heights = np.concatenate([at, cap * deltoid])
    radii = np.concatenate([radius, deltoid * np.sqrt(1 - cap**2)])
    sections = outline(radii, radii, 0.96 * radii, 0.96 * radii)
    return loft(f"sleeve_{side}", "shirt", Rigid(f"upper_arm_{side}"), upright_rings(heights, sections), cap_m=0.001)
