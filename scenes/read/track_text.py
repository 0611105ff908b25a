"""Tracks as CSV, as this program keeps what its detector saw: the first line says who made them and of which film."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from ...model.films.detector_noise import KNOWN, FaceBy
from ...model.films.tracks import Track
from ..film.track_csv import track_csv

_SETTINGS = "width|height|fps|detector|face|view|film"
FIRST = re.compile(rf"#((?:\s*(?:{_SETTINGS})\s*=\s*[^\s,]+\s*,?)+)\s*")
SETTING = re.compile(rf"({_SETTINGS})\s*=\s*([^\s,]+)")
FACES: Mapping[str, FaceBy] = {"pose-net": "pose_net", "face-detector": "face_detector", "followed": "followed"}


@dataclass(frozen=True)
class Maker:
    """Who made a track.

    Attributes:
        detector: its name and version; None where nobody says.
        face: what says where nose, eyes and ears are.
        view: as which film it was made.
    """

    detector: str | None = None
    face: FaceBy = "pose_net"
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
    return Maker(told.get("detector"), FACES.get(told.get("face", ""), "pose_net"), told.get("view"))


def text_of(track: Track, maker: Maker, film: str) -> str:
    """The whole file; ``film`` is the print of the film it was made of."""
    first, rest = track_csv(track).split("\n", 1)
    face = next(word for word, by in FACES.items() if by == maker.face)
    return f"{first} detector={maker.detector} face={face} view={maker.view} film={film}\n{rest}"
