"""Address and top of the backswing, found in one film's track by how its hands move.

The top is where high hands turn round, or rest, before their fastest motion (`turning`); address ends where the hands,
still until then, reach a tenth of the backswing's greatest speed. Each film has its own instants. Down the line the
hands first move along the camera's axis, which shows late: there the window of address is taken earlier.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from ..arrays import Array, BoolArray
from ..errors import TurnstillError
from .hand_motion import hand_rows, hand_speed
from .tracks import Track
from .turning import Turning, turning

STILL = 0.1
"""Of the backswing's greatest hand speed: address ends there."""
LOW = 0.3
"""Of the way from the lowest hands to the highest: at address they are no higher."""
ADDRESS_LASTS = 0.35
"""s of address that are looked at, at most."""
BEFORE = {"face_on": 0.08, "down_the_line": 0.30}
"""s before the hands are seen to move at which address is surely over: they show 200 ms late down the line, up to 320
(measured on simulated films), and the body may start before the hands."""
ADDRESS_SD = {"face_on": 0.035, "down_the_line": 0.07}
"""s, of the end of address so found (measured on simulated films; down the line it is late besides)."""
AROUND_TOP = (0.08, 0.05)
"""s before and after the top in which the body hardly moves: of a backswing of 0.9 s 2.3 % is still to go at the one,
of a way down of a quarter 3 % is gone at the other, as simulated. Where hands rest, all of the rest before is
taken."""
LONGEST_BACKSWING = 2.5
"""s from takeaway to top, at most (a good second is usual; common practice)."""
SHORTEST_BACKSWING = 0.35
SWING_DOWN = (0.06, 0.8)
"""s from the top to the hands' fastest motion, at least and at most (a quarter is usual; common practice; down the line
hands are fastest in the picture after 0.10 s already, as simulated)."""
LEAST_SPEED = 3.0
"""Torso lengths a second that hands are at least as fast in a swing: 1.5 m/s (assumption; they reach 6 to 10)."""
HIGH = 0.6
"""Of the way from low hands to the highest: at the top they are higher."""
SHORT = 0.06
"""s: hands that are high, or are lost, for no longer are not counted (by trying)."""
UNSEEN_SD = 0.1
"""s, of a top where the wrists are hardly seen about it (our choice)."""
SD_OF_METHOD = 0.015
"""s: hands and body do not turn round at the same instant as seen by the camera (by trying, on simulated films)."""
VIEWS = ("face_on", "down_the_line")


@dataclass(frozen=True)
class Moments:
    """Instants of one film, in frames from its track's first; whole numbers are frames, parts of them lie between.

    Attributes:
        address: last frame of address.
        top: of the backswing.
        address_sd, top_sd: s.
        address_window, top_window: first and last frame in which the golfer is taken to be there.
        fastest: when the hands are fastest after the top; NaN where they are not seen there.
    """

    address: float
    top: float
    address_sd: float
    top_sd: float
    address_window: tuple[int, int]
    top_window: tuple[int, int]
    fastest: float


def find(track: Track, view: str, address_frame: float | None = None, top_frame: float | None = None) -> Moments:
    """Address and top of a track whose left and right are put right.

    Args:
        track: of one film.
        view: of ``VIEWS``.
        address_frame: the last frame of address, if somebody has looked.
        top_frame: the top, likewise.

    Raises:
        TurnstillError: there is no backswing to be found, or the frames given are not in that order in the film.
    """
    speed = hand_speed(track)
    _check_given(track, address_frame, top_frame)
    if top_frame is None:
        turned = _top(track, speed)
        top, top_sd = turned.top * track.fps, float(np.hypot(turned.top_sd, SD_OF_METHOD))
        # Of a rest, what surely is one; hips may leave it before the hands do.
        begin = turned.arrive + turned.arrive_sd
    else:
        top, top_sd, begin = float(top_frame), 0.5 / track.fps, np.inf
    if address_frame is None:
        address, address_sd = _takeaway(track, speed, round(top), view)
    else:
        address, address_sd = float(address_frame), 0.5 / track.fps
    if not address < top:
        raise TurnstillError(
            f"Address at frame {address:.0f} does not come before the top at frame {top:.0f}; set both frames by eye."
        )
    back = (top - address) / track.fps
    if address_frame is None and not SHORTEST_BACKSWING <= back <= LONGEST_BACKSWING:
        raise TurnstillError(
            f"The backswing takes {back:.2f} s by {track.fps:g} frames a second, but must take {SHORTEST_BACKSWING:g} "
            f"to {LONGEST_BACKSWING:g} s; give the frames a second at which the camera filmed, or set the frame of "
            "address by eye."
        )
    late = 0.0 if address_frame is not None else BEFORE[view]
    last = max(0, int(np.floor(address - late * track.fps)))
    first = max(0, last - int(ADDRESS_LASTS * track.fps))
    middle = round(top)
    near = int(np.ceil(min(top - AROUND_TOP[0] * track.fps, begin * track.fps)))
    until = int(np.floor(top + AROUND_TOP[1] * track.fps))
    return Moments(
        address, top, address_sd, top_sd, (first, last),
        (max(last + 1, min(near, middle)), min(track.frames - 1, max(until, middle))), _fastest_after(speed, middle),
    )  # fmt: skip


def _fastest_after(speed: Array, top: int) -> float:
    after = speed[top:]
    return float(top + np.nanargmax(after)) if np.isfinite(after).any() else float("nan")


def _check_given(track: Track, address: float | None, top: float | None) -> None:
    for name, frame in (("address", address), ("top", top)):
        if frame is not None and not 0 <= frame <= track.frames - 1:
            first = track.first_frame
            raise TurnstillError(
                f"The frame of {name} was {frame + first:g}, but the film has frames {first} to "
                f"{first + track.frames - 1}; give one of them."
            )


def _top(track: Track, speed: Array) -> Turning:
    """When the hands turn round before they are fastest."""
    fastest = int(np.nanargmax(np.where(np.isfinite(speed), speed, -1.0)))
    if not speed[fastest] >= LEAST_SPEED:
        raise TurnstillError(
            "The hands are never as fast as in a swing; the film must go on until the ball is hit, and its frames a "
            "second must be the camera's."
        )
    height = -hand_rows(track)
    before = height[: fastest + 1]
    low, high = np.nanpercentile(before, 10.0), np.nanmax(before)
    runs = _runs(np.asarray(before > low + HIGH * (high - low)), SHORT * track.fps)
    if high - low < 0.5 * track.torso or not runs or runs[-1][0] == 0:
        raise TurnstillError(
            "Before the hands' fastest motion there is no backswing to be seen; film from before the takeaway to after "
            "the ball is hit, one swing a film."
        )
    first, last = runs[-1]
    turned = turning(track, first, last, fastest)
    if turned is None:
        slowest = (first + int(np.nanargmin(speed[first : last + 1]))) / track.fps
        turned = Turning(slowest, UNSEEN_SD, slowest, UNSEEN_SD, slowest)
    down = fastest / track.fps - turned.leave
    if not SWING_DOWN[0] <= down <= SWING_DOWN[1]:
        raise TurnstillError(
            f"From the top to the hands' fastest motion it takes {down:.2f} s by {track.fps:g} frames a second, but "
            f"golfers take {SWING_DOWN[0]:g} to {SWING_DOWN[1]:g} s; give the frames a second at which the camera "
            "filmed."
        )
    return turned


def _takeaway(track: Track, speed: Array, top: int, view: str) -> tuple[float, float]:
    """The last frame of address, and its standard deviation in s."""
    start = max(0, top - int(LONGEST_BACKSWING * track.fps))
    back = speed[start : top + 1]
    if back.size < 3 or not np.isfinite(back).any():
        raise TurnstillError("The film begins at the top; film from before the takeaway.")
    peak = int(np.nanargmax(np.where(np.isfinite(back), back, -1.0)))
    # Hands at address are low; down the line they may also stand still in the picture half way up.
    rows = hand_rows(track)[start : top + 1]
    low = ~(rows < np.nanmax(rows) - LOW * (np.nanmax(rows) - np.nanmin(rows)))
    still = np.flatnonzero(~(back[: peak + 1] >= STILL * back[peak]) & low[: peak + 1])
    if not still.size:
        raise TurnstillError(
            "The hands move from the film's first frame on, so address is not in it; start filming before the "
            "takeaway, or set the frame of address by eye."
        )
    return float(start + still[-1]), ADDRESS_SD[view]


def _runs(inside: BoolArray, short: float) -> list[tuple[int, int]]:
    """First and last frame of every run of truth of at least two frames and ``short`` of them, over gaps no longer."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], inside, [False]]).astype(int)))
    runs: list[tuple[int, int]] = []
    for begin, end in list(pairwise(edges.tolist()))[::2]:
        joined = bool(runs) and begin - runs[-1][1] - 1 <= short
        runs[-1:] = [(runs[-1][0], end - 1)] if joined else [*runs[-1:], (begin, end - 1)]
    return [(begin, end) for begin, end in runs if end - begin + 1 >= max(2.0, short)]
