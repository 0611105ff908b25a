"""A split as a file of COCO's keypoint task, for what reads nothing else."""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable, Mapping
from typing import Any

from .sample import KEYPOINTS, OUTSIDE

BONES: tuple[tuple[str, str], ...] = (
    ("left_ankle", "left_knee"), ("left_knee", "left_hip"), ("right_ankle", "right_knee"), ("right_knee", "right_hip"),
    ("left_hip", "right_hip"), ("left_shoulder", "left_hip"), ("right_shoulder", "right_hip"),
    ("left_shoulder", "right_shoulder"), ("left_shoulder", "left_elbow"), ("right_shoulder", "right_elbow"),
    ("left_elbow", "left_wrist"), ("right_elbow", "right_wrist"), ("nose", "left_eye"), ("nose", "right_eye"),
    ("left_eye", "left_ear"), ("right_eye", "right_ear"),
)  # fmt: skip
"""Pairs of keypoints that a drawing joins."""
PERSON = 1
"""The only category's id; ids of images and annotations start at 1 too, since from 0 a perfect detection is missed."""
Part = tuple[str, str]
"""Images and annotations of some pictures, as elements of two JSON arrays."""


def coco_part(labels: Iterable[tuple[Mapping[str, Any], str]], first: int = 1) -> Part:
    """What some pictures that follow each other add to a split's file.

    Args:
        labels: each picture's label and the ending of its file, in the order of the archives: the image ids' order.
        first: the id of the first of them.
    """
    images, annotations = [], []
    for number, (label, ending) in enumerate(labels, start=first):
        camera = label["camera"]
        images.append(
            {
                "id": number, "file_name": f"{label['key']}.{ending}", "width": camera["width"],
                "height": camera["height"], "license": 1,
            }
        )  # fmt: skip
        annotations.append(
            {
                "id": number, "image_id": number, "category_id": PERSON, "iscrowd": 0, "area": label["area"],
                "bbox": label["bbox"], "segmentation": label["segmentation"]["person"],
                "keypoints": [value for point in label["keypoints"] for value in point],
                "num_keypoints": sum(v > OUTSIDE for _, _, v in label["keypoints"]),
            }
        )  # fmt: skip
    return _elements(images), _elements(annotations)


def coco_text(labels: Iterable[tuple[Mapping[str, Any], str]]) -> str:
    """A split's file.

    Args:
        labels: every picture's label and the ending of its file, in the order of the archives.
    """
    return whole_text([coco_part(labels)])


def whole_text(parts: Iterable[Part]) -> str:
    """A split's file, of what all its pictures add, in order."""
    images, annotations = zip(*parts, strict=True)
    skeleton = [[KEYPOINTS.index(name) + 1 for name in bone] for bone in BONES]
    whole = {
        "info": {"description": "Drawn golfers, made by Turnstill; see card.md"},
        "licenses": [{"id": 1, "name": "MIT", "url": "LICENSE.txt"}],
        "categories": [
            {"id": PERSON, "name": "person", "supercategory": "person", "keypoints": KEYPOINTS, "skeleton": skeleton}
        ],
    }
    head = _dumped(whole).removesuffix("}")
    shown, told = (",".join(filter(None, elements)) for elements in (images, annotations))
    return f'{head},"images":[{shown}],"annotations":[{told}]}}\n'


def packed(part: Part) -> tuple[bytes, bytes]:
    """The same in little room."""
    images, annotations = (zlib.compress(text.encode("utf-8"), 1) for text in part)
    return images, annotations


def unpacked(part: tuple[bytes, bytes]) -> Part:
    """What was packed."""
    images, annotations = (zlib.decompress(data).decode("utf-8") for data in part)
    return images, annotations


def _dumped(value: Any) -> str:
    return json.dumps(value, allow_nan=False, separators=(",", ":"))


def _elements(values: list[Any]) -> str:
    return _dumped(values)[1:-1]
