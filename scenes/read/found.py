"""From tracks of one or two films to a diagnosis: moments found, the chain fitted, its readings handed on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ...model.errors import TurnstillError
from ...model.films.detector_noise import KNOWN, FaceBy
from ...model.films.film_moments import VIEWS, Moments, find
from ...model.films.film_noise import FACE_DRAGGED, FilmNoise
from ...model.films.film_problem import Seen
from ...model.films.film_reading import Reading as FilmReading
from ...model.films.film_sides import IN_WORDS, check_view, is_left_handed
from ...model.films.filmed_golfer import Known
from ...model.films.one_golfer import DOUBTFUL, NEVER, apart
from ...model.films.one_person import of_one_person
from ...model.films.swaps import Mended, mended
from ...model.films.tracks import Track
from ..diagnose.found import Diagnosed
from .as_diagnosed import as_diagnosed, settings_of
from .by_hand import ByHand
from .labelling import fitted
from .track_text import Maker

LEAST_CONFIDENCE = 0.2
"""A detection that its detector trusts less is taken as missing (our choice)."""
LEAST_SEEN = 0.3
"""Of a film's detections, at least (our choice): a film with fewer is not read."""


@dataclass(frozen=True)
class Film:
    """One film as it was read.

    Attributes:
        view: of ``VIEWS``.
        track: as the detector has it.
        mended: left and right put right, for a right-hander.
        moments: address and top.
        by_eye: whether somebody set the frames of address and top.
    """

    view: str
    track: Track
    mended: Mended
    moments: Moments
    by_eye: tuple[bool, bool]


@dataclass(frozen=True)
class FilmsRead:
    """Films and what they say.

    Attributes:
        films: by view, those there are.
        left_handed: whose mirror image was fitted.
        handedness_said: whether somebody said so; else it was found.
        stature_said: whether the stature was given.
        seen: what was fitted, of one swing, as of a right-hander.
        reading: what it says.
        apart: how much less probable two films are of one golfer than of two; None of one film.
        diagnosed: as of ``turnstill diagnose``, at the top, and of impact where somebody read it.
        settings: the golfer as fitted, to the millimetre and tenth of a degree, as ``--set`` would say it.
    """

    films: Mapping[str, Film]
    left_handed: bool
    handedness_said: bool
    stature_said: bool
    seen: Seen
    reading: FilmReading
    apart: float | None
    diagnosed: tuple[Diagnosed, ...]
    settings: tuple[str, ...]

    @property
    def hardly_together(self) -> bool:
        """Whether films of one golfer are seldom so unlike."""
        return self.apart is not None and self.apart > DOUBTFUL


def films_read(
    tracks: Mapping[str, Track],
    *,
    stature_m: float | None,
    female: bool,
    left_handed: bool | None,
    frames: Mapping[str, tuple[float | None, float | None]],
    face_detector: bool = False,
    makers: Mapping[str, Maker] | None = None,
    by_hand: ByHand | None = None,
) -> FilmsRead:
    """Read films of one golfer.

    Args:
        tracks: by view, one or both of ``VIEWS``.
        stature_m: of the golfer, if it is known.
        female: whose average proportions.
        left_handed: which way the golfer swings; found if nobody says.
        frames: by view, those of address and top that somebody set by eye.
        face_detector: whether nose, eyes and ears come from one, which hardly errs.
        makers: by view, who made the tracks, where that is known.
        by_hand: what somebody read at impact.

    Raises:
        TurnstillError: films that are of something else, or cannot be read.
    """
    tracks = {view: track.trusted(LEAST_CONFIDENCE) for view, track in tracks.items()}
    right = {view: _mended(view, track) for view, track in tracks.items()}
    found = {view: _moments(view, one.track, *frames.get(view, (None, None))) for view, one in right.items()}
    hand = left_handed if left_handed is not None else _hand(right, found)
    if hand:
        right = {view: _mended(view, track.mirrored()) for view, track in tracks.items()}
    known = Known(np.array([np.nan if stature_m is None else stature_m]), np.array([float(female)]))
    noise = _noise(makers or {}, face_detector)
    shown, seen, reading = fitted(known, right, found, noise)
    if not reading.of_a_golfer[0]:
        raise TurnstillError(
            "No golfer's backswing shows such tracks "
            f"(chi-squared {reading.fitted.misfit[0]:.0f} of {reading.fitted.seen[0]:.0f} coordinates); check that the "
            "films are of one golfer and one swing, which view is which, that neither is mirrored, and the detector's "
            "names of left and right."
        )
    # A detector whose habits were measured errs too much for that: on drawn films it told nothing.
    held = len(right) == len(VIEWS) and not any(noise.known)
    unlike = float(apart(known, seen, reading.fitted, noise)[0]) if held else None
    if unlike is not None and unlike > NEVER:
        raise TurnstillError(
            "The two films are not of one golfer's same kind of swing: each for itself could be somebody's, both "
            "together hardly; check that both show the same golfer, or read one of them alone."
        )
    films = {
        view: Film(view, tracks[view], shown[view], found[view], _by_eye(frames.get(view, (None, None))))
        for view in tracks
    }
    return FilmsRead(
        films, hand, left_handed is not None, stature_m is not None, seen, reading, unlike,
        as_diagnosed(known, reading, female, hand, by_hand or ByHand()), tuple(settings_of(reading, female, hand, 1)),
    )  # fmt: skip


def _noise(makers: Mapping[str, Maker], face_detector: bool) -> FilmNoise:
    """How far the detectors are off, whichever they are."""
    by = [makers.get(view, Maker()) for view in VIEWS]
    known = [KNOWN.get(one.name, (None, None))[view] for view, one in enumerate(by)]
    faces: list[FaceBy] = ["face_detector" if face_detector and one.face == "pose_net" else one.face for one in by]
    return FilmNoise(
        dragged=0.0 if face_detector else FACE_DRAGGED,
        known=(known[0], known[1]),
        face=(faces[0], faces[1]),
    )


def _mended(view: str, track: Track) -> Mended:
    try:
        result = mended(of_one_person(track), view)
    except TurnstillError as wrong:
        raise TurnstillError(f"The film {IN_WORDS[view]}: {wrong}") from None
    if 1.0 - result.missing < LEAST_SEEN:
        raise TurnstillError(
            f"The film {IN_WORDS[view]} shows {1.0 - result.missing:.0%} of the keypoints, but {LEAST_SEEN:.0%} at "
            "least are needed; film the whole golfer in good light, or use another detector."
        )
    return result


def _moments(view: str, track: Track, address: float | None, top: float | None) -> Moments:
    first = track.first_frame
    try:
        moments = find(track, view, None if address is None else address - first, None if top is None else top - first)
        check_view(track, moments, view)
    except TurnstillError as wrong:
        raise TurnstillError(f"The film {IN_WORDS[view]}: {wrong}") from None
    return moments


def _hand(right: Mapping[str, Mended], moments: Mapping[str, Moments]) -> bool:
    """Whether the golfer swings left-handed, by all films alike."""
    hands = {view: is_left_handed(one.track, moments[view], view) for view, one in right.items()}
    if len(set(hands.values())) > 1:
        told = " and ".join(
            f"the film {IN_WORDS[view]} a {'left' if hand else 'right'}-hander" for view, hand in hands.items()
        )
        raise TurnstillError(
            f"The films do not go together: {told}; one of them is mirrored, or of somebody else. Save it as the "
            "camera made it."
        )
    return next(iter(hands.values()))


def _by_eye(frames: tuple[float | None, float | None]) -> tuple[bool, bool]:
    return frames[0] is not None, frames[1] is not None
