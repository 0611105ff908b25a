"""A small data set by hand, whose numbers all differ: what is read back must be what was put in."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from distinct import filled
from numpy.typing import NDArray
from PIL import Image

from turnstill.render.figure.segments import SEGMENT_ID
from turnstill.scenes.dataset.layout.archive import ArchiveWriter
from turnstill.scenes.dataset.layout.arrays import packed
from turnstill.scenes.dataset.layout.finishing import finish
from turnstill.scenes.dataset.layout.names import shard_path
from turnstill.scenes.dataset.layout.placing import placed
from turnstill.scenes.dataset.layout.request import take_folder
from turnstill.scenes.dataset.layout.sample import (
    PARTS,
    Appearance,
    BodyLabel,
    CameraLabel,
    OccluderLabel,
    PlaceLabel,
    Sample,
    Segmentation,
    sample_text,
)
from turnstill.scenes.dataset.making.masks import club_mask, depth_steps, person_mask, run_lengths

WIDTH, HEIGHT = 20, 12
REQUEST = {"name": "by-hand", "seed": 5, "swing": {"clubs": ["iron", "wood"], "fault": {"least_deg": 2.5}}}
PICTURES = {
    "train": ("s00000-w00-faceon-m00", "s00000-w00-line-m00", "s00002-w01-line-m01"),
    "test": ("s00001-w00-faceon-m00",),
}


JOINTS = (
    "nose",
    *(
        f"{name}_{side}"
        for name in ("eye", "ear", "shoulder", "elbow", "wrist", "hip", "knee", "ankle")
        for side in ("lead", "trail")
    ),
)
SHAPE = (
    "biceps_circumference", "forearm_circumference", "wrist_circumference", "lower_thigh_circumference",
    "ankle_circumference", "buttock_depth",
)  # fmt: skip


def pixels(number: int) -> tuple[NDArray[np.uint8], NDArray[np.float32], NDArray[np.uint8]]:
    """Ids, metres and colours of a picture: a golfer of three segments with a club through it."""
    ids = np.zeros((HEIGHT, WIDTH), np.uint8)
    ids[2:5, 4 + number : 9] = SEGMENT_ID["head"]
    ids[5:9, 3 : 8 + number] = SEGMENT_ID["trunk"]
    ids[9:11, 5:7] = SEGMENT_ID["foot_left"]
    ids[6, 2:12] = SEGMENT_ID["club"]
    depth = np.where(ids > 0, np.float32(4.0) + number + np.arange(WIDTH, dtype=np.float32) / 100, np.inf)
    colours = np.random.default_rng(number).integers(0, 256, (HEIGHT, WIDTH, 3), np.uint8)
    return ids, depth.astype(np.float32), colours


def sample(key: str, split: str, number: int) -> tuple[Sample, NDArray[np.uint16]]:
    """The label of one of them."""
    ids, depth, _ = pixels(number)
    steps, unit = depth_steps(depth)
    person, area, box = run_lengths(person_mask(ids))
    club, _, _ = run_lengths(club_mask(ids))
    start = 2000 * number
    lens = [[30.0 + number, 0, 10], [0, 30.0 + number, 6], [0, 0, 1]]
    camera = filled(CameraLabel, start=start, width=WIDTH, height=HEIGHT, K=lens)
    look = {"hair_style": f"style {number}", "shirt": (10 + number, 20, 30)}
    names = ("ground_colour", "ground_other", "backdrop_low", "backdrop_high")
    colours = {name: (number, k, 40 + 10 * number + k) for k, name in enumerate(names)}
    place = filled(PlaceLabel, start=start + 1500, **colours)
    occluder = filled(OccluderLabel, start=start + 1600, colour=(7, 8, number))
    rng = np.random.default_rng(number)
    points = [(*rng.uniform(0, 11, 2), int(v)) for v in rng.permutation([0, 1, 1, *[2] * 14])]
    label = filled(
        Sample, start=start, key=key, split=split, subject=int(key[1:6]), swing=int(key[8:10]), moment=int(key[-2:]),
        camera=camera, bbox=box, area=area, segmentation=Segmentation(person=person, club=club), parts=PARTS,
        depth_unit_m=unit, keypoints=[p if p[2] else (0.0, 0.0, 0) for p in points],
        keypoints_3d_camera_m=rng.uniform(1, 5, (17, 3)).tolist(), keypoints_met=[(k, k / 100) for k in range(17)],
        appearance=filled(Appearance, start=start + 1000, look=look, place=place, occluders=[occluder] * number),
        faults=["tilt", "sway"][: number % 3],
        joints_px={name: (k, number) for k, name in enumerate(JOINTS)}
        | {"shoulder_lead": (4, 2), "shoulder_trail": (8, 2), "hip_lead": (5, 8), "hip_trail": (7, 8)},
        joints_world_m={name: (k, 0.1, number) for k, name in enumerate(JOINTS)},
        joints_camera_m={name: (k, 0.2, 3 + number) for k, name in enumerate(JOINTS)},
        body=filled(BodyLabel, start=start + 1700, shape_cm={name: 20.0 + k for k, name in enumerate(SHAPE)}),
    )  # fmt: skip
    return label, steps


def made_by_hand(folder: Path) -> dict[str, Sample]:
    """The whole set, and its labels by key."""
    take_folder(folder, REQUEST)
    labels = {}
    for split, keys in PICTURES.items():
        with placed(shard_path(folder, split, 0)) as part, part.open("wb") as file, ArchiveWriter(file) as archive:
            for key in keys:
                number = len(labels)
                ids, _, colours = pixels(number)
                label, steps = sample(key, split, number)
                labels[key] = label
                out = io.BytesIO()
                Image.fromarray(colours).save(out, "PNG")
                text = sample_text(label).encode()
                archive.add(
                    key, {"png": out.getvalue(), "ids.npy.gz": packed(ids), "depth.npy.gz": packed(steps), "json": text}
                )
    finish(folder)
    return labels
