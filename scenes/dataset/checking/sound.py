"""What may be relied on of a data set that somebody copied or edited: labels and pixels, or a sentence."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pydantic import ValidationError

from ....model.errors import TurnstillError
from ...delivery.refusals import shown
from ..layout.arrays import unpacked
from ..layout.names import DEPTH, IDS, coco_path
from ..layout.reading import DataSet
from ..layout.sample import Sample
from ..making.keypoints import GIRTHS, MEETING

UNREADABLE = (ValueError, EOFError, OSError, SyntaxError, MemoryError)
"""What readers of arrays and pictures raise for bytes that are neither."""
_JOINTS = {"nose"} | {f"{kind}_{side}" for kind in MEETING if kind != "nose" for side in ("lead", "trail")}


@dataclass(frozen=True)
class Read:
    """A picture and all that belongs to it.

    Attributes:
        label: as it was read, sound or not.
        colours: ``(h, w, 3)``.
        ids: as stored.
        steps: depth as stored.
    """

    label: Any
    colours: NDArray[np.uint8]
    ids: NDArray[Any]
    steps: NDArray[Any]


def read_picture(made: DataSet, key: str) -> Read:
    """A picture by its key.

    Raises:
        TurnstillError: where one of its files is missing, or none of its kind.
    """
    return Read(made.label(key), _colours(made, key), _array(made, key, IDS), _array(made, key, DEPTH))


def sound_labels(made: DataSet, split: str) -> list[Mapping[str, Any]]:
    """A split's labels in the order of its pictures' ids.

    Raises:
        TurnstillError: where the set was not made to its end or is not whole, so that ids may be other pictures', or a
            label is none.
    """
    return [sound_label(made, key) for key in sound_keys(made, split)]


def sound_keys(made: DataSet, split: str) -> list[str]:
    """A split's pictures by name, in the order of their ids.

    Raises:
        TurnstillError: where the set was not made to its end or is not whole.
    """
    where = shown(str(made.folder))
    if not made.whole:
        raise TurnstillError(f"{where} was not made to its end; run turnstill dataset make on it again first.")
    keys = made.keys(split)
    if _named(made, split) != keys:
        raise TurnstillError(
            f"{where}: the archives of {split} do not hold the pictures that coco/{split}.json names; copy the data "
            "set again."
        )
    return keys


def sound_label(made: DataSet, key: str) -> Mapping[str, Any]:
    """A picture's label.

    Raises:
        TurnstillError: where it is none.
    """
    label = made.label(key)
    wrong = unsound(label) or ("" if label["key"] == key else "key is another picture's")
    if wrong:
        raise TurnstillError(
            f"{shown(str(made.folder))}: the label of {key} is damaged: {wrong}; copy the data set again."
        )
    return label


def unsound(label: Any) -> str:
    """What keeps a label from being read at all, in a clause; empty where nothing does."""
    try:
        # To the letter: a number written as text is none.
        Sample.model_validate_json(json.dumps(label), strict=True)
    except ValidationError as wrong:
        first = wrong.errors()[0]
        place = ".".join(str(part) for part in first["loc"]) or "the label"
        if first["type"] == "finite_number":
            return f"{place} is no finite number"
        return f"{place} does not fit the schema ({first['msg'].lower()})"
    return next(_left_open(label), "")


def _left_open(label: Mapping[str, Any]) -> Iterator[str]:
    """What the schema leaves open, and whoever reads a label needs."""
    joints = set(label["joints_world_m"])
    if not joints >= _JOINTS or joints != set(label["joints_camera_m"]) or joints != set(label["joints_px"]):
        yield "a joint is missing in the world, in the camera's frame or in the picture"
    if not {*GIRTHS.values(), "buttock_depth"} <= set(label["body"]["shape_cm"]):
        yield "a girth that tells which keypoints are seen is missing in body.shape_cm"
    camera = label["camera"]
    if camera["K"][0][0] <= 0 or camera["width"] < 1 or camera["height"] < 1:
        yield "camera is none that shows anything"


def _named(made: DataSet, split: str) -> list[str] | None:
    """Keys of a split's pictures as its COCO file has them, in the order of their ids."""
    try:
        images = json.loads(coco_path(made.folder, split).read_bytes())["images"]
        ids = [image["id"] for image in images]
        return [image["file_name"].partition(".")[0] for image in images] if ids == [*range(1, len(ids) + 1)] else None
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return None


def _array(made: DataSet, key: str, ending: str) -> NDArray[Any]:
    data = made.stored(key, ending)
    try:
        return np.asarray(unpacked(data))
    except UNREADABLE as wrong:
        raise TurnstillError(f"{key}.{ending} is no array that can be read; copy the data set again.") from wrong


def _colours(made: DataSet, key: str) -> NDArray[np.uint8]:
    name = f"{key}.{made.ending(key)}"
    made.stored(key, made.ending(key))  # Whether it is there at all has a sentence of its own.
    try:
        return made.picture(key)
    except UNREADABLE as wrong:
        raise TurnstillError(f"{name} is no picture that can be read; copy the data set again.") from wrong
