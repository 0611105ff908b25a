"""What was given to be read: films, which the detector looks at first, or tracks of whichever detector."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from ...model.films.tracks import Track
from ..delivery.progress import Progress
from ..delivery.terminal import say
from ..delivery.this_command import note_read
from ..detector.environment import found, required
from . import kept_track
from .film_frames import SUFFIXES, Film, open_film
from .film_part import NOT_SET, ByEye, closely, is_long, looked_for, most
from .film_track import detected, track_of
from .panel_pictures import FrameAt
from .track_text import Maker
from .tracks_file import Picture, read_made


@dataclass(frozen=True)
class Given:
    """Films and tracks by view, and how to go about them.

    Attributes:
        names: of files, by view.
        said: of films, where files do not say it.
        detector: its folder, the usual one if not given.
        cache: keep tracks beside their films, and read them there.
        by_eye: by view, frames of address and top that somebody has set.
    """

    names: Mapping[str, str]
    said: Picture
    detector: str | None
    cache: bool
    by_eye: Mapping[str, ByEye] = field(default_factory=dict)

    def __post_init__(self) -> None:
        # All are opened before the detector looks at the first, which takes a while.
        films, read = {}, {}
        for view, name in self.names.items():
            if is_film(name):
                film = open_film(name)
                films[view] = film if self.said.fps is None else film.at_rate(self.said.fps)
                note_read(kept_track.place_of(films[view].path))
            else:
                read[view] = read_made(name, self.said)
        object.__setattr__(self, "_films", films)
        object.__setattr__(self, "_read", read)

    @property
    def films(self) -> Mapping[str, Film]:
        """Those that are films."""
        films: Mapping[str, Film] = self.__dict__["_films"]
        return films

    @property
    def pictures(self) -> dict[str, FrameAt]:
        """By view, what gives the picture of a film at a time of its track."""
        return {view: partial(_picture_at, film) for view, film in self.films.items()}

    def tracks(self) -> tuple[dict[str, Track], dict[str, Maker]]:
        """Their tracks, and who made each.

        Raises:
            TurnstillError: in one sentence, for what is no film or track of one golfer.
        """
        made: dict[str, tuple[Track, Maker]] = dict(self.__dict__["_read"])
        films: dict[str, tuple[Film, str]] = {}
        environment = found(self.detector)
        for view, film in self.films.items():
            seal, kept = kept_track.print_of(film.path), kept_track.place_of(film.path)
            mark = environment.mark if environment else None
            if self.cache and self.said.fps is None and kept_track.is_of(kept, seal, view, mark):
                made[view] = read_made(str(kept), self.said)
                if not is_long(film) or _holds(made[view][0], self._by_eye(view)):
                    continue
            films[view] = film, seal
        if films:
            made |= self._looked_at(films)
        tracks, makers = {view: made[view][0] for view in self.names}, {view: made[view][1] for view in self.names}
        for view, film in self.films.items():
            if makers[view].is_known and makers[view].face == "pose_net":
                say(
                    f"The face was not seen well enough in {film.path.name}, at address or at the top, so the head is "
                    "trusted less; nearer by and in better light tells more."
                )
        return tracks, makers

    def _by_eye(self, view: str) -> ByEye:
        return self.by_eye.get(view, NOT_SET)

    def _looked_at(self, films: Mapping[str, tuple[Film, str]]) -> dict[str, tuple[Track, Maker]]:
        environment = required(self.detector)
        made: dict[str, tuple[Track, Maker]] = {}
        notes: list[str | None] = []
        steps = sum(len(looked_for(film, self._by_eye(view))) + most(film) for view, (film, _) in films.items())
        with Progress(steps, pace="frames") as progress:
            for view, (film, seal) in films.items():
                name = film.path.name
                seek = partial(progress.step, f"looking for the swing in {name}")
                which = closely(film, environment, seek, self._by_eye(view))
                saw = detected(film, environment, partial(progress.step, f"looking at {name}"), which)
                if is_long(film):
                    first, last = film.seconds[[which[0], which[-1]]]
                    notes.append(
                        f"{name} is {film.seconds[-1]:.0f} s long: from {first:.1f} to {last:.1f} s, where its swing "
                        "is, it was looked at closely."
                    )
                track, maker = track_of(film, view, saw, environment.mark)
                made[view] = track, maker
                if self.cache and self.said.fps is None:
                    notes.append(kept_track.keep(kept_track.place_of(film.path), track, maker, seal))
        for note in filter(None, notes):
            say(note)
        return made


def _picture_at(film: Film, seconds: float) -> NDArray[np.uint8]:
    return film.frame_at(film.index_at(seconds))


def _holds(track: Track, by_eye: ByEye) -> bool:
    """Whether a track of a part of a film has the frames that somebody set."""
    after = track.first_frame + track.frames
    return all(frame is None or track.first_frame <= frame < after for frame in by_eye)


def is_film(name: str) -> bool:
    """Whether a file's name is a film's."""
    return Path(name).suffix.lower() in SUFFIXES
