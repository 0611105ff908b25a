"""What lies behind and in a drawing of a film: its own picture at a moment, and the fitted golfer's outline."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...render.palette import FIRST_SWING
from ..paper.frame import data_url
from .fitted_outline import Box, outlines

if TYPE_CHECKING:
    from ...model.arrays import BoolArray
    from .found import FilmsRead
    from .report import ReadReport

FrameAt = Callable[[float], NDArray[np.uint8]]
"""Gives the picture ``(h, w, 3)``, red, green, blue, of a film at a time, s from its first frame; of any size."""
MARGIN = 0.16
"""Of the golfer's height in the picture, kept around (by looking)."""
SHARP = 720
"""Pixels of what is cut out, the longer way; of the film no more than it has."""
QUALITY = 80
LINE_PX = 2


@dataclass(frozen=True)
class PanelPicture:
    """What is shown of one film at one moment.

    Attributes:
        box: left, top, width and height of what is shown, pixels of the film.
        film: address of its picture; empty where only a track was given.
        outline: address of the fitted golfer's outline, of the same box.
    """

    box: Box
    film: str
    outline: str


def panel_pictures(
    found: FilmsRead, report: ReadReport, films: Mapping[str, FrameAt]
) -> dict[tuple[str, str], PanelPicture]:
    """By view and moment; both moments of a film in one box, so that what moved is seen.

    Args:
        found: films and their fit.
        report: of them.
        films: by view, what gives their pictures; none of a film of which only the track is there.
    """
    boxes, out = {view: _box(report, view) for view in report.moments}, {}
    for (view, moment), covered in outlines(found, boxes, SHARP).items():
        box, own = boxes[view], report.moments[view]
        first, last = own.address_window if moment == "address" else (own.top_frame, own.top_frame)
        film = ""
        if view in films:
            picture = films[view](0.5 * (first + last) / own.fps)
            film = data_url(_jpeg(picture, box, own.width, own.height), "image/jpeg")
        out[view, moment] = PanelPicture(box, film, data_url(_line(covered), "image/png"))
    return out


def _box(report: ReadReport, view: str) -> Box:
    points = [one for one in report.keypoints if one.view == view]
    heads = [one for one in report.heads if one.view == view]
    reach = np.array(
        [(one.fitted_x_px, one.fitted_y_px) for one in points]
        + [(one.x_px + way * one.radius_px, one.y_px + way * one.radius_px) for one in heads for way in (-1, 1)]
    )
    room = MARGIN * np.ptp(reach[:, 1]) * np.array([2.0, 1.0])
    size = np.array([report.moments[view].width, report.moments[view].height])
    # Whole pixels, and at least one of them wherever the figure is.
    first = np.clip(np.floor(reach.min(axis=0) - room), 0, size - 1)
    after = np.clip(np.ceil(reach.max(axis=0) + room), first + 1, size)
    left, top, width, height = (float(value) for value in (*(first - 0.5), *(after - first)))
    return left, top, width, height


def _pixels(shape: tuple[int, ...], box: Box, width: int, height: int) -> tuple[int, int, int, int]:
    """Left, top, right and bottom in a picture of that shape of a box in the film's pixels, centres at integers."""
    across, down = shape[1] / width, shape[0] / height
    left, top = (box[0] + 0.5) * across, (box[1] + 0.5) * down
    return round(left), round(top), round(left + box[2] * across), round(top + box[3] * down)


def _jpeg(picture: NDArray[np.uint8], box: Box, width: int, height: int) -> bytes:
    from PIL import Image

    cut = Image.fromarray(picture).crop(_pixels(picture.shape, box, width, height))
    cut.thumbnail((SHARP, SHARP))
    out = io.BytesIO()
    cut.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def _line(covered: BoolArray) -> bytes:
    """The edge of what is covered, as a picture that is clear elsewhere."""
    from PIL import Image, ImageFilter

    mask = Image.fromarray(np.where(covered, 255, 0).astype(np.uint8))
    wide = mask.filter(ImageFilter.MaxFilter(2 * LINE_PX - 1))
    edge = np.asarray(wide, int) - np.asarray(mask.filter(ImageFilter.MinFilter(3)), int)
    line = np.empty((*edge.shape, 4), np.uint8)
    line[..., :3], line[..., 3] = FIRST_SWING, edge
    out = io.BytesIO()
    Image.fromarray(line).save(out, "PNG", optimize=True)
    return out.getvalue()
