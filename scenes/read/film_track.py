"""From a film to a track: the detector looks at its frames, and what it saw is kept beside the film."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.errors import TurnstillError
from ...model.films.even_rate import evenly
from ...model.films.tracks import KEYPOINTS, OF_THIRTY_THREE, Track
from ..detector.environment import Environment
from ..detector.running import FACE_POINTS, POINTS, Picture, answers
from .face_track import with_face
from .film_frames import LONGEST, Film
from .track_text import Maker

LEAST_FOUND = 0.3
"""Of the frames, at least, that a person must be found in (our choice)."""
AS_LARGE, AS_OFTEN = 0.6, 0.5
"""Another person whose trunk is so much of the golfer's in the picture, in so many of the frames where one was looked
for, may be taken for the golfer (our choice)."""
QUICK_LONGEST = 640
"""Pixels of the longer side of pictures of which about where the body is will do."""


@dataclass(frozen=True)
class Detected:
    """What the detector saw in ``F`` frames of a film.

    Attributes:
        frames: their numbers in the film.
        places: ``(F, 17, 2)`` pixels, pixel centres at integers; NaN where nobody was found.
        confidence: ``(F, 17)``.
        face: ``(F, 5, 2)`` pixels, the first five keypoints by the face detector; NaN where it found no face.
        face_confidence: ``(F,)``.
        followed: ``(F, 1, 2)`` pixels, the way of the face by what moves with it; NaN where it was lost.
        others: trunk lengths of another person over the golfer's, where anybody looked.
    """

    frames: range
    places: Array
    confidence: Array
    face: Array
    face_confidence: Array
    followed: Array
    others: Array


def detected(
    film: Film,
    environment: Environment,
    told: Callable[[], None],
    which: range,
    quick: bool = False,
) -> Detected:
    """Let the detector look at frames.

    Args:
        film: of which film.
        environment: the detector's.
        told: called before each frame.
        which: their numbers.
        quick: about where the body is will do.

    Raises:
        TurnstillError: the film cannot be decoded, or the detector does not answer.
    """
    pictures = film.pictures(QUICK_LONGEST if quick else LONGEST, which)
    first = next(pictures)

    def every() -> Iterator[Picture]:
        told()
        yield first
        for picture in pictures:
            told()
            yield picture

    height, width = first.shape[:2]
    # Kept in arrays made before: small ones that stay between pictures that go would keep the pictures' memory.
    pose, face, sure = np.empty((len(which), POINTS, 3)), np.empty((len(which), FACE_POINTS, 2)), np.empty(len(which))
    followed = np.empty((len(which), 1, 2))
    others, count = [], 0
    for one in answers(environment.python, environment.worker, every(), (width, height), quick):
        pose[count], face[count], sure[count], followed[count] = one.pose, one.face, one.face_confidence, one.followed
        if one.other is not None:
            others.append(one.other)
        count += 1
    size = np.array([film.width, film.height], float)
    body = pose[:count, [OF_THIRTY_THREE[name] for name in KEYPOINTS]]
    return Detected(
        which[:count], body[..., :2] * size - 0.5, np.nan_to_num(body[..., 2]), face[:count] * size - 0.5, sure[:count],
        followed[:count] * size - 0.5, np.array(others),
    )  # fmt: skip


def track_of(film: Film, view: str, saw: Detected, detector: str) -> tuple[Track, Maker]:
    """The golfer's track, and who made it.

    Args:
        film: which.
        view: as which it was given.
        saw: what the detector saw in it.
        detector: its name.

    Raises:
        TurnstillError: nobody is in the film, or more than one.
    """
    seen = np.isfinite(saw.places).all(axis=(1, 2))
    share = float(np.mean(seen))
    if share < LEAST_FOUND:
        raise TurnstillError(
            f"{film.name} shows a person in {share:.0%} of its frames, but must in {LEAST_FOUND:.0%} at least; film "
            "the whole golfer, upright and in good light."
        )
    if saw.others.size and (saw.others >= AS_LARGE).mean() > AS_OFTEN:
        raise TurnstillError(
            f"{film.name} shows two persons of like size, and which of them swings cannot be told; film the golfer "
            "alone, or cut the others off."
        )
    seconds = film.seconds[saw.frames.start : saw.frames.stop]
    every = np.concatenate([saw.places, saw.face, saw.followed], axis=1)
    sure = np.concatenate([saw.confidence, np.repeat(saw.face_confidence[:, None], FACE_POINTS + 1, axis=1)], axis=1)
    places, confidence, rate = evenly(every, np.clip(sure, 0.0, 1.0), seconds)
    body, head = slice(0, len(KEYPOINTS)), slice(len(KEYPOINTS), -1)
    track = Track(places[:, body], np.where(np.isfinite(places[:, body, 0]), confidence[:, body], 0.0),
                  film.width, film.height, rate, round(float(seconds[0]) * rate))  # fmt: skip
    track, face = with_face(track, view, places[:, head], confidence[:, head], places[:, -1])
    return track, Maker(detector, face, view)
