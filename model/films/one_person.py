"""Whether a track follows one person: where a detector goes over to somebody else, the whole figure jumps.

Middles of pairs are followed, which no exchange of left and right moves. A frame is of the person whose last place is
nearest, if that is near enough for the time between; otherwise it is of somebody new.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array
from ..errors import TurnstillError
from .tracks import Track

JUMP = 0.5
"""Torso lengths between two frames: 25 cm, several times what detectors are off by (our choice)..."""
FASTEST = 2.0
"""...and torso lengths a second besides: shoulders, hips and knees of a golfer go at 1 m/s (assumption)."""
MOST_OTHERS = 0.05
"""Of the frames, at most, may be of somebody else, and are then taken as missing (our choice)."""
MOST_PERSONS = 12
_KINDS = ("shoulder", "hip", "knee", "ankle")


def of_one_person(track: Track) -> Track:
    """The track without those few frames that are of somebody else.

    Raises:
        TurnstillError: more than a few are.
    """
    person = persons(track)
    if np.mean(person > 0) > MOST_OTHERS:
        seen = np.flatnonzero(person >= 0)
        changed = int(seen[np.argmax(person[seen] != person[seen[0]])]) + track.first_frame
        raise TurnstillError(
            f"The track goes from one person to another, first at frame {changed}; film one golfer alone, or leave the "
            "others out of the track."
        )
    return track.replace(np.where((person > 0)[:, None, None], np.nan, track.places))


def persons(track: Track) -> NDArray[np.intp]:
    """``(F,)`` who is seen: 0 whom most frames are of, 1 and on others, -1 where too little is seen to say."""
    middles = np.stack([0.5 * (track.of(f"left_{kind}") + track.of(f"right_{kind}")) for kind in _KINDS], axis=1)
    middles = middles / track.torso
    seen = np.asarray(np.isfinite(middles).all(axis=-1))
    last = np.empty((0, len(_KINDS), 2))
    when = np.empty((0, len(_KINDS)))
    person = np.full(track.frames, -1)
    for frame in np.flatnonzero(seen.sum(axis=1) >= 2):
        here = middles[frame]
        apart = _apart(here, last, (frame - when) / track.fps)
        who = int(apart.argmin()) if apart.size else 0
        if not (apart.size and apart[who] <= 1.0):
            if len(last) == MOST_PERSONS:
                # Nobody moves like that: the last of them takes what is left.
                who = MOST_PERSONS - 1
            else:
                who = len(last)
                last = np.concatenate([last, np.full((1, *here.shape), np.nan)])
                when = np.concatenate([when, np.zeros((1, len(_KINDS)))])
        last[who, seen[frame]], when[who, seen[frame]] = here[seen[frame]], frame
        person[frame] = who
    count = np.bincount(person[person >= 0], minlength=1)
    rank = np.argsort(np.argsort(-count, kind="stable"), kind="stable")
    return np.where(person >= 0, rank[np.maximum(person, 0)], -1)


def _apart(here: Array, there: Array, seconds: Array) -> Array:
    """``(P,)`` how far places ``(4, 2)`` are from those of ``P`` persons ``(P, 4, 2)``, of what may be at most.

    The middle one of those that can be compared counts; where none can, it may be anybody.
    """
    shares = np.linalg.norm(here - there, axis=-1) / (JUMP + FASTEST * seconds)
    known = np.isfinite(shares)
    return np.array([float(np.median(row[one])) if one.any() else 1.0 for row, one in zip(shares, known, strict=True)])
