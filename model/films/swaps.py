"""Swaps and gaps: left and right put back where a detector exchanged them, short gaps bridged, long ones told.

Detectors exchange a person's left and right as a whole, for a frame or for a run of frames. Each frame has two
labellings; the cheapest way through them is found by dynamic programming (Viterbi 1967, IEEE Trans. Inf. Theory
13:260-269, from memory): points do not jump from frame to frame, and a labelling as it came is likelier than the other.
Where the view is known, a golfer's left side also lies at the picture's right: feet, knees and hips face-on always, the
shoulders down the line while they are turned back. That holds for left-handers as well, who are mirrored in both.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array, BoolArray
from .tracks import EXCHANGED, KEYPOINTS, Track

STEADY_POINTS = np.array(
    [k for k, name in enumerate(KEYPOINTS) if "_" in name and not name.endswith(("wrist", "elbow", "ear", "eye"))]
)
"""Keypoints with a side that move slowly: shoulders, hips, knees, ankles."""
SWAPPED_BEFORE = 0.3
"""Share of frames believed to be exchanged before anything is seen (assumption: a bad detector's)."""
NOISE = 0.04
"""In torso lengths, how far a detector is off in one frame, one axis: 2 of 50 cm (assumption)."""
FASTEST = 2.0
"""Torso lengths a second that shoulders, hips, knees and ankles move, one sd (assumption: 1 m/s)."""
MOST_COST = 12.0
"""Of one jump, in half squared sds: a point lost for a frame is no proof."""
SIDE_TELLS = 12.0
"""Powers of e that the right side has for a torso length to that side (assumption: noise of 5 cm, twice)..."""
SIDE_TELLS_AT_MOST = 6.0
"""...and at most, for a single frame."""
SQUARE_APART = 0.25
"""Torso lengths that shoulders may be apart to either side down the line before they are turned back: 20 degrees."""
BEFORE_IMPACT = 0.03
"""s before the fastest motion of the hands up to which shoulders are surely not turned on."""
LONGEST_BRIDGE = 0.15
"""s: a gap that is bridged by a straight line; backswings last about a second."""


@dataclass(frozen=True)
class Mended:
    """A track put right.

    Attributes:
        track: with left and right as they are and short gaps bridged.
        exchanged: ``(F,)`` frames in which they were the other way round.
        bridged: ``(F, 17)`` what was filled in.
        missing: share of the detections that are still missing.
    """

    track: Track
    exchanged: BoolArray
    bridged: BoolArray
    missing: float


def mended(track: Track, view: str | None = None) -> Mended:
    """Left and right put back, and short gaps bridged; ``view`` is ``face_on`` or ``down_the_line`` where it is known.

    Raises:
        TurnstillError: shoulders and hips are never seen together.
    """
    exchanged = swapped(track, view)
    right = track.exchanged(exchanged)
    places, bridged = bridge(right.places, max(1, int(LONGEST_BRIDGE * track.fps)))
    filled = right.replace(places)
    return Mended(filled, exchanged, bridged, float(1.0 - filled.seen.mean()))


def swapped(track: Track, view: str | None = None) -> BoolArray:
    """``(F,)`` frames whose left and right were exchanged, by the cheapest way through both labellings.

    Each way remembers where it last saw a point, so that one that is missing in a frame is compared across the gap.
    """
    either = np.stack([track.places, track.places[:, EXCHANGED]], axis=1)[:, :, STEADY_POINTS] / track.torso
    frames = track.frames
    own = np.logaddexp(0.0, _side(track, view)[:, None] * [-1.0, 1.0]) - np.log([1.0 - SWAPPED_BEFORE, SWAPPED_BEFORE])
    cost, before = own[0], np.zeros((frames, 2), dtype=int)
    last, when = either[0], np.zeros((2, STEADY_POINTS.size))
    for k in range(1, frames):
        way = cost[:, None] + _jump(last, either[k], (k - when) / track.fps)
        before[k] = way.argmin(axis=0)
        cost = way.min(axis=0) + own[k]
        seen = np.isfinite(either[k]).all(axis=-1)
        last = np.where(seen[..., None], either[k], last[before[k]])
        when = np.where(seen, float(k), when[before[k]])
    out = np.zeros(frames, dtype=bool)
    state = int(np.argmin(cost))
    for k in range(frames - 1, -1, -1):
        out[k] = bool(state)
        state = int(before[k, state])
    return out


def _side(track: Track, view: str | None) -> Array:
    """``(F,)`` logarithms of how much more probable the labelling as it came is, by which side lies where."""
    kinds = {"face_on": ("ankle", "knee", "hip"), "down_the_line": ("shoulder",)}.get(view or "", ())
    told = np.zeros(track.frames)
    for kind in kinds:
        across = (track.of(f"left_{kind}") - track.of(f"right_{kind}"))[:, 0] / track.torso
        told += np.where(np.isfinite(across), SIDE_TELLS / len(kinds) * across, 0.0)
    if view == "down_the_line":
        told = np.sign(told) * np.maximum(np.abs(told) - SIDE_TELLS * SQUARE_APART, 0.0)
        told[max(0, _fastest(track) - int(BEFORE_IMPACT * track.fps)) :] = 0.0
    return np.clip(told, -SIDE_TELLS_AT_MOST, SIDE_TELLS_AT_MOST)


def _fastest(track: Track) -> int:
    """The frame of the fastest motion of the hands' middle, which no exchange changes; the last if it is never seen."""
    middle = 0.5 * (track.of("left_wrist") + track.of("right_wrist"))[:, None]
    filled, _ = bridge(medians(middle, 1), track.frames)
    apart = max(1, round(0.02 * track.fps))
    speed = np.linalg.norm(filled[2 * apart :, 0] - filled[: -2 * apart, 0], axis=-1)
    return int(np.nanargmax(speed)) + apart if np.isfinite(speed).any() else track.frames


def _jump(earlier: Array, later: Array, seconds: Array) -> Array:
    """Cost ``(2, 2)`` of going from each labelling ``(2, n, 2)``, seen ``(2, n)`` s ago, to each of the next."""
    variance = 2.0 * NOISE**2 + (FASTEST * seconds[:, None]) ** 2
    squares = ((later[None] - earlier[:, None]) ** 2).sum(axis=-1) / variance
    return np.asarray(np.where(np.isfinite(squares), np.minimum(0.5 * squares, MOST_COST), 0.0).sum(axis=-1))


def bridge(places: Array, longest: int) -> tuple[Array, BoolArray]:
    """Gaps of ``longest`` frames at most filled by straight lines: places ``(F, K, 2)`` and what was filled ``(F, K)``.

    What is missing at the beginning or the end stays so.
    """
    filled, seen = places.copy(), np.asarray(np.isfinite(places).all(axis=-1))
    frames = np.arange(len(places))
    for k in range(places.shape[1]):
        known = np.flatnonzero(seen[:, k])
        if known.size < 2:
            continue
        nearest = np.searchsorted(known, frames)
        inside = (nearest > 0) & (nearest < known.size) & ~seen[:, k]
        later, earlier = known[np.minimum(nearest, known.size - 1)], known[np.maximum(nearest - 1, 0)]
        short = inside & (later - earlier - 1 <= longest)
        for axis in range(2):
            filled[short, k, axis] = np.interp(frames[short], known, places[known, k, axis])
    return filled, np.asarray(np.isfinite(filled).all(axis=-1) & ~seen)


def medians(places: Array, half: int) -> Array:
    """Running medians ``(F, K, 2)`` over ``2 half + 1`` frames of what is seen in them; NaN where nothing is."""
    if half < 1:
        return places
    padded = np.pad(places, [(half, half), (0, 0), (0, 0)], constant_values=np.nan)
    windows = np.lib.stride_tricks.sliding_window_view(padded, 2 * half + 1, axis=0)
    ordered = np.sort(windows, axis=-1)  # NaN come last.
    count = np.isfinite(windows).sum(axis=-1)
    low, high = np.maximum(count - 1, 0) // 2, np.minimum(count // 2, 2 * half)
    middle = 0.5 * (
        np.take_along_axis(ordered, low[..., None], axis=-1) + np.take_along_axis(ordered, high[..., None], axis=-1)
    )
    return np.asarray(np.where(count > 0, middle[..., 0], np.nan))
