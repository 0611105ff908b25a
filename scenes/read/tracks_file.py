"""Tracks from files, whichever detector wrote them: CSV, COCO results, arrays."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from ...model.arrays import Array
from ...model.errors import TurnstillError
from ...model.films.tracks import KEYPOINTS, MOST_FRAMES, OF_THIRTY_THREE, Track
from ..delivery.reading import plain_bytes
from ..film.track_csv import COLUMNS
from ..setups.quantities import echo
from .track_text import Maker, maker_of, settings_of

MOST_BYTES = 300_000_000
_FORMATS = "a film (.mp4, .mov), or its track as a CSV file, COCO results (.json) or arrays (.npz)"


@dataclass(frozen=True)
class Picture:
    """What a file does not say of its film, where somebody does.

    Attributes:
        width, height: pixels.
        fps: frames a second; it stands over what the file says.
    """

    width: int | None = None
    height: int | None = None
    fps: float | None = None


def read_track(name: str, said: Picture) -> Track:
    """The track in a file.

    Args:
        name: of the file.
        said: of the film.

    Raises:
        TurnstillError: in one sentence, for anything that is no track of one person.
    """
    path = Path(name)
    try:
        data = plain_bytes(path, name, most=MOST_BYTES, what="track", instead=f"name {_FORMATS}")
    except FileNotFoundError:
        raise TurnstillError(f"There is no file {name}; name {_FORMATS} with a film's keypoints.") from None
    try:
        if path.suffix.lower() == ".npz":
            return _arrays(name, data, said)
        text = data.decode("utf-8-sig")
        return _results(name, text, said) if path.suffix.lower() == ".json" else _table(name, text, said)
    except UnicodeDecodeError:
        raise TurnstillError(f"{name} is no text; name {_FORMATS}.") from None
    except TurnstillError as wrong:
        sentence = str(wrong)
        raise TurnstillError(sentence if name in sentence else f"{name}: {sentence}") from None


def read_made(name: str, said: Picture) -> tuple[Track, Maker]:
    """The track in a file, and who made it where that stands in it; arguments as of `read_track`."""
    track = read_track(name, said)
    if Path(name).suffix.lower() in (".npz", ".json"):
        return track, Maker()
    with Path(name).open(encoding="utf-8-sig") as text:
        return track, maker_of(settings_of(text.readline()) or {})


def _table(name: str, text: str, said: Picture) -> Track:
    first, _, rest = text.partition("\n")
    told = settings_of(first)
    if told is None:
        raise TurnstillError(
            f"{name} must begin with a line such as # width=720 height=1280 fps=60, but begins with {echo(first)}."
        )
    rows = csv.reader(io.StringIO(rest))
    if tuple(cell.strip() for cell in next(rows, [])) != COLUMNS:
        raise TurnstillError(f"{name} must have {','.join(COLUMNS)} as its second line.")
    points: list[tuple[int, int, float, float, float]] = []
    taken: set[tuple[int, int]] = set()
    for number, row in enumerate(rows, 3):
        if not row or not any(cell.strip() for cell in row):
            continue
        if len(row) != len(COLUMNS):
            raise TurnstillError(f"{name}, line {number}: there are {len(row)} values, but must be {len(COLUMNS)}.")
        if row[1].strip() not in KEYPOINTS:
            raise TurnstillError(
                f"{name}, line {number}: there is no keypoint {echo(row[1])}; there are {', '.join(KEYPOINTS)}."
            )
        try:
            frame = int(row[0])
            x, y, confidence = (float(cell) for cell in row[2:])
        except ValueError:
            raise TurnstillError(
                f"{name}, line {number}: frame must be a whole number and x, y and confidence numbers, not "
                f"{echo(','.join(row))}."
            ) from None
        which = KEYPOINTS.index(row[1].strip())
        if (frame, which) in taken:
            raise TurnstillError(
                f"{name}, line {number}: {row[1].strip()} of frame {frame} is there twice; a track is of one person, "
                "so leave the others out."
            )
        taken.add((frame, which))
        points.append((frame, which, x, y, confidence))
    return _track(name, points, told, said)


def _results(name: str, text: str, said: Picture) -> Track:
    try:
        content = json.loads(text)
    except (ValueError, RecursionError):
        raise TurnstillError(f"{name} is no JSON; name {_FORMATS}.") from None
    told: dict[str, Any] = {}
    if isinstance(content, dict):
        told = {key: content[key] for key in ("width", "height", "fps") if key in content}
        content = content.get("results", content.get("annotations"))
    if not isinstance(content, list) or not all(isinstance(one, dict) for one in content):
        raise TurnstillError(
            f"{name} must be a list of COCO results, or have one under results; see docs/film_reading."
        )
    points: list[tuple[int, int, float, float, float]] = []
    taken: set[int] = set()
    for one in content:
        frame, numbers = one.get("image_id"), one.get("keypoints")
        if not isinstance(frame, int) or isinstance(frame, bool) or not isinstance(numbers, list):
            raise TurnstillError(f"{name}: every result must have image_id, the frame's number, and keypoints.")
        if frame in taken:
            raise TurnstillError(f"{name}: frame {frame} has two persons; a track is of one, so leave the others out.")
        taken.add(frame)
        points += [(frame, *point) for point in _points(name, numbers)]
    return _track(name, points, told, said)


def _points(name: str, numbers: list[Any]) -> Iterable[tuple[int, float, float, float]]:
    """Of one person: seventeen keypoints, or thirty-three."""
    if not all(isinstance(value, int | float) and not isinstance(value, bool) for value in numbers):
        raise TurnstillError(f"{name}: keypoints must be numbers: x, y and a confidence each.")
    rows = np.asarray(numbers, float).reshape(-1, 3) if len(numbers) % 3 == 0 else np.empty((0, 3))
    if len(rows) not in (len(KEYPOINTS), 33):
        raise TurnstillError(
            f"{name}: a person has {len(numbers)} numbers, but must have 51 or 99: x, y and confidence."
        )
    order = range(len(KEYPOINTS)) if len(rows) == len(KEYPOINTS) else [OF_THIRTY_THREE[point] for point in KEYPOINTS]
    for which, row in enumerate(order):
        x, y, confidence = rows[row]
        if confidence > 0.0:
            yield which, float(x), float(y), float(min(confidence, 1.0))


def _arrays(name: str, data: bytes, said: Picture) -> Track:
    try:
        with np.load(io.BytesIO(data), allow_pickle=False) as file:
            held = {key: file[key] for key in file.files}
    except (ValueError, OSError, EOFError, zipfile.BadZipFile):
        raise TurnstillError(f"{name} holds no arrays; name {_FORMATS}.") from None
    places = np.asarray(held.get("keypoints", np.empty(0)))
    if places.ndim != 3 or places.shape[1] not in (len(KEYPOINTS), 33) or places.shape[2] not in (2, 3):
        raise TurnstillError(f"{name} must have an array keypoints of shape (frames, 17 or 33, 2 or 3).")
    if places.dtype.kind not in "fiu":
        raise TurnstillError(f"{name}: keypoints must be numbers.")
    if places.shape[1] == 33:
        places = places[:, [OF_THIRTY_THREE[point] for point in KEYPOINTS]]
    told = {key: held[key].item() for key in ("width", "height", "fps") if key in held and held[key].size == 1}
    width, height, fps = _film(name, told, said)
    confidence = np.clip(places[..., 2], 0.0, 1.0) if places.shape[2] == 3 else np.ones(places.shape[:2])
    return _made(np.asarray(places[..., :2], float), np.asarray(confidence, float), width, height, fps, 0)


def _film(name: str, told: dict[str, Any], said: Picture) -> tuple[int, int, float]:
    """Width, height and frames a second."""
    numbers = {}
    for key in ("width", "height", "fps"):
        value = getattr(said, key) if getattr(said, key) is not None else told.get(key)
        if value is None:
            option = "--fps" if key == "fps" else "--size, such as 720x1280"
            raise TurnstillError(f"{name} does not say the film's {key}; give {option}.")
        try:
            numbers[key] = float(value)
        except (TypeError, ValueError):
            raise TurnstillError(f"{name}: {key} was {echo(str(value))}, but must be a number.") from None
        if not np.isfinite(numbers[key]):
            raise TurnstillError(f"{name}: {key} was {value}, but must be a number.")
    return round(numbers["width"]), round(numbers["height"]), numbers["fps"]


def _track(name: str, points: list[tuple[int, int, float, float, float]], told: dict[str, Any], said: Picture) -> Track:
    width, height, fps = _film(name, told, said)
    if not points:
        raise TurnstillError(f"{name} has no person in any frame; film the whole golfer.")
    rows = np.array(points, float)
    first, last = int(rows[:, 0].min()), int(rows[:, 0].max())
    if first < 0 or last - first >= MOST_FRAMES:
        raise TurnstillError(f"{name} has frames {first} to {last}, but must have at most {MOST_FRAMES} from 0 on.")
    places = np.full((last - first + 1, len(KEYPOINTS), 2), np.nan)
    confidence = np.zeros(places.shape[:2])
    frame, which = rows[:, 0].astype(int) - first, rows[:, 1].astype(int)
    places[frame, which], confidence[frame, which] = rows[:, 2:4], rows[:, 4]
    return _made(places, confidence, width, height, fps, first)


def _made(places: Array, confidence: Array, width: int, height: int, fps: float, first: int) -> Track:
    missing = ~np.isfinite(places).all(axis=-1) | ~(confidence > 0.0)
    places = np.where(missing[..., None], np.nan, places)
    return Track(places, np.where(missing, 0.0, confidence), width, height, fps, first)
