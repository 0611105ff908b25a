"""What a detector found, as COCO has it, refused in a sentence where it is something else."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from ....model.arrays import Array
from ....model.errors import TurnstillError
from ...delivery.reading import plain_bytes
from ...delivery.refusals import shown
from ..layout.coco import PERSON
from ..layout.sample import KEYPOINTS

MOST_BYTES = 2_000_000_000
"""A million pictures' results stay under it."""
_NUMBERS = 3 * len(KEYPOINTS)


@dataclass(frozen=True)
class Found:
    """One person in one picture.

    Attributes:
        image: the picture's id.
        score: how sure the detector is.
        places: ``(17, 2)`` pixels, centres at integers.
    """

    image: int
    score: float
    places: Array


def read_results(file: str, images: int) -> list[Found]:
    """All persons of a results file, in its order.

    Args:
        file: COCO keypoint results, JSON.
        images: how many pictures the split has; their ids are 1 to that.

    Raises:
        TurnstillError: for anything else than such results.
    """
    rows = read_json(file, "results file")
    if not isinstance(rows, list):
        raise TurnstillError(f"{shown(file)} must be a list of results as COCO has them, one for each person found.")
    found = [_found(row, f"{shown(file)}: result {number}", images) for number, row in enumerate(rows, start=1)]
    first: dict[tuple[int, bytes], int] = {}
    for number, one in enumerate(found, start=1):
        before = first.setdefault((one.image, one.places.tobytes()), number)
        if before != number:
            raise TurnstillError(
                f"{shown(file)}: result {number} is result {before} over again; write every person of a picture once."
            )
    return found


def best_of_each(found: list[Found]) -> dict[int, Found]:
    """The best-scored person of each picture; of equals the first."""
    best: dict[int, Found] = {}
    for one in found:
        if one.image not in best or one.score > best[one.image].score:
            best[one.image] = one
    return best


def read_sigmas(file: str) -> dict[str, float]:
    """Own sigmas: an object of the seventeen keypoints' names to numbers above 0.

    Raises:
        TurnstillError: for anything else.
    """
    table = read_json(file, "file of sigmas")
    wanted = f"{shown(file)} must be an object of all seventeen keypoints ({KEYPOINTS[0]}, {KEYPOINTS[1]}, ...) to"
    if not isinstance(table, Mapping) or set(table) != set(KEYPOINTS):
        raise TurnstillError(f"{wanted} their sigmas.")
    if not all(_is_number(value) and value > 0 for value in table.values()):
        raise TurnstillError(f"{wanted} numbers above 0.")
    return {name: float(table[name]) for name in KEYPOINTS}


def read_json(file: str, what: str) -> Any:
    """The content of a JSON file.

    Raises:
        TurnstillError: where there is none.
    """
    try:
        data = plain_bytes(Path(file), shown(file), most=MOST_BYTES, what=what, instead=f"name the {what}")
    except FileNotFoundError:
        raise TurnstillError(f"There is no {what} {shown(file)}.") from None
    try:
        return json.loads(data)
    except (ValueError, RecursionError):
        raise TurnstillError(f"{shown(file)} is no JSON; name the {what}.") from None


def _found(row: Any, where: str, images: int) -> Found:
    if not isinstance(row, Mapping):
        raise TurnstillError(f"{where} must be an object with image_id, category_id, keypoints and score.")
    lacking = [name for name in ("image_id", "category_id", "keypoints", "score") if name not in row]
    if lacking:
        raise TurnstillError(f"{where} has no {lacking[0]}.")
    image, points, score = row["image_id"], row["keypoints"], row["score"]
    if isinstance(image, bool) or not isinstance(image, int) or not 1 <= image <= images:
        raise TurnstillError(
            f"{where} has the image_id {str(image)[:30]!r}, but the split's pictures have 1 to {images}, as in "
            "its file under coco/."
        )
    if row["category_id"] != PERSON:
        raise TurnstillError(
            f"{where} has the category_id {str(row['category_id'])[:30]!r}, but a person's is {PERSON}."
        )
    if not isinstance(points, list) or len(points) != _NUMBERS:
        told = f"{len(points)} numbers" if isinstance(points, list) else "no list"
        raise TurnstillError(f"{where} has {told} in keypoints, which must be {_NUMBERS}: x, y and a third for each.")
    if not all(map(_is_number, points)):
        raise TurnstillError(f"{where} has something in keypoints that is no finite number.")
    if not _is_number(score):
        raise TurnstillError(f"{where} has a score that is no finite number.")
    return Found(image, float(score), np.array(points, float).reshape(-1, 3)[:, :2])


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e15 and math.isfinite(value)
