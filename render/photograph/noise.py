"""Value noise of our own: random numbers on a grid, joined smoothly, that repeat from tile to tile without a seam."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from .sights import Plane

TILE, CELLS = 512, 64
"""Pixels of a tile each way, and random numbers."""


@lru_cache(maxsize=32)
def noise_tile(seed: int, cells: int) -> NDArray[np.float32]:
    """``(TILE, TILE)`` about -1 to 1, mean 0: ``cells`` random numbers each way, joined by cubic curves.

    Made once and kept, since many pictures share a place, which takes a dozen.
    """
    import cv2

    beside = 3
    grid = np.random.default_rng([seed, cells]).uniform(-1, 1, (cells, cells)).astype(np.float32)
    grid = np.pad(grid - grid.mean(), beside, mode="wrap")
    factor = TILE // cells
    fine = cv2.resize(grid, None, fx=factor, fy=factor, interpolation=cv2.INTER_CUBIC)
    edge = beside * factor
    tile: NDArray[np.float32] = fine[edge : edge + TILE, edge : edge + TILE].copy()
    tile.flags.writeable = False
    return tile


def noise(seed: int, x: Plane, y: Plane, cell: float, footprint: Plane | float = 0.0) -> Plane:
    """``(h, w)`` about -1 to 1 at places ``x``, ``y``, in metres or any unit.

    Args:
        seed: the same number, the same noise.
        x: places.
        y: places.
        cell: how far apart the random numbers lie, in the places' unit.
        footprint: how much of the places' unit a pixel takes: what is finer fades out instead of flickering.

    """
    import cv2

    finest, coarsest = (footprint, footprint) if isinstance(footprint, float) else (footprint.min(), footprint.max())
    if finest >= cell:
        return np.zeros_like(x)
    # OpenCV counts places in 16 bits, so they go round the tile first.
    at_x, at_y = (_on_tile(place, cell) for place in (x, y))
    found: Plane = cv2.remap(noise_tile(seed, CELLS), at_x, at_y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_WRAP)
    if coarsest > cell / 2:
        found *= seen_share(cell, footprint)
    return found


def _on_tile(places: Plane, cell: float) -> Plane:
    """``(h, w)`` pixels of the tile, 0 to its end, whose random numbers lie ``cell`` apart."""
    rounds: Plane = places * np.float32(1 / (CELLS * cell))
    rounds -= np.floor(rounds)
    rounds *= np.float32(TILE)
    return rounds


@lru_cache(maxsize=32)
def noise_most(seed: int) -> float:
    """How far off 0 ``noise`` of that seed goes anywhere: between the pixels of its tile it goes straight."""
    return float(np.abs(noise_tile(seed, CELLS)).max())


def wrapped(values: Plane, period: float) -> Plane:
    """``(h, w)`` 0 to the period: the remainder, several times as fast as ``np.mod``."""
    # In one array from step to step, which stays near the processor.
    rest: Plane = values * np.float32(1 / period)
    np.floor(rest, out=rest)
    rest *= np.float32(period)
    return np.subtract(values, rest, out=rest)


def seen_share(size: float, footprint: Plane | float) -> Plane | float:
    """How much of a pattern of that size is left when a pixel takes ``footprint``: all below half of it, none above."""
    if isinstance(footprint, float):
        return 1.0
    share: Plane = 2 * footprint
    share /= np.float32(size)
    np.subtract(2, share, out=share)
    return np.clip(share, 0, 1, out=share)


def scattered(seed: int, i: NDArray[np.int32], j: NDArray[np.int32]) -> Plane:
    """``(h, w)`` -1 to 1: a random number for each whole-numbered place, such as a slab or a brick."""
    table = np.random.default_rng([seed, 977]).uniform(-1, 1, (64, 64)).astype(np.float32)
    numbers: Plane = table[i & 63, j & 63]
    return numbers
