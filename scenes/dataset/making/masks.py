"""Masks as COCO's run lengths, and depths as whole steps."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ....render.figure.segments import PERSON_IDS, SEGMENT_ID
from ....render.stage.areas import Area

DEPTH_UNIT_M = 0.00025
"""A step of the stored depth: 16 bits reach 16 m with it, and a picture that shows farther things has twice or more."""
_MOST_STEPS = 65535
_PERSON = np.isin(np.arange(256), PERSON_IDS).astype(np.uint8)


def person_mask(segments: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """``(h, w)`` where the golfer is seen."""
    import cv2

    return np.asarray(cv2.LUT(np.ascontiguousarray(segments), _PERSON)).view(np.bool_)


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
    columns = np.flatnonzero(mask.any(axis=0))
    first, end = (int(columns[0]), int(columns[-1]) + 1) if len(columns) else (0, 0)
    # Runs go down the columns; those to the left and to the right of what is seen are part of the first and last run.
    down = np.zeros((end - first, height), np.uint8)
    if len(columns):
        down[:, top : top + len(mask)] = cv2.transpose(mask[:, first:end].view(np.uint8))
    padded = np.concatenate([[np.uint8(0)], down.ravel(), [np.uint8(0)]])
    turns = np.flatnonzero(padded[1:] != padded[:-1]) + (left + first) * height
    counts = np.diff(turns, prepend=0, append=height * width)
    counts = counts[: len(counts) - (counts[-1] == 0)]  # A run to the very end is the last.
    rle = coco.frPyObjects({"size": [height, width], "counts": counts.tolist()}, height, width)
    pixels = int(counts[1::2].sum())
    box = tuple(int(edge) for edge in coco.toBbox(rle)) if pixels else (0, 0, 0, 0)
    return {"size": (height, width), "counts": rle["counts"].decode("ascii")}, pixels, box


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
