"""Tracks as CSV, as this program keeps what its detector saw: the first line says who made them and of which film."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from ...model.films.tracks import KEYPOINTS, Track

COLUMNS = ("frame", "keypoint", "x", "y", "confidence")
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


def settings_of(line: str) -> dict[str, str] | None:
    """What a first line says; None where it is none."""
    match = FIRST.fullmatch(line.strip())
    return None if match is None else dict(SETTING.findall(match[1]))


def maker_of(told: dict[str, str]) -> Maker:
    """Who made it, by the first line."""
    return Maker(told.get("detector"), told.get("face") == FACE, told.get("view"))


def text_of(track: Track, maker: Maker, film: str) -> str:
    """The whole file; ``film`` is the print of the film it was made of."""
    first = (
        f"# width={track.width} height={track.height} fps={track.fps:.9g} detector={maker.detector} "
        f"face={FACE if maker.by_face else POSE} view={maker.view} film={film}"
    )
    rows = [first, ",".join(COLUMNS)]
    for frame, which in np.argwhere(track.seen):
        x, y = track.places[frame, which]
        rows.append(f"{frame},{KEYPOINTS[which]},{x:.2f},{y:.2f},{track.confidence[frame, which]:.3f}")
    return "\n".join(rows) + "\n"
