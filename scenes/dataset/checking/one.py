"""What may be wrong with one picture's label, by another way than it was made."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....model.films.camera import Camera
from ....model.films.keypoint_places import places
from ....model.golfer.pieces import DEPARTURES
from ....render.figure.segments import SEGMENT_ID
from ..layout.names import VIEW_IN_KEY, sample_key
from ..layout.sample import PARTS
from ..making.masks import club_mask, person_mask, run_lengths
from ..making.sight import APART_IDS, Met, before_m, pixel_of, visibility
from .sound import Read, unsound

FINE_M, ABOUT_M = 0.015, 0.05
"""Where the nine pixels about a keypoint are so small that no limb slips through between their middles, and show one
segment, its line of sight meets that, no farther off their depths."""
PLACE_PX, PLACE_M = 0.05, 1e-4
"""Places are stored to the thousandth of a pixel and the hundredth of a millimetre, which a long lens enlarges."""


def faults_of(key: str, split: str, read: Read) -> Iterator[str]:
    """One clause for each thing that is wrong.

    Args:
        key: of the picture, by its archive.
        split: of that archive.
        read: the picture and what belongs to it.
    """
    label, ids, steps = read.label, read.ids, read.steps
    if wrong := unsound(label):
        yield wrong
        return
    size = (label["camera"]["height"], label["camera"]["width"])
    if ids.shape != size or steps.shape != size or ids.dtype != np.uint8 or steps.dtype != np.uint16:
        yield f"ids or depth are not of {size[1]} by {size[0]} pixels, or of another kind"
        return
    if read.colours.shape[:2] != size:
        yield f"the picture is not of {size[1]} by {size[0]} pixels"
    yield from _names(key, split, label)
    yield from _places(label)
    yield from _pixels(label, ids, steps)


def _names(key: str, split: str, label: Mapping[str, Any]) -> Iterator[str]:
    if label["split"] != split:
        yield f"its label puts it in the split {label['split'][:40]!r}, its archive in {split!r}"
    if label["view"] not in VIEW_IN_KEY:
        yield f"view is {label['view'][:40]!r}, but must be {' or '.join(VIEW_IN_KEY)}"
    elif {label["key"], sample_key(*(label[name] for name in ("subject", "swing", "view", "moment")))} != {key}:
        yield "key, subject, swing, view or moment of its label are another picture's"
    if unknown := [name for name in label["faults"] if name not in DEPARTURES]:
        yield f"the fault {unknown[0][:40]!r} is none of {', '.join(DEPARTURES)}"


def _places(label: Mapping[str, Any]) -> Iterator[str]:
    about = label["camera"]
    R, t = np.array(about["R"]), np.array(about["t_m"])
    camera = Camera(np.array(about["K"]), R, t, about["width"], about["height"], about["distortion"][0])
    for name, world in label["joints_world_m"].items():
        at = np.asarray(world) @ R.T + t
        if np.abs(at - label["joints_camera_m"][name]).max() > PLACE_M:
            yield f"{name} is elsewhere in the camera's frame than in the world"
        if at[2] > 0 and np.abs(camera.project(world) - label["joints_px"][name]).max() > PLACE_PX:
            yield f"{name} is elsewhere in the picture than in space"
    for place, (x, y, v) in zip(label["keypoints_3d_camera_m"], label["keypoints"], strict=True):
        shown = camera.project(R.T @ (np.array(place) - t))
        if v and np.abs(shown - (x, y)).max() > PLACE_PX:
            yield "a keypoint is elsewhere in the picture than in space"
    named = places(label["joints_camera_m"], left_handed=label["body"]["handedness"] == "left")
    if np.abs(named - label["keypoints_3d_camera_m"]).max() > PLACE_M:
        yield "a keypoint is not the joint of its name, of the golfer's own left and right"


def _pixels(label: Mapping[str, Any], ids: NDArray[np.uint8], steps: NDArray[np.uint16]) -> Iterator[str]:
    if label["parts"] != PARTS or not np.isin(ids, (0, *PARTS.values())).all():
        yield "parts or ids are not those of docs/dataset_fields.md"
    if np.any((ids == 0) != (steps == 0)):
        yield "depth and ids do not agree on where something is"
    for name, mask in (("person", person_mask(ids)), ("club", club_mask(ids))):
        # A mask has one run-length code. What is none must not be decoded: COCO's tools crash on some.
        due, stored = run_lengths(mask)[0], label["segmentation"][name]
        if (tuple(stored["size"]), stored["counts"]) != (due["size"], due["counts"]):
            yield f"the mask of the {name} is not where its ids are"
    person = person_mask(ids)
    if label["area"] != int(person.sum()):
        yield f"area is {label['area']}, but the golfer has {int(person.sum())} pixels"
    rows, columns = np.nonzero(person)
    box = [columns.min(), rows.min(), np.ptp(columns) + 1, np.ptp(rows) + 1] if rows.size else [0] * 4
    if list(label["bbox"]) != [int(edge) for edge in box]:
        yield "bbox is not the box round the golfer's pixels"
    # Outside the picture no place is stored beside v, and by what else is stored that is found again.
    camera = label["camera"]
    in_camera = label["keypoints_3d_camera_m"]
    seen = [(x, y) if v else _outside(camera, at) for (x, y, v), at in zip(label["keypoints"], in_camera, strict=True)]
    depth = steps * np.float32(label["depth_unit_m"])
    v = visibility(seen, in_camera, label["keypoints_met"], label["body"]["shape_cm"], ids.shape)
    if v != [point[2] for point in label["keypoints"]]:
        yield "v of a keypoint is not what its line of sight meets"
    points = zip(label["keypoints"], in_camera, label["keypoints_met"], strict=True)
    if not all(_shown(ids, depth, camera["K"][0][0], *point) for point in points):
        yield "what the line of sight to a keypoint meets is not what depth and ids show there"


def _shown(
    ids: NDArray[np.uint8], depth: NDArray[np.float32], focal: float, point: Any, at: Sequence[float], met: Met
) -> bool:
    """Whether the pixels about a keypoint may show what its line of sight meets, where no edge runs there."""
    pixel = pixel_of(point[:2], *ids.shape)
    if not point[2] or pixel is None:
        return tuple(met) == (0, 0.0)
    shown, before = int(ids[pixel]), before_m(at, float(depth[pixel]))
    if shown in APART_IDS:
        return met[0] == shown and abs(met[1] - before) <= PLACE_M
    about = tuple(slice(max(one - 1, 0), one + 2) for one in pixel)
    if at[2] / focal > FINE_M or (ids[about] != shown).any() or SEGMENT_ID["club"] in (shown, met[0]):
        return True
    if shown == 0:
        return tuple(met) == (0, 0.0)
    nearest, farthest = (before_m(at, float(end)) for end in (depth[about].min(), depth[about].max()))
    return met[0] == shown and farthest - ABOUT_M <= met[1] <= nearest + ABOUT_M


def _outside(about: Mapping[str, Any], place: Any) -> tuple[float, float]:
    """Where a place in the camera's frame would be in its picture."""
    lens = Camera(np.array(about["K"]), np.eye(3), np.zeros(3), about["width"], about["height"], about["distortion"][0])
    x, y = lens.project(place)
    return float(x), float(y)
