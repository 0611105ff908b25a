"""Where each view of each swing stands in a film or a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from ...model.arrays import Array
from ...model.errors import TurnstillError
from ...model.swing.swing import Swing
from ..views.shown_swing import VIEWS

if TYPE_CHECKING:
    from ...model.films.camera import Camera

PANE_WIDTH, PANE_HEIGHT = 640, 720
LEAST, MOST = 160, 3840
GAP = 4
"""Pixels between panes; even, so that what is left can be even too."""
EDGE = 0.04
"""Part of a pane's shorter side kept free around the clubhead's path."""
FRAMED = ("clubhead", "grip", "elbow_lead", "elbow_trail", "toe_lead", "toe_trail", "heel_lead", "heel_trail", "vertex")
"""The joints that reach farthest."""
_SHAPE = 0.8
"""Width over height at which a view is about as much too narrow as too low for the club (by looking)."""


@dataclass(frozen=True)
class Pane:
    """One view of one swing, and its place.

    Attributes:
        swing: index of the swing.
        view: one of ``turnstill.scenes.views.shown_swing.VIEWS``.
        left, top, width, height: pixels.
    """

    swing: int
    view: str
    left: int
    top: int
    width: int
    height: int

    @property
    def place(self) -> tuple[slice, slice]:
        """Rows and columns in the whole picture."""
        return slice(self.top, self.top + self.height), slice(self.left, self.left + self.width)


def chosen_views(words: str | None) -> tuple[str, ...]:
    """Views asked for, separated by commas; both if not asked.

    Raises:
        TurnstillError: for a view there is not, or one twice.
    """
    if words is None:
        return VIEWS
    asked = tuple(word.strip().replace(" ", "-") for word in words.split(","))
    if not set(asked) <= set(VIEWS) or len(set(asked)) < len(asked):
        raise TurnstillError(
            f"--views was {words[:60]!r}, but must be {VIEWS[0]}, {VIEWS[1]}, or both with a comma between."
        )
    return asked


def size_of(words: str) -> tuple[int, int]:
    """``1280x720`` as width and height, rounded down to even numbers as most films need.

    Raises:
        TurnstillError: for anything else.
    """
    parts = words.lower().replace("×", "x").split("x")
    if len(parts) == 2 and all(part.strip().isascii() and part.strip().isdigit() for part in parts):
        width, height = (int(part[:9]) for part in parts)
        if LEAST <= width <= MOST and LEAST <= height <= MOST:
            return width - width % 2, height - height % 2
    raise TurnstillError(
        f"--size was {words[:40]!r}, but must be WIDTHxHEIGHT in pixels, each {LEAST} to {MOST}, for example 1280x720."
    )


def default_size(swings: int, views: Sequence[str]) -> tuple[int, int]:
    """Views side by side for one swing; for two, the swings side by side and a row for each view."""
    columns, rows = (len(views), 1) if swings == 1 else (swings, len(views))
    return columns * PANE_WIDTH, rows * PANE_HEIGHT


def panes(swings: int, views: Sequence[str], size: tuple[int, int]) -> list[Pane]:
    """The arrangement in which the figures are largest: one row, one column, or a row for each view.

    The swings of one view always stand next to each other, since they are what is compared.
    """
    asked = [(swing, view) for view in views for swing in range(swings)]
    ways = {swings, len(asked), 1}

    def figure(columns: int) -> tuple[float, int]:
        one = grid(asked, columns, size)[0]
        return min(one.height, one.width / _SHAPE), columns

    return grid(asked, max(ways, key=figure), size)


def grid(asked: Sequence[tuple[int, str]], columns: int, size: tuple[int, int]) -> list[Pane]:
    """Panes of one size in rows.

    Args:
        asked: swing and view of each, row by row.
        columns: in each row.
        size: of the whole, pixels.
    """
    rows = -(-len(asked) // columns)
    width, height = (size[0] - GAP * (columns - 1)) // columns, (size[1] - GAP * (rows - 1)) // rows
    return [
        Pane(swing, view, k % columns * (width + GAP), k // columns * (height + GAP), width, height)
        for k, (swing, view) in enumerate(asked)
    ]


def cameras_for(swings: Sequence[Swing], width: int, height: int) -> list[dict[str, Camera]]:
    """Cameras for panes of one size, zoomed out and shifted until the club stays inside at every moment.

    All share one scale, and those of one view and hand one shift, so that figures and movements can be compared
    between panes. The ground keeps its place.
    """
    from ...model.films.camera import Camera
    from ..views.cameras import cameras

    places = cameras(swings, width, height)
    margin = EDGE * min(width, height)
    aside = width / 2 - margin
    reach: dict[tuple[str, bool], list[Array]] = {}
    for swing, by_view in zip(swings, places, strict=True):
        joints = np.stack([swing.skeleton.joints[name] for name in FRAMED])
        for view, camera in by_view.items():
            reach.setdefault((view, swing.left_handed), []).append(camera.project(joints).reshape(-1, 2))
    # From the middle of the picture's lower edge: farthest left, farthest right, farthest up.
    middle, bottom = (width - 1) / 2, height - 0.5
    ends = {
        key: (min(p[:, 0].min() for p in seen) - middle, max(p[:, 0].max() for p in seen) - middle,
              bottom - min(p[:, 1].min() for p in seen))
        for key, seen in reach.items()
    }  # fmt: skip
    scale = min(
        1.0,
        *(2 * aside / (right - left) for left, right, _ in ends.values()),
        *((height - margin) / up for _, _, up in ends.values()),
    )

    def framed(camera: Camera, left: float, right: float) -> Camera:
        K = camera.K.copy()
        K[[0, 1], [0, 1]] *= scale
        # No farther aside than the club needs: the golfer stays near the middle.
        K[0, 2] += max(0.0, -scale * left - aside) - max(0.0, scale * right - aside)
        K[1, 2] = bottom - scale * (bottom - K[1, 2])
        return Camera(K, camera.R, camera.t, width, height)

    return [
        {view: framed(camera, *ends[view, swing.left_handed][:2]) for view, camera in by_view.items()}
        for swing, by_view in zip(swings, places, strict=True)
    ]
