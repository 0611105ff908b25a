"""The clothed trunk: trousers' seat, belt, shirt along the spine, and the shoulders' yoke."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..model.arrays import Array
from ..model.skeleton import Skeleton
from .carriers import Rigid, ShoulderLine, Spine
from .solids import Part, ellipsoid, loft, outline, smooth_table, upright_rings

CLOTH_M = 0.007
"""How far a shirt stands off the skin (assumption)."""


def trunk_parts(shape: Mapping[str, float], skeleton: Skeleton) -> list[Part]:
    """Every part of the trunk.

    Args:
        shape: breadths, depths and circumferences of the body, metres.
        skeleton: one moment, for the distances between joints.

    """
    return [*_seat_and_belt(shape, skeleton), _shirt(shape, skeleton), _yoke(shape, skeleton)]


def _seat_and_belt(shape: Mapping[str, float], skeleton: Skeleton) -> list[Part]:
    hip, depth = shape["hip_breadth"] / 2 + CLOTH_M, shape["buttock_depth"]
    waist, waist_depth = shape["waist_breadth"] / 2 + CLOTH_M, shape["waist_depth"]
    in_pelvis = skeleton.frames["pelvis"].T @ (skeleton.joints["lumbosacral"] - skeleton.joints["pelvis"])
    top = float(in_pelvis[2]) + 0.012
    # Height in parts of the way to the belt; half axes in metres (drawn by eye over the measured breadths).
    table = np.array(
        [
            # z      front          back           half breadth
            [-0.92, 0.12 * depth, 0.18 * depth, 0.16 * hip],
            [-0.76, 0.24 * depth, 0.36 * depth, 0.48 * hip],
            [-0.45, 0.36 * depth, 0.50 * depth, 0.83 * hip],
            [-0.08, 0.425 * depth, 0.555 * depth, 0.965 * hip],
            [0.25, 0.455 * depth, 0.56 * depth, 1.005 * hip],
            [0.65, 0.46 * depth, 0.51 * depth, 0.5 * (0.97 * hip + 0.96 * waist)],
            [1.00, 0.49 * waist_depth + 0.01, 0.475 * waist_depth + 0.01, 0.955 * waist],
        ]
    )
    at = np.linspace(-0.92, 1.0, 16)
    profile = smooth_table(table[:, 0], table[:, 1:], at)
    sections = outline(profile[:, 0], profile[:, 1], profile[:, 2], profile[:, 2], 2.25)
    carrier = Rigid("pelvis")
    seat = loft("seat", "trousers", carrier, upright_rings(at * top, sections), cap_m=0.004)
    z = top + np.array([-0.036, -0.033, -0.003, 0.0])
    grow = np.array([0.001, 0.0045, 0.0045, 0.001])
    last = profile[-1]
    band = outline(last[0] + grow, last[1] + grow, last[2] + grow, last[2] + grow, 2.25)
    belt = loft("belt", "belt", carrier, upright_rings(z, band))
    buckle = ellipsoid("buckle", "buckle", carrier, [last[0] + 0.003, 0.0, top - 0.018], [0.007, 0.026, 0.019])
    return [seat, belt, buckle]


def _shirt(shape: Mapping[str, float], skeleton: Skeleton) -> Part:
    chest, chest_depth = shape["chest_breadth"] / 2, shape["chest_depth"]
    waist, waist_depth = shape["waist_breadth"] / 2, shape["waist_depth"]
    neck = shape["neck_circumference"] / (2 * np.pi)
    wide = max(chest, 0.92 * waist) + 0.012  # Over the broad back muscles, wider than the chest alone.
    # Rows: way up the spine, front and back reach from the spine's centre, half breadth. The spine lies
    # close to the back, hence the small back reach; chest depth is the sum of both at 0.62 (by eye).
    table = np.array(
        [
            [-0.10, 0.45 * waist_depth, 0.20 * waist_depth, 0.75 * waist],
            [0.00, 0.60 * waist_depth, 0.29 * waist_depth, 0.92 * waist],
            [0.06, 0.69 * waist_depth, 0.31 * waist_depth, 0.965 * waist],
            [0.12, 0.71 * waist_depth, 0.31 * waist_depth, 0.99 * waist],
            [0.22, 0.71 * waist_depth, 0.30 * waist_depth, 0.98 * waist],
            [0.40, 0.70 * chest_depth, 0.285 * chest_depth, 0.5 * (0.96 * waist + wide)],
            [0.62, 0.71 * chest_depth, 0.30 * chest_depth, wide],
            [0.75, 0.65 * chest_depth, 0.30 * chest_depth, 1.04 * wide],
            [0.86, 0.50 * chest_depth, 0.29 * chest_depth, 1.00 * wide],
            [0.94, 0.35 * chest_depth, 0.25 * chest_depth, 0.74 * wide],
            [1.00, 0.26 * chest_depth, 0.20 * chest_depth, 1.02 * neck],
        ]
    )
    at = np.concatenate([[-0.10], np.linspace(0.0, 1.0, 18)])
    profile = smooth_table(table[:, 0], table[:, 1:], at)
    grown = profile + CLOTH_M
    sections = outline(grown[:, 0], grown[:, 1], grown[:, 2], grown[:, 2], np.linspace(2.3, 2.1, 19))
    spine_length = float(np.linalg.norm(np.diff(skeleton.spine, axis=0), axis=1).sum())
    heights = np.where(np.arange(19) == 0, -0.10 * spine_length, 0.0)
    return loft("shirt", "shirt", Spine(), upright_rings(heights, sections), np.arange(19), cap_m=0.004)


def _yoke(shape: Mapping[str, float], skeleton: Skeleton) -> Part:
    apart = float(np.linalg.norm(skeleton.joints["shoulder_lead"] - skeleton.joints["shoulder_trail"]))
    deltoid = max(0.5 * (shape["bideltoid_breadth"] - apart), 0.045)
    chest_depth = shape["chest_depth"]
    # Round ends centred on the shoulder joints, a flat trapezius slope between them.
    share = np.array([0.0, 0.02, 0.07, 0.14, 0.22, 0.31, 0.40, 0.5, 0.60, 0.69, 0.78, 0.86, 0.93, 0.98, 1.0])
    from_end = np.minimum(share, 1 - share)
    table = np.array(
        [
            # from end, forward, back, up, down
            [0.00, 0.78 * deltoid, 0.78 * deltoid, 0.74 * deltoid, 0.80 * deltoid],
            [0.10, 0.84 * deltoid, 0.82 * deltoid, 0.72 * deltoid, 0.95 * deltoid],
            [0.24, 0.27 * chest_depth, 0.25 * chest_depth, 0.66 * deltoid, 1.05 * deltoid],
            [0.38, 0.22 * chest_depth, 0.22 * chest_depth, 0.60 * deltoid, 1.00 * deltoid],
            [0.50, 0.20 * chest_depth, 0.20 * chest_depth, 0.52 * deltoid, 1.00 * deltoid],
        ]
    )
    grown = smooth_table(table[:, 0], table[:, 1:], from_end) + CLOTH_M
    # The carrier's x is forward and its y down, so "down" takes the lead-side axis of the outline.
    sections = outline(grown[:, 0], grown[:, 1], grown[:, 3], grown[:, 2])
    ribcage = skeleton.frames["ribcage"]
    mid = 0.5 * (skeleton.joints["shoulder_lead"] + skeleton.joints["shoulder_trail"])
    drop = float((ribcage.T @ (mid - skeleton.joints["neck_base"]))[2])
    arch: Array = np.array([0.012, 0.0, 0.55 * drop])
    # Two more rings beyond each shoulder round the ends off.
    beyond = deltoid * np.array([-0.72, -0.5, -0.26])
    shrink = np.sqrt(1 - (beyond / (0.86 * deltoid)) ** 2)[:, None, None]
    rings = upright_rings(np.zeros(len(share)), sections)
    low_end = np.concatenate([sections[:1] * shrink, np.repeat(beyond[:, None, None], sections.shape[1], 1)], -1)
    high_end = low_end[::-1] * np.array([1.0, 1.0, -1.0])
    frame = np.concatenate([[0, 0, 0], np.arange(len(share)), [len(share) - 1] * 3])
    return loft(
        "yoke", "shirt", ShoulderLine(share, arch), np.concatenate([low_end, rings, high_end]), frame,
        cap_m=0.13 * deltoid,
    )  # fmt: skip
