"""Whose face a track has: a detector's at address, gone with what moves with it; else what a detector has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from ...model.arrays import Array, BoolArray
from ...model.errors import TurnstillError
from ...model.films.detector_noise import FaceBy
from ...model.films.film_moments import Moments, find
from ...model.films.film_sides import is_left_handed
from ...model.films.swaps import mended
from ...model.films.tracks import Track

OFTEN = 0.5
"""Of the frames at address, and of those at the top, that the face detector must have seen a face in (our choice)."""
OFTEN_AT_ALL = 0.8
"""Of all frames, where address and top cannot be found."""
LIKE = {"face_detector": 0.15, "pose_net": 0.3}
"""Trunk lengths of some 40 cm: where the face at the top is further from where one of the two has it, it was not the
face that was followed (our choice; on drawn films the one is 4 cm off at most, and the other 6)."""
_FACE = 5
_FRONT, _LEFT, _RIGHT = (0, 1, 2), (0, 1, 3), (0, 2, 4)
"""Nose with both eyes, and with eye and ear of a side."""


def with_face(
    track: Track, view: str, face: Array, confidence: Array, followed: Array | None = None
) -> tuple[Track, FaceBy]:
    """The track with nose, eyes and ears where they are best known, and as well as what they are known.

    Where the face was followed from address to the top, what is seen of it goes from its place at address as it was
    followed. How nose, eyes and ears lie about each other, which tells how the head is turned, stays the face
    detector's; where that saw no face at address or none at the top, they stay as at address, as good as that.
    Where it was not followed it is the face detector's, all or none: pose net and face detector put a face at places of
    their own, so that a film in which one comes after the other would show a head that moves.

    Args:
        track: of a pose net.
        view: which it is.
        face: ``(F, 5, 2)`` pixels by a face detector, NaN where it saw no face.
        confidence: ``(F, 5)``.
        followed: ``(F, 2)`` pixels, its way, counted from anywhere; NaN where it was lost.
    """
    seen = _known(face)
    try:
        moments = find(mended(track, view).track, view)
    except TurnstillError:
        often = bool(seen.mean() >= OFTEN_AT_ALL)
        return (_put(track, face, confidence), "face_detector") if often else (track, "pose_net")
    at_address, at_top = (slice(first, last + 1) for first, last in (moments.address_window, moments.top_window))
    by_detector = [bool(seen[window].mean() >= OFTEN) for window in (at_address, at_top)]
    by_net = track.places[:, :_FACE], track.confidence[:, :_FACE]
    way = None if followed is None else _way(followed, at_address, at_top)
    if way is not None and all(by_detector):
        middle = face[:, _shown(track, view, moments)].mean(axis=1)
        off = middle - np.nanmedian(middle[at_address], axis=0) - way
        if _length(off[at_top]) <= LIKE["face_detector"] * track.torso:
            return _put(track, face - off[:, None], confidence), "followed"
    elif way is not None:
        found, sure = (face, confidence) if by_detector[0] else by_net
        known = _known(found)
        known[: at_address.start] = known[at_address.stop :] = False
        net = by_net[0].mean(axis=1)
        off = net - np.nanmedian(net[at_address], axis=0) - way
        if known.any() and _length(off[at_top]) <= LIKE["pose_net"] * track.torso:
            held, sure = np.median(found[known], axis=0), np.tile(np.median(sure[known], axis=0), (track.frames, 1))
            return _put(track, held + way[:, None], sure), "face_detector"
    return (_put(track, face, confidence), "face_detector") if all(by_detector) else (track, "pose_net")


def _way(followed: Array, at_address: slice, at_top: slice) -> Array | None:
    """``(F, 2)`` pixels that the face has gone since address, or None where it was lost between address and top."""
    lost = np.flatnonzero(~_known(followed[:, None]))
    if ((lost >= at_address.start) & (lost < at_top.stop)).any():
        return None
    # Before and behind it was followed from somewhere else, and nothing is known of it.
    first, last = lost[lost < at_address.start].max(initial=-1), lost[lost >= at_top.stop].min(initial=len(followed))
    way = np.full_like(followed, np.nan)
    way[first + 1 : last] = followed[first + 1 : last]
    return np.asarray(way - np.median(way[at_address], axis=0))


def _shown(track: Track, view: str, moments: Moments) -> Sequence[int]:
    """Which points of the face the camera sees: all from the front, down the line those on the trail side.

    A head that turns takes what is seen of it along, and what is not the other way.
    """
    if view == "face_on":
        return _FRONT
    try:
        return _LEFT if is_left_handed(track, moments, view) else _RIGHT
    except TurnstillError:
        return range(_FACE)


def _length(off: Array) -> float:
    """Pixels of the median of vectors ``(F, 2)``; NaN where none is known."""
    known = off[_known(off[:, None])]
    return float(np.linalg.norm(np.median(known, axis=0))) if len(known) else float("nan")


def _known(places: Array) -> BoolArray:
    """``(F,)`` in which frames all of ``(F, K, 2)`` are known."""
    return np.asarray(np.isfinite(places).all(axis=(1, 2)))


def _put(track: Track, face: Array, confidence: Array) -> Track:
    """A track with another face, where that is known."""
    seen = _known(face)
    places, sure = track.places.copy(), track.confidence.copy()
    places[:, :_FACE] = np.where(seen[:, None, None], face, np.nan)
    sure[:, :_FACE] = np.where(seen[:, None], confidence, 0.0)
    return replace(track, places=places, confidence=sure)
