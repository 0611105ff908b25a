"""Cameras that stand where a coach would, and show the whole swing of the club."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from ...model.arrays import Array
from ...model.swing.swing import Swing
from .cameras import cameras
from .names import ABOVE

if TYPE_CHECKING:
    from ...model.films.camera import Camera

EDGE = 0.04
"""Part of a picture's shorter side kept free around the clubhead's path."""
FRAMED = ("clubhead", "grip", "elbow_lead", "elbow_trail", "toe_lead", "toe_trail", "heel_lead", "heel_trail", "vertex")
"""The joints that reach farthest."""


def cameras_for(swings: Sequence[Swing], width: int, height: int) -> list[dict[str, Camera]]:
    """Cameras for pictures of one size, zoomed out and shifted until the club stays inside at every moment.

    Those of one view and hand share one shift, and the two level views one scale, so that figures and movements can be
    compared between pictures; in them the ground keeps its place. From above, where a thing's scale goes with its
    height, the scale is the view's own, and ball and club at address lie at the lower edge: there is room for words.
    """
    from ...model.films.camera import Camera

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
