"""Where a coach would stand: one tripod a hand, and a picture taken from it."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from ...model.swing.swing import Swing
from ..setups.perform import Performed
from .names import ABOVE, DOWN_THE_LINE, FACE_ON
from .shown_swing import shown_at

if TYPE_CHECKING:
    from ...model.films.camera import Camera
    from ...render.stage.stage import Stage


def cameras(
    swings: Sequence[Swing], width: int = 720, height: int = 900, *, fits_m: float = 0.0
) -> list[dict[str, Camera]]:
    """Where a coach would stand for each swing, by view.

    One tripod serves all golfers of the same hand, set for the first of them, so that places in two pictures can
    be compared; the frame fits the tallest.

    Args:
        swings: whom to film.
        width: of each picture, pixels.
        height: of each picture, pixels.
        fits_m: a stature that fits into the frame too.
    """
    from ...model.films.camera import down_the_line, face_on, from_above

    stature = max(fits_m, *(float(np.max(swing.body.stature)) for swing in swings))
    by_hand: dict[bool, dict[str, Camera]] = {}
    for swing in swings:
        left_handed = swing.left_handed
        if left_handed not in by_hand:
            joints = swing.skeleton.joints
            hands = (joints["wrist_lead"][0] + joints["wrist_trail"][0]) / 2
            by_hand[left_handed] = {
                FACE_ON: face_on(float(hands[2]), width, height, stature_m=stature, left_handed=left_handed),
                DOWN_THE_LINE: down_the_line(hands, width, height, stature_m=stature, left_handed=left_handed),
                ABOVE: from_above(hands, width, height, stature_m=stature),
            }
    return [by_hand[swing.left_handed] for swing in swings]


def draw(performed: Performed, view: str, camera: Camera, stage: Stage | None = None, moment: int = -1) -> bytes:
    """One marked picture, address as an outline and a moment solid, as PNG.

    Args:
        performed: the swing.
        view: a key of ``VIEW_TITLES``.
        camera: where from.
        stage: open, so that several pictures share one.
        moment: number of the moment; the last one, which is the top where the swing ends there, by default.

    Raises:
        TurnstillError: where no picture can be drawn.
    """
    from ...render.pictures.picture import comparison_picture

    swing = performed.swing
    shown = shown_at(swing, performed.setup.name, view, moment)
    out = io.BytesIO()
    comparison_picture(swing.body, shown, camera, stage=stage).save(out, "PNG")
    return out.getvalue()
