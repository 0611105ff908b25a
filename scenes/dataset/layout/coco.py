"""A split as a file of COCO's keypoint task, for what reads nothing else."""

from __future__ import annotations

import json
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


def coco_text(labels: Iterable[tuple[Mapping[str, Any], str]]) -> str:
    """A split's file.

    Args:
        labels: every picture's label and the ending of its file, in the order of the archives: the image ids' order.
    """
    images, annotations = [], []
    for number, (label, ending) in enumerate(labels, start=1):
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
    skeleton = [[KEYPOINTS.index(name) + 1 for name in bone] for bone in BONES]
    whole = {
        "info": {"description": "Drawn golfers, made by Turnstill; see card.md"},
        "licenses": [{"id": 1, "name": "MIT", "url": "LICENSE.txt"}],
        "categories": [
            {"id": PERSON, "name": "person", "supercategory": "person", "keypoints": KEYPOINTS, "skeleton": skeleton}
        ],
        "images": images,
        "annotations": annotations,
    }
    return json.dumps(whole, allow_nan=False, separators=(",", ":")) + "\n"
