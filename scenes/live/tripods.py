"""Where the cameras of a lesson stand: one place for all of it, so that whatever moves in a picture is the golfer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ...model.golfer.survey import STATURE_RANGE_M
from ..setups.perform import swing_of
from ..setups.presets import Setup
from ..setups.quantities import BODY_SECTION
from ..views.cameras import cameras
from ..views.web_figure import camera_numbers

PICTURE = (540, 900)
"""Pixels of the cameras: narrower than the pictures', so that three views have room beside each other. A club held
level to either side leaves them, on the way up as on the way down; at the ball and at the top it is in them."""
TALLER_M = (2.0, 2.15, STATURE_RANGE_M[1])
"""Statures that further tripods fit, for a body that grows out of the first one's pictures."""


def tripods(setups: Sequence[Setup]) -> list[dict[str, Any]]:
    """One tripod a hand, and farther ones for a body that is made so tall that it would be cut off.

    Returns:
        The least first, each with the stature that it fits, ``fits_cm``, and its ``cameras`` by hand and view.
    """
    swings = {
        hand: [swing_of(setup.changed(BODY_SECTION, "handedness", hand), 2) for setup in setups]
        for hand in ("right", "left")
    }
    first = max(float(swing.body.stature) for swing in swings["right"])
    made = []
    for fits in (first, *(taller for taller in TALLER_M if taller > first)):
        places = {hand: cameras(own, *PICTURE, fits_m=fits)[0] for hand, own in swings.items()}
        made.append(
            {
                "fits_cm": 100.0 * fits,
                "cameras": {
                    hand: {view: camera_numbers(camera) for view, camera in own.items()} for hand, own in places.items()
                },
            }
        )
    return made
