"""How the hands move in a film: how fast, how high, and when they turn round."""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from ..errors import TurnstillError
from .swaps import bridge, medians
from .tracks import KEYPOINTS, Track

SMOOTH = 0.05
"""s to either side, of the parabola through the hands: a top of the backswing is rounder than that (by trying)."""
BEFORE_TURN, AFTER_TURN = 0.16, 0.11
"""s of hands before and after the top that say when they turned round (by trying; a downswing is the shorter)."""
GRID = 0.08
"""s to either side of the slowest frame in which that is looked for."""


def hand_speed(track: Track) -> Array:
    """Speed of the hands ``(F,)``, torso lengths a second.

    A parabola through each wrist in a short window; of both wrists where both are seen.

    Raises:
        TurnstillError: wrists are hardly ever seen.
    """
    wrists = track.places[:, [KEYPOINTS.index("left_wrist"), KEYPOINTS.index("right_wrist")]] / track.torso
    if np.isfinite(wrists).all(axis=-1).any(axis=-1).mean() < 0.2:
        raise TurnstillError(
            "The wrists are seen in less than a fifth of the frames, so the swing's moments cannot be found; film the "
            "whole golfer, or set the frames of address and top by eye."
        )
    smooth = medians(wrists, 1) if track.fps >= 50.0 else wrists
    filled, _ = bridge(smooth, track.frames)
    half = max(2, round(SMOOTH * track.fps))
    lag = np.arange(-half, half + 1)
    slope = lag / (lag**2).sum()  # Of the parabola at its middle (Savitzky & Golay 1964, Anal. Chem. 36:1627-1639).
    padded = np.pad(filled, [(half, half), (0, 0), (0, 0)], mode="edge")
    windows = np.lib.stride_tricks.sliding_window_view(padded, lag.size, axis=0)
    velocity = windows @ slope * track.fps
    some = np.isfinite(velocity).all(axis=-1).any(axis=-1)
    speed = np.full(track.frames, np.nan)
    speed[some] = np.linalg.norm(np.nanmean(velocity[some], axis=1), axis=-1)
    return speed


def hand_rows(track: Track) -> Array:
    """``(F,)`` pixels down the picture of the hands, gaps bridged."""
    wrists = track.places[:, [KEYPOINTS.index("left_wrist"), KEYPOINTS.index("right_wrist")]]
    filled, _ = bridge(wrists, track.frames)
    smooth = medians(filled, max(1, round(0.03 * track.fps)))[..., 1]
    some = np.isfinite(smooth).any(axis=1)
    rows = np.full(track.frames, np.nan)
    rows[some] = np.nanmean(smooth[some], axis=1)
    return rows


def turning(track: Track, rough: int) -> tuple[float, float]:
    """When the hands turn round near a frame, in frames, and its standard deviation in s, by the detector's noise.

    Before and after they go by accelerations of their own, ``a t^2 + b t^3`` from where they are at rest; of instants
    on a fine grid the one that leaves the least is taken, each being a linear problem.
    """
    frames = np.arange(
        max(0, rough - int(np.ceil(BEFORE_TURN * track.fps))),
        min(track.frames, rough + int(np.ceil(AFTER_TURN * track.fps)) + 1),
    )
    wrists = track.places[frames][:, [KEYPOINTS.index("left_wrist"), KEYPOINTS.index("right_wrist")]]
    grid = rough + np.linspace(-GRID, GRID, 65) * track.fps
    left, count = np.zeros(grid.size), 0
    for wrist in wrists.swapaxes(0, 1):
        known = np.isfinite(wrist).all(axis=-1)
        if known.sum() < 7:
            continue
        t = (frames[known] - grid[:, None]) / track.fps
        early, late = np.minimum(t, 0.0), np.maximum(t, 0.0)
        basis = np.stack([np.ones_like(t), early**2, early**3, late**2, late**3], axis=-1) / [
            1.0,
            1e-2,
            1e-3,
            1e-2,
            1e-3,
        ]
        solved = np.linalg.pinv(basis, rcond=1e-6) @ wrist[known]
        left += ((wrist[known] - basis @ solved) ** 2).sum(axis=(-2, -1))
        count += 2 * int(known.sum()) - 10
    if count <= 0:
        return float(rough), 1.0 / track.fps
    best = int(np.argmin(left))
    variance = left[best] / count
    # What is left over grows by one variance at one standard deviation: from the mean of the profile's likelihood.
    weight = np.exp(-0.5 * (left - left[best]) / max(variance, 1e-12))
    mean = float((weight * grid).sum() / weight.sum())
    spread = float(np.sqrt((weight * (grid - mean) ** 2).sum() / weight.sum()))
    return mean, spread / track.fps
