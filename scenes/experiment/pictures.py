"""Small pictures of chosen steps of an experiment, from each view, all drawn on one stage."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..setups.perform import Performed, swing_of
from ..views.cameras import cameras, draw
from ..views.pictures import ViewPicture
from .tried import Tried

MOST_PICTURED = 4
SMALL = 0.75
"""Part of the comparison's picture size: 540 by 675 pixels, legible at half that."""
FRAMES = 21


def chosen_steps(turns: list[float], most: int = MOST_PICTURED) -> list[int]:
    """Steps to picture: the first, the last, the one with the most hip turn, and others evenly between.

    Args:
        turns: the most hip turn available at each step.
        most: how many at most; at least 3.
    """
    count = len(turns)
    if count <= most:
        return list(range(count))
    chosen = {0, int(np.argmax(turns)), count - 1}
    while len(chosen) < most:
        # The one farthest from those already chosen.
        chosen.add(max(range(count), key=lambda k: min(abs(k - other) for other in chosen)))
    return sorted(chosen)


def strip_of(tried: Tried, views: Sequence[str]) -> list[ViewPicture]:
    """Pictures of an experiment's chosen steps from some views.

    Raises:
        TurnstillError: where no picture can be drawn.
    """
    from ...render.stage.stage import Stage

    turns = np.degrees(tried.found.available.hip_turn[: tried.count])
    steps = chosen_steps([float(turn) for turn in turns])
    swings = [swing_of(tried.setups[step], FRAMES) for step in steps]
    places = cameras(swings)
    pictures = []
    with Stage() as stage:
        for k, (step, swing) in enumerate(zip(steps, swings, strict=True)):
            shown = Performed(tried.setups[step].renamed(tried.told(tried.values[step])), swing, swing)
            for view in views:
                camera = places[k][view].scaled(SMALL)
                pictures.append(ViewPicture(step, view, draw(shown, view, camera, stage)))
    return pictures
