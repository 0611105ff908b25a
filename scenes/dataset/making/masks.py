"""Masks as COCO's run lengths, and depths as whole steps."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ....render.figure.segments import PERSON_IDS, SEGMENT_ID
from ....render.stage.areas import Area

DEPTH_UNIT_M = 0.00025
"""A step of the stored depth: 16 bits reach 16 m with it, and a picture that shows farther things has twice or more."""
_MOST_STEPS = 65535
_PERSON_MOST = np.uint8(max(PERSON_IDS))


def person_mask(segments: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """``(h, w)`` where the golfer is seen."""
    # A golfer's ids are the first ones, from 1 on; one less than 0 is 255.
    return np.asarray(segments - np.uint8(1) < _PERSON_MOST)


def club_mask(segments: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """``(h, w)`` where the club is seen."""
    return np.asarray(segments == SEGMENT_ID["club"])


def run_lengths(
    mask: NDArray[np.bool_], area: Area | None = None, size: tuple[int, int] | None = None
) -> tuple[dict[str, object], int, tuple[int, ...]]:
    """The mask's RLE as JSON carries it, its pixels, and its box: first column, first row, columns, rows.

    Args:
        mask: ``(h, w)`` of the picture, or of an area of it beyond which there is nothing.
        area: that area.
        size: rows and columns of the picture that it is in.
    """
    import cv2
    from pycocotools import mask as coco

    height, width = size or mask.shape
    top, left = (area[0].start, area[1].start) if area else (0, 0)
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    first, end = (int(columns[0]), int(columns[-1]) + 1) if len(columns) else (0, 0)
    # Runs go down the columns, between a nought before and one behind them; those to the left and to the right of what
    # is seen are part of the first and last run.
    flat = np.zeros((end - first) * height + 2, np.uint8)
    if len(columns):
        down = flat[1:-1].reshape(end - first, height)
        down[:, top : top + len(mask)] = cv2.transpose(mask[:, first:end].view(np.uint8))
    turns = np.flatnonzero(flat[1:] != flat[:-1])
    edges = np.zeros(len(turns) + 2, np.int64)
    edges[1:-1], edges[-1] = turns + (left + first) * height, height * width
    counts = edges[1:] - edges[:-1]
    counts = counts[: len(counts) - (counts[-1] == 0)]  # A run to the very end is the last.
    rle = coco.frPyObjects({"size": [height, width], "counts": counts.tolist()}, height, width)
    box = (0, 0, 0, 0)
    if len(columns):
        box = left + first, top + int(rows[0]), end - first, int(rows[-1] - rows[0]) + 1
    return {"size": (height, width), "counts": rle["counts"].decode("ascii")}, int(counts[1::2].sum()), box


def depth_steps(depth_m: NDArray[np.float32]) -> tuple[NDArray[np.uint16], float]:
    """``(h, w)`` whole steps, 0 where the depth is infinite, and the step in metres."""
    finite = np.isfinite(depth_m)
    seen = depth_m[finite]
    farthest = float(seen.max(initial=0.0))
    unit = DEPTH_UNIT_M
    while farthest / unit > _MOST_STEPS - 1:
        unit *= 2
    steps = np.zeros(depth_m.shape, np.uint16)
    steps[finite] = np.maximum(np.rint(seen / unit), 1)
    return steps, unit
