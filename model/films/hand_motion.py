"""How the hands move in a film: how fast, and how high."""

from __future__ import annotations

import numpy as np

from ..arrays import Array
from ..errors import TurnstillError
from .swaps import bridge, medians
from .tracks import KEYPOINTS, Track

SMOOTH = 0.05
"""s to either side, of the parabola through the hands: a top of the backswing is rounder than that (by trying)."""
SPIKE = 0.017
"""s to either side, of the median that takes out single frames gone wrong; none where a frame lasts longer."""


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
    filled, _ = bridge(medians(wrists, round(SPIKE * track.fps)), track.frames)
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
