"""Which joints a camera sees, from the geometry alone.

What the camera sees at a joint's place in the picture is the first surface on the straight line to it. The joint counts
as visible when that surface is its own flesh: no farther before the joint than the flesh there can be thick, with no
air between. Otherwise another part of the body covers it, and it is hidden. So a limb seen lengthways hides the joint
at its far end. What is as thin as a club's shaft hides nothing.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from turnstill.model.arrays import Array

from .landmarks import LANDMARKS, kind

IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

OBLIQUE = 1.5
"""How many half thicknesses of flesh may lie before a visible joint: lines up to about 48 degrees off the straightest
way in (assumption; docs/detector.md says what other values would change)."""
CLOTHES_M = 0.02
"""Cloth and shoes add so much at most, and a gap between two surfaces that is no wider is no air (assumption)."""
THIN_M = 0.02
"""A club's shaft and grip are thinner."""
NOSE_M = 0.01
"""The landmark is the tip of the nose, so only its rounding lies before it (assumption)."""
GIRTHS: Mapping[str, str] = {
    "shoulder": "biceps_circumference",
    "elbow": "forearm_circumference",
    "wrist": "wrist_circumference",
    "knee": "lower_thigh_circumference",
    "ankle": "ankle_circumference",
}


def half_thickness(shape: Mapping[str, Array]) -> Array:
    """``(len(LANDMARKS),)`` metres of flesh between joint and skin, from the body's girths and depths in metres."""
    half = {name: float(shape[girth]) / (2 * np.pi) for name, girth in GIRTHS.items()}
    half["hip"] = float(shape["buttock_depth"]) / 2
    half["nose"] = NOSE_M
    return np.array([half[kind(name)] for name in LANDMARKS])


def crossings(eye: Array, goals: Array, corners: Array) -> tuple[IntArray, Array, Array]:
    """Where lines of sight cross a surface, before and beyond their goals (Möller and Trumbore 1997, from memory).

    Args:
        eye: ``(3,)`` metres, world.
        goals: ``(J, 3)`` metres, world.
        corners: ``(F, 3, 3)`` metres: triangles, counter-clockwise seen from outside.

    Returns:
        tuple: of every crossing the goal's number, how far before the goal it lies in metres (negative beyond), and
        +1 where the line goes in and -1 where it comes out; ordered by goal, then from the eye on.
    """
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    normal = np.cross(first, second)
    from_corner = eye - corners[:, 0]
    height = np.einsum("fk,fk->f", from_corner, normal)
    turned_second, turned_first = np.cross(from_corner, second), np.cross(first, from_corner)
    found = []
    for number, goal in enumerate(goals):
        way = goal - eye
        across = normal @ way
        with np.errstate(divide="ignore", invalid="ignore"):
            share, u, v = -height / across, turned_second @ way / across, turned_first @ way / across
            met = np.flatnonzero((u >= 0) & (v >= 0) & (u + v <= 1) & (share > 0))
        met = met[np.argsort(share[met])]
        before = (1.0 - share[met]) * np.linalg.norm(way)
        found.append((np.full(len(met), number), before, -np.sign(across[met])))
    goal_of, before, inward = (np.concatenate(part) for part in zip(*found, strict=True))
    return goal_of, before, inward


def flesh_before(before: Array, inward: Array) -> float:
    """How much of its own flesh lies before a joint on one line of sight; infinite if something else does.

    Args:
        before: metres before the joint of each crossing, from the eye on.
        inward: +1 where the line goes in there, -1 where it comes out; closed parts may overlap.
    """
    own = 0.0
    for begins, ends in _solid(before, inward):
        apart = ends > CLOTHES_M
        if apart and begins - ends > THIN_M:
            return np.inf
        if not apart:
            own = max(own, begins)
    return own


def _solid(before: Array, inward: Array) -> list[tuple[float, float]]:
    """Where the line runs inside anything before the joint, gaps no wider than clothes' closed."""
    inside, entered = 0.0, np.nan
    runs: list[tuple[float, float]] = []
    for distance, step in zip(before.tolist(), inward.tolist(), strict=True):
        if inside <= 0 < inside + step:
            entered = distance
        elif inside > 0 >= inside + step and entered > 0:
            if runs and runs[-1][1] - entered < CLOTHES_M:
                runs[-1] = runs[-1][0], distance
            else:
                runs.append((entered, distance))
        inside += step
    return runs


def through(eye: Array, goals: Array, corners: Array, half_m: Array) -> Array:
    """``(J,)`` half thicknesses of its own flesh before each joint; infinite where another part covers it.

    A joint is visible where this is ``OBLIQUE`` or less.

    Args:
        eye: ``(3,)`` metres, world: the camera.
        goals: ``(J, 3)`` metres, world: the joints.
        corners: ``(F, 3, 3)`` metres, world: the posed surface's triangles.
        half_m: ``(J,)`` metres, see ``half_thickness``.
    """
    goal_of, before, inward = crossings(eye, goals, corners)
    own = [goal_of == number for number in range(len(goals))]
    metres = np.array([flesh_before(before[one], inward[one]) for one in own])
    return np.asarray(np.maximum(metres - CLOTHES_M, 0.0) / half_m)
