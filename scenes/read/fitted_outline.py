"""The fitted golfer's body as the fitted cameras show it: what of a picture it covers, without arms and club."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import BoolArray
from ...model.films import phone_camera
from ...model.films.camera import Camera
from ...model.films.film_moments import VIEWS
from ...model.films.film_problem import CAMERA
from ...model.films.filmed_golfer import CHAIN, DEPARTURE_SD, HEADS
from ...model.golfer.pieces import DEPARTURES, MAY_BE_STEADY, Pieces, Steady
from ...model.swing.simulate import simulate

if TYPE_CHECKING:
    from collections.abc import Mapping

    from ...model.arrays import Array
    from ...model.swing.swing import Swing
    from .found import FilmsRead

MOMENTS = ("address", "top")
Box = tuple[float, float, float, float]
"""Left and top edge, width and height, pixels of the film, whose centres lie at integers."""


def fitted_swing(found: FilmsRead) -> Swing:
    """Address and top of the golfer as fitted, a right-hander."""
    reading, usual = found.reading, Pieces()
    own = (reading.fitted.numbers[0, : len(DEPARTURES)] * DEPARTURE_SD).tolist()
    amounts: dict[str, Any] = {
        name: Steady(off) if name in MAY_BE_STEADY else getattr(usual, name) + off
        for name, off in zip(DEPARTURES, own, strict=True)
    }
    return simulate(reading.body[0], reading.address[0], Pieces(**amounts), frames=2)


def outlines(found: FilmsRead, boxes: Mapping[str, Box], longest: int) -> dict[tuple[str, str], BoolArray]:
    """``(h, w)`` by view and moment: whether the body covers a pixel of a part of the film's picture.

    Args:
        found: films and their fit.
        boxes: by view, which part.
        longest: pixels of the longer side of what is given.
    """
    from ...render.figure.figure import Figure

    swing = fitted_swing(found)
    figure = Figure(swing.body, swing.skeleton[0])
    out = {}
    for k, moment in enumerate(MOMENTS):
        vertices = figure.pose(swing.skeleton[k])
        for view in found.films:
            left, top, width, height = boxes[view]
            camera = fitted_camera(found, view)
            if found.left_handed:  # Fitted in a mirror.
                left = camera.width - 1.0 - left - width
            covered = _covered(_cut(camera, (left, top, width, height), longest), vertices, figure.body_faces)
            out[view, moment] = covered[:, ::-1] if found.left_handed else covered
    return out


def _cut(camera: Camera, box: Box, longest: int) -> Camera:
    """A camera that shows a part of the picture alone, larger or smaller."""
    left, top, width, height = box
    K = camera.K.copy()
    K[:2, 2] -= [left + 0.5, top + 0.5]  # The box's edge becomes that of the first pixel.
    part = Camera(K, camera.R, camera.t, max(1, round(width)), max(1, round(height)), camera.distortion)
    return part.scaled(longest / max(part.width, part.height))


def fitted_camera(found: FilmsRead, view: str) -> Camera:
    """A film's camera as fitted, of a left-hander in the mirror."""
    k, track = VIEWS.index(view), found.films[view].track
    first = CHAIN + HEADS + k * CAMERA
    numbers = found.reading.fitted.numbers[0, first : first + CAMERA]
    return phone_camera.camera(numbers, k, track.width, track.height)


def _covered(camera: Camera, vertices: Array, faces: NDArray[np.intp]) -> BoolArray:
    from PIL import Image, ImageDraw

    picture = Image.new("1", (camera.width, camera.height))
    draw = ImageDraw.Draw(picture)
    corners = camera.project(vertices)[faces].reshape(-1, 6)
    for triangle in corners[np.isfinite(corners).all(axis=1)].tolist():
        draw.polygon(triangle, fill=1)
    return np.asarray(picture, dtype=bool)
