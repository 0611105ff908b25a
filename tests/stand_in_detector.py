"""A detector for tests: it answers what was written beside it, film by film, as the real one would.

It tells the films apart by how bright their first picture is, and counts how often it was asked. It answers picture by
picture as they come, unless the film is told to be ``numbered``: then each says which it is (`numbered`).
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import numpy as np

from turnstill.model.films.tracks import KEYPOINTS, OF_THIRTY_THREE, Track
from turnstill.scenes.detector.environment import NOTE

WORKER = """
import json, sys
from pathlib import Path

here = Path(__file__).parent
told = json.loads((here / "told.json").read_text())
with (here / "asked").open("a") as asked:
    asked.write("film\\n")
size = json.loads(sys.stdin.buffer.readline())
length = size["width"] * size["height"] * 3
print(json.dumps({"detector": "stand-in"}), flush=True)
film, number = None, 0
while len(data := sys.stdin.buffer.read(length)) == length:
    film = film or min(told, key=lambda name: abs(told[name]["brightness"] - sum(data) / length))
    if told[film].get("numbered"):
        place = 3 * (3 * size["width"] + 3)
        number = sum((data[place + 18 * bit] > 127) << bit for bit in range(10))
    if number == told[film].get("dies_at"):
        print("a net was lost", file=sys.stderr)
        raise SystemExit(3)
    if number == told[film].get("mumbles_at"):
        print("no JSON at all", flush=True)
    print(json.dumps(told[film]["answers"][number]), flush=True)
    number += 1
"""


def install(folder: Path, name: str = "stand-in 1") -> str:
    """A whole environment, as far as can be seen."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "stand_in.py").write_text(WORKER)
    note = {"made_by": "turnstill", "whole": True, "python": sys.executable, "detector": name}
    (folder / NOTE).write_text(json.dumps({**note, "worker": str(folder / "stand_in.py")}))
    return str(folder)


def asked(folder: str) -> int:
    """How many films it was shown so far."""
    log = Path(folder) / "asked"
    return len(log.read_text().split()) if log.exists() else 0


def numbered(picture: np.ndarray, number: int) -> np.ndarray:
    """The picture with its number below 1024 in it: squares of six pixels from the upper left, light ones count."""
    out = picture.copy()
    for bit in range(10):
        out[:6, 6 * bit : 6 * bit + 6] = 255 * (number >> bit & 1)
    return out


def tell(folder: str, films: dict[str, dict[str, object]]) -> None:
    """What it answers to each film: its ``brightness`` and the ``answers``."""
    (Path(folder) / "told.json").write_text(json.dumps(films))


def answers(track: Track, *, face: bool = False, other: float | None = None) -> list[dict[str, object]]:
    """A track as answers, its face that of a face detector too where asked; ``other`` is another person's size."""
    size = np.array([track.width, track.height])
    out: list[dict[str, object]] = []
    for frame in range(track.frames):
        seen = track.seen[frame]
        points = np.zeros((33, 3))
        for k, name in enumerate(KEYPOINTS):
            if seen[k]:
                points[OF_THIRTY_THREE[name]] = (*((track.places[frame, k] + 0.5) / size), track.confidence[frame, k])
        own = (track.places[frame, :5] + 0.5) / size
        there = face and bool(np.isfinite(own).all())
        out.append({
            "pose": points.tolist() if seen.any() else None, "face": own.tolist() if there else None,
            "face_confidence": 0.9 if there else 0.0, "other": other,
        })  # fmt: skip
    return out
