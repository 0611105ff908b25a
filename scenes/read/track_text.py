"""Tracks as CSV, as this program keeps what its detector saw: the first line says who made them and of which film."""

from __future__ import annotations

import re
from dataclasses import dataclass

from ...model.films.detector_noise import KNOWN
from ...model.films.tracks import Track
from ..film.track_csv import track_csv

_SETTINGS = "width|height|fps|detector|face|view|film"
FIRST = re.compile(rf"#((?:\s*(?:{_SETTINGS})\s*=\s*[^\s,]+\s*,?)+)\s*")
SETTING = re.compile(rf"({_SETTINGS})\s*=\s*([^\s,]+)")
FACE, POSE = "face-detector", "pose-net"


@dataclass(frozen=True)
class Maker:
    """Who made a track.

    Attributes:
        detector: its name and version; None where nobody says.
        by_face: whether nose, eyes and ears come from a face detector.
        view: as which film it was made.
    """

    detector: str | None = None
    by_face: bool = False
    view: str | None = None

    @property
    def is_known(self) -> bool:
        """Whether the detector's habits were measured."""
        return self.name in KNOWN

    @property
    def name(self) -> str:
        """The detector's, without its version."""
        return (self.detector or "").partition("-")[0]


def settings_of(line: str) -> dict[str, str] | None:
    """What a first line says; None where it is none."""
    match = FIRST.fullmatch(line.strip())
    return None if match is None else dict(SETTING.findall(match[1]))


def maker_of(told: dict[str, str]) -> Maker:
    """Who made it, by the first line."""
    return Maker(told.get("detector"), told.get("face") == FACE, told.get("view"))


def text_of(track: Track, maker: Maker, film: str) -> str:
    """The whole file; ``film`` is the print of the film it was made of."""
    first, rest = track_csv(track).split("\n", 1)
    face = FACE if maker.by_face else POSE
    return f"{first} detector={maker.detector} face={face} view={maker.view} film={film}\n{rest}"
