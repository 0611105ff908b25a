"""Where the fitted cameras show the fitted golfer, in the films' own pixels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from . import phone_camera
from .film_fit import FilmFit
from .film_problem import CAMERA
from .filmed_golfer import CHAIN, HEAD_SD_RAD, HEADS

HALF_HEAD = 0.065
"""Of stature: half of chin to vertex, as the chain has it (``golfer.body``)."""


@dataclass(frozen=True)
class FittedFigure:
    """``S`` golfers in pixels, by view and moment.

    Attributes:
        keypoints: ``(S, 2, 2, 13, 2)``.
        head: ``(S, 2, 2, 2)`` its centre.
        head_radius: ``(S, 2, 2)``.
    """

    keypoints: Array
    head: Array
    head_radius: Array


def figure_of(fitted: FilmFit, size: Array, stature: Array) -> FittedFigure:
    """The fitted golfers as their cameras show them.

    Args:
        fitted: golfers and cameras.
        size: ``(S, 2, 2)`` width and height of the pictures of each view.
        stature: ``(S,)`` m.
    """
    count = len(fitted.numbers)
    turned = HEAD_SD_RAD * fitted.numbers[:, CHAIN : CHAIN + HEADS].reshape(count, 2, 3)
    head = fitted.pose.head
    points = np.concatenate([fitted.pose.keypoints(turned), head[:, :, None]], axis=2)
    shown, radius = [], []
    for view in (0, 1):
        first = CHAIN + HEADS + view * CAMERA
        numbers = fitted.numbers[:, first : first + CAMERA]
        flat = phone_camera.project(numbers, view, size[:, view], points.reshape(count, -1, 3))
        shown.append(flat.reshape(count, 2, -1, 2))
        focal, to_camera, place = phone_camera.placed(numbers, view, size[:, view].max(axis=-1))
        depth = ((head - place[:, None]) * to_camera[:, None, 2]).sum(axis=-1)
        radius.append(focal[:, None] * HALF_HEAD * stature[:, None] / depth)
    every = np.stack(shown, axis=1)
    return FittedFigure(every[..., :-1, :], every[..., -1, :], np.stack(radius, axis=1))
