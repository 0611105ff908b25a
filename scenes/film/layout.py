"""Where each view of each swing stands in a film or a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from ...model.arrays import Array
from ...model.errors import TurnstillError
from ...model.swing.swing import Swing
from ..views.names import ABOVE

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
        view: a key of ``turnstill.scenes.views.names.VIEW_TITLES``.
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

    Those of one view and hand share one shift, and the two level views one scale, so that figures and movements can be
    compared between panes; in them the ground keeps its place. From above, where a thing's scale goes with its height,
    the scale is the view's own, and ball and club at address lie at the lower edge, so that there is room for words.
    """
    from ...model.films.camera import Camera
    from ..views.cameras import cameras

    places = cameras(swings, width, height)
    margin = EDGE * min(width, height)
    aside, aloft = width / 2 - margin, height / 2 - margin
    reach: dict[tuple[str, bool], list[Array]] = {}
    for swing, by_view in zip(swings, places, strict=True):
        joints = np.stack([swing.skeleton.joints[name] for name in FRAMED])
        for view, camera in by_view.items():
            reach.setdefault((view, swing.left_handed), []).append(camera.project(joints).reshape(-1, 2))
    # What is zoomed about: the middle of the level pictures' lower edge, and of the whole picture from above.
    middle, lowest = (width - 1) / 2, height - 0.5
    anchor = {view: np.array([middle, (height - 1) / 2 if view == ABOVE else lowest]) for view in places[0]}
    ends = {
        (view, hand): (np.min([p.min(axis=0) for p in seen], axis=0) - anchor[view],
                       np.max([p.max(axis=0) for p in seen], axis=0) - anchor[view])
        for (view, hand), seen in reach.items()
    }  # fmt: skip
    scale = dict.fromkeys(places[0], 1.0)
    for (view, _), (low, high) in ends.items():
        across = 2 * aside / (high[0] - low[0])
        along = 2 * aloft / (high[1] - low[1]) if view == ABOVE else (height - margin) / -low[1]
        for other in scale:
            if (other == ABOVE) == (view == ABOVE):
                scale[other] = min(scale[other], across, along)

    def framed(camera: Camera, view: str, left_handed: bool) -> Camera:
        low, high = (scale[view] * end for end in ends[view, left_handed])
        K = camera.K.copy()
        K[[0, 1], [0, 1]] *= scale[view]
        K[:2, 2] = anchor[view] + scale[view] * (K[:2, 2] - anchor[view])
        # No farther aside than the club needs: the golfer stays near the middle.
        K[0, 2] += max(0.0, -low[0] - aside) - max(0.0, high[0] - aside)
        if view == ABOVE:
            K[1, 2] += aloft - high[1]
        return Camera(K, camera.R, camera.t, width, height)

    return [
        {view: framed(camera, view, swing.left_handed) for view, camera in by_view.items()}
        for swing, by_view in zip(swings, places, strict=True)
    ]
